"""What a feature carries across the bringing back of a backup: it tells in `buildlog/apps.py`."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass(frozen=True, slots=True)
class Carried:
    """read: from the database file that is about to be replaced. after: with what it answered, in the new shop."""

    read: Callable[[Path], Any]
    after: Callable[[Any], None]


CARRIED: list[Carried] = []


def carry(read: Callable[[Path], Any], after: Callable[[Any], None]) -> None:
    CARRIED.append(Carried(read, after))

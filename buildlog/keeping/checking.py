"""What proving a backup came to, kept beside the backups for the page to say."""

import json
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.utils import timezone

from . import actions
from .archive import BadBackup
from .running import telling


@dataclass(frozen=True, slots=True)
class Check:
    """trouble: what is wrong with the backup; empty when it is good."""

    at: datetime
    trouble: str


def _file() -> Path:
    return actions.folder() / "checked.json"


def _read() -> dict[str, list[str]]:
    try:
        return json.loads(_file().read_text())
    except (OSError, ValueError):
        return {}


def checks() -> dict[str, Check]:
    """The last check of each backup, by its file's name."""
    return {name: Check(datetime.fromisoformat(at), trouble) for name, (at, trouble) in _read().items()}


def check(path: Path) -> None:
    """Prove a backup and remember what came of it."""
    try:
        actions.verify(path, tell=telling("Checking"))
        trouble = ""
    except (BadBackup, OSError) as error:
        trouble = str(error)
    there = {one.name for _, one in actions.backups()}
    known = {name: found for name, found in _read().items() if name in there}
    known[path.name] = [timezone.now().isoformat(), trouble]
    aside = _file().with_suffix(".part")
    aside.write_text(json.dumps(known))
    aside.replace(_file())

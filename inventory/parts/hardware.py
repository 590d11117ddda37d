"""Whether the name of a part is that of a fastener, and which."""

import re
from functools import lru_cache

from inventory.fasteners.calc.fastener import THREADED, Fastener
from inventory.fasteners.calc.reading import Reading, parse
from inventory.fasteners.calc.writing import format as written
from inventory.fasteners.calc.writing import key, short

BETWEEN = " · "  # between the things a drawer is named after
MOST = 200  # characters of a written fastener that are kept
# Most names are not those of fasteners, and reading one costs more than looking for a size and a word of the trade.
_MAYBE = re.compile(
    r"\bm\s?\d|#\s?\d|\d\s?/\s?\d|[¼½¾⅛⅜⅝⅞]|\bno\.?\s?\d|\bun[cf]\b|tapp|drill|rivet|pin|screw|washer|\bnut|bolt|insert",
    re.IGNORECASE,
)
_COUNTED = re.compile(r"\bnumber\b", re.IGNORECASE)  # 'Bolt number 8' counts bolts; '#8' and 'no. 8' are a size


@lru_cache(maxsize=4096)
def read(text: str) -> Reading | None:
    """What the text says as a fastener; None where there is no fastener in it."""
    if not _MAYBE.search(text) or not any(character.isdigit() or character in "¼½¾⅛⅜⅝⅞" for character in text):
        return None
    reading = parse(text)
    return reading if reading.fastener else None


def is_certain(reading: Reading) -> bool:
    """Every word was understood and the size is written out: 'M8x25', not 'Nut 10' nor 'Hinge pin 8 mm'."""
    f = reading.fastener
    listed = f.pitch is not None or f.kind not in THREADED  # 'Bolt no. 30' is the thirtieth bolt
    return listed and not reading.left and not reading.doubts and "size" in dict(reading.understood)


def read_name(name: str) -> Fastener | None:
    """The fastener that a part of this name is without a doubt."""
    reading = read(name)
    return reading.fastener if reading and is_certain(reading) and not _COUNTED.search(name) else None


def kept(fastener: Fastener | None) -> dict[str, str]:
    """A part's two fields: the fastener as it is written, and what all that is the same has in common."""
    if fastener is None:
        return {"fastener": "", "fastener_key": ""}
    return {"fastener": written(fastener)[:MOST], "fastener_key": key(fastener)[:MOST]}


@lru_cache(maxsize=4096)
def short_name(name: str, fastener: str) -> str:
    """What fits on a drawer: 'M8×25', 'M8 nut', '#10-32×1/2'; of other things their name."""
    f = parse(fastener).fastener if fastener else None
    if f is None:
        return name
    if f.kind in ("bolt", "stud", "rod", "set screw"):
        return short(f)
    return f"{short(f)} {'lock nut' if f.locking else f.kind}"


def short_names(name: str) -> str:
    """The name of a drawer, each thing in it in short: 'M8×25 · M8 washer'."""
    return BETWEEN.join(short_name(one, kept(read_name(one))["fastener"]) for one in name.split(BETWEEN))


def key_of(text: str) -> str:
    """The key that typed text would have, '' where it is no fastener."""
    return kept(read_name(text))["fastener_key"]

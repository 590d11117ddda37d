"""Reads what is typed to fill a cabinet: a drawer a line, or a range of lengths over several drawers.

    B3 M8x25 hex 8.8, 40
    M8x30 hex 8.8
    C1 M6 hex 8.8, lengths 10 to 50

A line that does not begin with a drawer goes on to the next empty one.

Nominal lengths: ISO 888 (from memory) for metric sizes; for inch sizes eighths up to 1 in, quarters up to 4 in (common
practice, no source).
"""

import re
from collections.abc import Collection
from dataclasses import dataclass, replace
from fractions import Fraction

from inventory.fasteners.calc.counted import number_after, number_before_fastener
from inventory.fasteners.calc.reading import parse
from inventory.fasteners.calc.threads import METRIC
from inventory.fasteners.calc.writing import format as written

ISO_888_MM = (
    2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100, 110, 120, 130, 140, 150, 160,
    180, 200,
)  # fmt: skip
INCHES = (*(Fraction(n, 8) for n in range(2, 8)), *(Fraction(n, 4) for n in range(4, 17)))
MOST_LINES = 400

_DRAWER = re.compile(r"([^\W_]{1,12})[\s:;,]+(?=\S)")
_RANGE = re.compile(
    r"^(?P<what>.*?)[\s,;]+lengths?\s+(?P<low>[\d/.-]+)\s*(?:to|–|…|\.\.)\s*(?P<high>[\d/.-]+)\s*$", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Line:
    """`drawer` '': the next empty one. `further`: how many drawers on from `drawer`, in a range. `count` None: not
    counted yet. `trouble`: a code.

    Codes: 'line' (a drawer with nothing in it), 'drawer' (none of that name), 'range' (no size to take lengths of),
    'lengths' (none between the two).
    """

    number: int
    drawer: str
    what: str
    count: int | None = None
    further: int = 0
    trouble: str = ""


def read_lines(text: str, drawers: Collection[str]) -> list[Line]:
    """Every line that says something, ranges written out. `drawers`: what the cabinet's are called, in capitals."""
    shapes = {_shape(drawer) for drawer in drawers}
    found: list[Line] = []
    for number, line in enumerate(text.splitlines()[:MOST_LINES], start=1):
        if line.strip():
            found += _read(number, line.strip(), drawers, shapes)
    return found


def _read(number: int, line: str, drawers: Collection[str], shapes: set[str]) -> list[Line]:
    begins = _DRAWER.match(line)
    drawer = (begins[1] if begins else line).upper()
    if drawer in drawers:
        said = line[begins.end() :] if begins else ""
    elif begins and _shape(drawer) in shapes and parse(drawer).fastener is None:
        return [Line(number, drawer, line[begins.end() :], trouble="drawer")]
    else:
        drawer, said = "", line
    if asked := _RANGE.match(said):
        return _range(number, drawer, asked)
    count, what = number_after(said) or number_before_fastener(said) or (None, said.strip(" ,;"))
    if not what:
        return [Line(number, drawer, line, trouble="line")]
    return [Line(number, drawer, what, count)]


def _shape(drawer: str) -> str:
    """'A9' for every drawer that is a letter and a number."""
    return re.sub(r"\d+", "9", re.sub(r"[^\W\d_]+", "A", drawer))


def _range(number: int, drawer: str, asked: re.Match) -> list[Line]:
    fastener = parse(asked["what"]).fastener
    if fastener is None:
        return [Line(number, drawer, asked[0], trouble="range")]
    try:
        low, high = _length(asked["low"]), _length(asked["high"])
    except (ValueError, ZeroDivisionError):
        return [Line(number, drawer, asked[0], trouble="lengths")]
    steps = ISO_888_MM if fastener.system == METRIC else INCHES
    lengths = [Fraction(step) for step in steps if low <= step <= high]
    if not lengths:
        return [Line(number, drawer, asked[0], trouble="lengths")]
    return [
        Line(number, drawer, written(replace(fastener, length=length)), further=nth if drawer else 0)
        for nth, length in enumerate(lengths)
    ]


def _length(text: str) -> Fraction:
    whole, _, rest = text.rpartition("-")
    return Fraction(rest) + (int(whole) if whole else 0)

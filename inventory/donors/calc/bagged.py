"""Reads what went into a bag of fasteners: a line each, the number first ('6 × M8×25 hex', '2 washers')."""

import re
from dataclasses import dataclass

MOST_LINES = 20
# A number, then a gap that isn't a fraction's stroke, a pitch or a unit: '6 M8', '6 x M8', '6× M8', '6 off'.
_LINE = re.compile(r"(\d{1,4})\s*(?:(?:[x×]|off|pcs?|pieces?|of)\s+|[x×]\s*(?=[A-Za-z#])|\s+(?!mm\b|[x×]\s*\d))(\S.*)")


@dataclass(frozen=True, slots=True)
class Bagged:
    quantity: int
    what: str


def read_bag(text: str) -> tuple[Bagged, ...]:
    """Each line that says something, the same thing added up; a line without a number is one piece."""
    found: dict[str, Bagged] = {}
    for line in text.splitlines():
        said = " ".join(line.split()).strip(" ,;")
        if not said:
            continue
        match = _LINE.fullmatch(said)
        number, what = (int(match[1]), match[2].strip()) if match and int(match[1]) else (1, said)
        before = found.get(what.casefold())
        found[what.casefold()] = Bagged(number + before.quantity, before.what) if before else Bagged(number, what)
    return tuple(found.values())

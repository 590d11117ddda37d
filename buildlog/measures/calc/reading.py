"""Reading a typed length: '43 5/16 x 43 3/16', '1100 mm', '62,5', '3ft 2 1/4', '3\\' 2 1/4"', '2 m 30 cm'.

The rules, in the order they matter:
- A unit at the end serves the sizes before it that have none: '900 x 1100 mm'.
- A fraction without a unit is inches: nobody reads sixteenths of a millimetre.
- After feet, a bare number is inches: '3ft 2 1/4'.
- Otherwise a bare number is in the default unit.
- A comma is a decimal comma ('62,5'). '1,100' could be eleven hundred or one and a tenth: it is refused.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from buildlog.measures.calc.lengths import SYSTEM, UNITS, Length

WORDS = {
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "µm": "um", "μm": "um", "um": "um", "micron": "um", "microns": "um",
    "cm": "cm", "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "in": "in", "ins": "in", "inch": "in", "inches": "in", '"': "in", "″": "in", "”": "in", "''": "in",
    "ft": "ft", "foot": "ft", "feet": "ft", "'": "ft", "′": "ft", "’": "ft",
    "thou": "thou",
}  # fmt: skip
VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip

# What a number may count that is no length: '50 Nm', '20 degrees', '2 holes', '4 off'.
OTHER = r"(?:(?-i:[mk]?[VAW]|k?N|N[·.]?m)|[kmn]?g|nm|km|lbf?|psi|bar|kPa|MPa|[mc]?l|litres?|gal|°C?|deg|rpm|hp|h|s|%)"
COUNTED = re.compile(rf"\s*{OTHER}(?!\w)|\s*off\b(?!\s+\w)|\s+[a-z]{{3,}}(?<![isu])(?<!ward)(?<!way)s\b", re.IGNORECASE)

NUMBER = r"(?:\d+[ \-]+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+[.,]\d+|[.,]\d+|\d+)"
UNIT = r"(?:" + "|".join(sorted(map(re.escape, WORDS), key=len, reverse=True)) + r")"
# A word unit ends where letters end: '5 mm' but not '5 mmx', '3 m' but not '3 more'. A unit may touch an 'x'.
PIECE = rf"{NUMBER}(?:\s*{UNIT}(?![a-wyz]))?\.?"
SIZE = rf"-?{PIECE}(?:\s*{PIECE})?"
TIMES = r"\s*(?:x|×|\*|\bby\b)\s*"
MEASURE = re.compile(rf"(?<![\w./,])(?<!\w-){SIZE}(?:{TIMES}{SIZE})*(?![\w/])", re.IGNORECASE)
_PIECE = re.compile(rf"({NUMBER})(?:\s*({UNIT})(?![a-wyz]))?", re.IGNORECASE)
_SPLIT = re.compile(TIMES, re.IGNORECASE)
# What may follow a unit in one size; None is a bare number.
SMALLER = {"ft": (None, "in"), "m": ("cm", "mm"), "cm": ("mm",)}
BETWEEN = "; "
_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}")


class Unreadable(ValueError):
    """reason: 'empty', 'not a length', 'comma', 'zero below', 'unit twice', 'order'; text: what was typed."""

    def __init__(self, reason: str, text: str):
        super().__init__(reason, text)
        self.reason = reason
        self.text = text


@dataclass(frozen=True, slots=True)
class Group:
    """Sizes that belong together, 43 5/16 x 43 3/16, and the words before them."""

    before: str
    typed: str
    lengths: tuple[Length, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """groups: the sizes in a line of words; after: the words that follow the last."""

    groups: tuple[Group, ...]
    after: str

    @property
    def typed(self) -> str:
        """The words the sizes came from, as `read_all` takes them."""
        return BETWEEN.join(group.typed for group in self.groups)

    @property
    def lengths(self) -> tuple[Length, ...]:
        return tuple(length for group in self.groups for length in group.lengths)


def _plain(text: str) -> str:
    for mark, words in VULGAR.items():
        text = re.sub(rf"(?<=\d)\s*{mark}", f" {words}", text)
        text = text.replace(mark, words)
    return text.replace("−", "-").replace("\u2044", "/").replace("\u00a0", " ")


def _number(text: str, whole: str) -> Fraction:
    if "/" in text:
        lead, top, bottom = re.fullmatch(r"(?:(\d+)[ \-]+)?(\d+)\s*/\s*(\d+)", text).groups()
        if int(bottom) == 0:
            raise Unreadable("zero below", whole)
        return int(lead or 0) + Fraction(int(top), int(bottom))
    if _THOUSANDS.fullmatch(text):
        raise Unreadable("comma", whole)
    return Fraction(text.replace(",", "."))


def _pieces(size: str, whole: str) -> list[tuple[Fraction, str | None, bool]]:
    """[(how many, unit or None, is it a fraction)], at most feet and inches, or metres and what is smaller."""
    pieces = [
        (_number(number, whole), WORDS[unit.lower()] if unit else None, "/" in number)
        for number, unit in _PIECE.findall(size)
    ]
    if len(pieces) == 2:
        (_, first, _), (rest, second, fraction) = pieces
        if second not in SMALLER.get(first, ()):
            raise Unreadable("order", whole)
        pieces[1] = (rest, second or "in", fraction)
    return pieces


def read(text: str, default: str = "mm") -> tuple[Length, ...]:
    """All sizes in a text that is nothing but a measure. Raises Unreadable.

    default: the unit of a bare number, one of UNITS.
    """
    plain = _plain(text).strip()
    if not plain:
        raise Unreadable("empty", text)
    if not MEASURE.fullmatch(plain):
        raise Unreadable("not a length", text)
    sizes = [(size.strip(), _pieces(size, text)) for size in _SPLIT.split(plain)]
    after = None
    lengths = []
    for size, pieces in reversed(sizes):
        given = pieces[-1][1]
        fraction = any(is_fraction for _, _, is_fraction in pieces)
        unit = given or after or ("in" if fraction else None)
        after = given or after
        lengths.append((size, pieces, unit))
    # What one size says of its unit, the others without any share: '43 5/16 x 43' is inches twice.
    shared = next((unit for _, _, unit in lengths if unit), default)
    made = []
    for size, pieces, unit in reversed(lengths):
        unit = unit or shared
        total = sum((number * UNITS[own or unit] for number, own, _ in pieces), Fraction(0))
        made.append(Length(-total if size.startswith("-") else total, SYSTEM[unit], size))
    return tuple(made)


def read_all(text: str, default: str = "mm") -> list[tuple[Length, ...]]:
    """The sizes of each group in what `Found.typed` says. Raises Unreadable."""
    return [read(one, default) for one in text.split(BETWEEN)]


def find(text: str, default: str = "mm") -> Found | None:
    """The sizes inside a line of words: 'hatch opening 43 5/16 x 43 3/16'. None when there are none.

    Where one says its unit, or is a fraction, or stands with another (2 x 4), bare numbers beside it are words:
    '2 holes at 43 5/16'. Where none does, all are sizes but those that count something ('2 holes', '20 degrees').
    """
    plain = _plain(text)
    sure, bare = [], []
    for match in MEASURE.finditer(plain):
        try:
            lengths = read(match.group(), default)
        except Unreadable:
            continue
        pieces = [piece for size in _SPLIT.split(match.group()) for piece in _pieces(size, text)]
        if len(lengths) > 1 or any(unit or fraction for _, unit, fraction in pieces):
            sure.append((match, lengths))
        elif not COUNTED.match(plain, match.end()):
            bare.append((match, lengths))
    groups, end = [], 0
    for match, lengths in sure or bare:
        typed = match.group().strip()
        start = match.start() + match.group().index(typed)
        groups.append(Group(plain[end:start], typed, lengths))
        end = start + len(typed)
    return Found(tuple(groups), plain[end:]) if groups else None

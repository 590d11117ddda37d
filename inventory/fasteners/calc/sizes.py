"""Finds size, pitch and length in what is left of a text once its words are taken out."""

import re
from dataclasses import dataclass
from fractions import Fraction

from .fastener import THREADED
from .threads import SIZES, coarse_pitch, diameter_mm_of, fine_pitch, size_from_inches
from .units import MM_FROM

_NUMBER = r"(?:\d+(?:\.\d+)?|\.\d+)"
_INCHES = rf"(?:\d+[ -]\d+/\d+|\d+/\d+|{_NUMBER})"
_METRIC_SIZE = re.compile(rf"(?<![\w.])m\s?({_NUMBER})(?:mm)?")
_NUMBER_SIZE = re.compile(
    r"(?:#\s?|\b(?:no|num|number)\.?\s?)(\d{1,2})(?![\d.])|(?<![\w./])(\d{1,2})\s?(?:g|ga|gauge)\b"
)
_INCH_SIZE = re.compile(
    r"(?<![\w./])(\d+[ -]\d+/\d+|\d+/\d+|0?\.\d+|\d+(?=\s?(?:\"|in\b|inch\b)))\s?(?:\"|in\b|inch\b)?"
)
_DASHED = re.compile(r"(?<![\w./])(\d{1,2})(?=-(\d{1,2})(?![\d/.]))")
_BARE = re.compile(rf"(?<![\w./])(?:st\s?)?({_NUMBER})\s?(?:mm)?")
_NEXT = re.compile(rf"([\sx/-]+|(?=l))(?:l\s?=?\s?)?({_INCHES})(?!\.?\d)\s?(mm|cm|m\b(?!\s?\d)|\"|in\b|inch\b|tpi\b)?")
_AHEAD = re.compile(rf"({_INCHES})\s?(mm|cm|\"|in\b|inch\b)\s*(?:x\s*)?$")
_PITCH = re.compile(rf"(?:\bpitch\s*|\bp\s?=?\s?)({_NUMBER})(?:\s?mm)?|({_NUMBER})\s?(?:mm\s?)?(?:pitch|p\b)")
_TPI = re.compile(rf"({_NUMBER})\s?tpi\b")

# No thread in the trade has fewer than this many to the inch; a smaller number after the size is a length.
_FEWEST_TPI = 4
_MM_IN = {"mm": 1, "cm": 10, "m": 1000}


@dataclass(frozen=True, slots=True)
class Found:
    """size '' when none was found. `assumed`: fields filled by a guess. `doubts`: fields that clash."""

    size: str = ""
    pitch: float | None = None
    length: Fraction | None = None
    assumed: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    rest: str = ""


@dataclass(frozen=True, slots=True)
class _Figure:
    sign: str
    value: Fraction
    unit: str


def inches(text: str) -> Fraction:
    """'1-1/2', '1 1/2', '3/4', '.75' as a fraction; 0 for a nought below the line, which is no length."""
    whole, _, rest = text.replace(" ", "-").rpartition("-")
    if re.search(r"/0+$", rest):
        return Fraction(0)
    return Fraction(rest) + (int(whole) if whole else 0)


def find_size(text: str, kind: str, series: str) -> Found:
    """Read size, pitch and length. `series`: 'coarse', 'fine' or ''. What was not used is in `rest`."""
    text, pitch = _named_pitch(text)
    match, size, assumed = _size(text, kind)
    if not match:
        return Found(rest=text)
    figures, end = _figures(text, match.end())
    before, after = text[: match.start()], text[end:]
    if len(figures) < 2 and (ahead := _AHEAD.search(before)):
        figures.append(_Figure("", inches(ahead[1]), ahead[2]))
        before = before[: ahead.start()]
    rest = before + " " + after
    if size.startswith("M") and size not in SIZES and not diameter_mm_of(size):
        return Found(rest=text)
    if kind in THREADED:
        pitch, figures = _take_pitch(size, pitch, figures, series)
    elif figures and len(figures) > 1 and float(figures[0].value) == coarse_pitch(size):
        figures = figures[1:]
    return _finish(size, pitch, figures, series if kind in THREADED else "", assumed, rest)


def _named_pitch(text: str) -> tuple[str, float | None]:
    for pattern in (_TPI, _PITCH):
        if match := pattern.search(text):
            value = float(next(group for group in match.groups() if group))
            return text[: match.start()] + " " + text[match.end() :], value
    return text, None


def _size(text: str, kind: str) -> tuple[re.Match | None, str, tuple[str, ...]]:
    threaded = kind in THREADED or kind == "washer"
    if match := _METRIC_SIZE.search(text):
        number = _plain(match[1])
        return match, f"M{number}" if threaded else f"{number}mm", ()
    if match := _NUMBER_SIZE.search(text):
        return match, f"#{int(match[1] or match[2])}", ()
    for match in _DASHED.finditer(text):
        tpi = float(match[2])
        for size in (f"#{match[1]}", match[1]):
            if threaded and size in SIZES and tpi in (SIZES[size].coarse, *SIZES[size].fine):
                return match, size, ()
    bare = _BARE.search(text)
    match = _INCH_SIZE.search(text)
    if match and (not bare or match.start() <= bare.start()):
        value = inches(match[1])
        if value > 0:
            return match, _inch_size(value, threaded and "." in match[1]), ()
    if bare and not threaded and float(bare[1]) > 0:
        return bare, f"{_plain(bare[1])}mm", ()
    if bare and f"M{_plain(bare[1])}" in SIZES:
        return bare, f"M{_plain(bare[1])}", ("size",)
    return None, "", ()


def _plain(number: str) -> str:
    return f"{float(number):g}"


def _inch_size(value: Fraction, numbered: bool) -> str:
    """'.190' is #10 and '.3125' is 5/16; a decimal that is no named size is rounded to a sixty-fourth."""
    for number in range(13):
        if numbered and value == Fraction(60 + 13 * number, 1000):
            return f"#{number}"
    return size_from_inches(Fraction(max(1, round(value * 64)), 64))


def _figures(text: str, at: int) -> tuple[list[_Figure], int]:
    figures = []
    while len(figures) < 2 and (match := _NEXT.match(text, at)):
        figures.append(_Figure(match[1].strip()[-1:], inches(match[2]), match[3] or ""))
        at = match.end()
    return figures, at


def _take_pitch(size, pitch, figures, series):
    """Tell which of the figures is the pitch. It comes first, save where only the second can be one."""
    if pitch is not None or not figures:
        return pitch, figures
    first, *others = figures
    if _is_pitch(size, first, others):
        return float(first.value), others
    if others and _is_pitch(size, others[0], [first]) and not series:
        return float(others[0].value), [first]
    return None, figures


def _is_pitch(size: str, figure: _Figure, others: list[_Figure]) -> bool:
    value, row = float(figure.value), SIZES.get(size)
    known = (row.coarse, *row.fine) if row else ()
    if figure.unit in ("cm", "m", '"', "in", "inch"):
        return False
    if size.startswith("M"):
        if value in known:
            return True
        return value <= (row.coarse if row else diameter_mm_of(size) / 4) and value < diameter_mm_of(size) / 2
    if figure.value.denominator != 1 or value < _FEWEST_TPI:
        return False
    return figure.sign == "-" or (bool(others) and value in known)


def _finish(size, pitch, figures, series, assumed, rest) -> Found:
    assumed, doubts = list(assumed), []
    length = None
    if figures:
        figure, *spare = figures
        length = _length(size, figure)
        if _guessed_mm(size, figure):
            assumed.append("length")
        rest = " ".join([rest, *(f"{float(f.value):g}" for f in spare)])
    by_series = {"coarse": coarse_pitch, "fine": fine_pitch}.get(series, lambda _: None)(size)
    row = SIZES.get(size)
    fits = row and (pitch == row.coarse if series == "coarse" else pitch in row.fine)
    if series and pitch and by_series and not fits:
        doubts.append("pitch")
    return Found(size, pitch or by_series, length, tuple(assumed), tuple(doubts), rest)


def _guessed_mm(size: str, figure: _Figure) -> bool:
    metric = size.startswith("M") or size.endswith("mm")
    return not metric and not figure.unit and figure.value.denominator == 1 and figure.value >= MM_FROM


def _length(size: str, figure: _Figure) -> Fraction:
    """In the unit of the size: mm, or inches."""
    value, metric = figure.value, size.startswith("M") or size.endswith("mm")
    in_mm = figure.unit in _MM_IN or (metric and not figure.unit) or _guessed_mm(size, figure)
    value *= _MM_IN.get(figure.unit, 1)
    if metric:
        return value if in_mm else value * Fraction("25.4")
    return value / Fraction("25.4") if in_mm else value

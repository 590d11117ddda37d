"""How many there are, where the number stands beside the name: '6 M8×25', 'M8 washer x 6', 'M8×25 hex, 6'.

A number that may be a size stays in the name. Where which is likelier: common practice, no source.
"""

import re

from .fastener import Fastener
from .reading import parse
from .threads import METRIC, SIZES

# A number, then a gap that isn't a fraction's stroke, a pitch or a unit: '6 M8', '6 x M8', '6× M8', '6 off'.
_BEFORE = re.compile(
    r"(\d{1,4})\s*(?:(?:[x×]|off|pcs?|pieces?|of)\s+|[x×]\s*(?=[A-Za-z#])|\s+(?!mm\b|[x×]\s*\d))(\S.*)", re.IGNORECASE
)
_AFTER = re.compile(
    r"(.*?)(?:,\s+(\d{1,6})|\s*[;\t]\s*(\d{1,6})|[\s,;]+(\d{1,4})\s*(?:off|pcs?|pieces?))", re.IGNORECASE
)
_TIMES = re.compile(r"(\S.*?)(?:\s+[x×]|×)\s*(\d{1,4})", re.IGNORECASE)
_NEVER_A_NAME = re.compile(r".*\d$|mm|cm|m|in|inch", re.IGNORECASE)  # a size or a unit: the number after it is another
_GRADE = re.compile(r"\d{1,2}\.\d|[Aa]\d(-\d0)?")
_PLAIN_NUMBER = re.compile(r"\d+(?![\d/])")


def number_before(text: str) -> tuple[int, str] | None:
    """The number a text begins with and what follows it; None where it begins with none, or with a size."""
    match = _BEFORE.fullmatch(text)
    return (int(match[1]), match[2].strip()) if match and int(match[1]) else None


def number_before_fastener(text: str) -> tuple[int, str] | None:
    """As `number_before`, where a fastener follows and the number can be no part of its size."""
    found = number_before(text)
    if found is None or _PLAIN_NUMBER.match(found[1]) or parse(found[1]).fastener is None:
        return None
    mixed = found[1][0].isdigit() and found[0] < 4  # '1 1/4' is an inch and a quarter
    return None if mixed else found


def number_after(text: str) -> tuple[int, str] | None:
    """The number a text ends with and what goes before it; None where there is none, or where it may be a size."""
    if match := _AFTER.fullmatch(text):
        found = int(next(group for group in match.groups()[1:] if group)), match[1].strip(" ,;")
    elif (match := _TIMES.fullmatch(text)) and _is_no_size(int(match[2]), match[1].strip(" ,;")):
        found = int(match[2]), match[1].strip(" ,;")
    else:
        return None
    return found if found[1] else None


def _is_no_size(number: int, name: str) -> bool:
    """Whether 'x 6' after the name says how many: nuts and washers have no length, and a length is said once."""
    last = name.split()[-1]
    f = parse(name).fastener
    if f is not None and f.kind == "nut":
        return not _may_be_pitch(number, f, last)
    if f is not None and f.kind == "washer":
        return number < 1.6 * f.diameter_mm or not (f.form == "penny" or _NEVER_A_NAME.fullmatch(last))
    if f is not None and f.length is None:
        return False
    return bool(_GRADE.fullmatch(last)) if f is not None and last[-1].isdigit() else not _NEVER_A_NAME.fullmatch(last)


def _may_be_pitch(number: int, f: Fastener, last: str) -> bool:
    row = SIZES.get(f.size)
    said_so = f.system == METRIC or last[-1].isdigit()
    return row is not None and said_so and number in (row.coarse, *row.fine)

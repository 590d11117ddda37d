"""Quantities as people write them.

Amounts are Decimals rounded half-even to thousandths, the finest a shop counts in. 1 in = 25.4 mm,
1 ft = 0.3048 m and 1 lb = 0.45359237 kg exactly (NIST SP 811 appendix B). What 'a few' and its like stand
for is common practice, no source; they are always marked as about.
"""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from functools import lru_cache

MOST = Decimal(1_000_000_000)
_STEP = Decimal("0.001")

_UNITS: dict[str, tuple[str, Decimal]] = {}
for _unit, _scale, _words in (
    ("pieces", "1", "pc pcs pce piece pieces ea each off x st stk stck stuck stueck styck no nos item items "
                    "unit units pk pack packs set sets kit kits box boxes bag bags roll rolls sheet sheets"),
    ("pieces", "2", "pair pairs pr prs par paar"),
    ("pieces", "12", "dozen doz dusin dutzend"),
    ("metres", "1", "m mtr mtrs metre metres meter meters"),
    ("metres", "0.01", "cm"),
    ("metres", "0.001", "mm"),
    ("metres", "0.3048", "ft foot feet"),
    ("metres", "0.0254", "in inch inches"),
    ("litres", "1", "l ltr ltrs litre litres liter liters"),
    ("litres", "0.1", "dl"),
    ("litres", "0.01", "cl"),
    ("litres", "0.001", "ml"),
    ("kilograms", "1", "kg kgs kilo kilos kilogram kilograms"),
    ("kilograms", "0.001", "g gr gram grams"),
    ("kilograms", "0.45359237", "lb lbs"),
):  # fmt: skip
    for _word in _words.split():
        _UNITS[_word] = (_unit, Decimal(_scale))
# 'box', 'set' and their like are counted as one piece each: how many are inside is not known.
_LOOSE = frozenset(
    ("pk", "pack", "packs", "set", "sets", "kit", "kits", "box", "boxes", "bag", "bags", "roll", "rolls")
    + ("sheet", "sheets")
)

_NUMBER_WORDS = {
    w: Decimal(n)
    for n, w in enumerate(
        ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
    )
} | {"a": Decimal(1), "an": Decimal(1), "single": Decimal(1), "half": Decimal("0.5"), "both": Decimal(2)}
_ABOUT_WORDS = {"couple": 2, "few": 3, "some": 5, "several": 5, "handful": 5, "bunch": 10, "many": 20,
                "lots": 20, "lot": 20, "plenty": 20, "loads": 20}  # fmt: skip
_NONE_WORDS = frozenset(["none", "nil", "out", "empty", "gone", "-", "--", "–", "—"])
_ABOUT = re.compile(r"^(~|≈|±|>=?|≥|<=?|≤|ca\.?|circa|approx\.?|approximately|about|around|roughly|maybe|at least)\s*")
_DIGITS = r"\d+(?:[.,'’\u00a0\u202f ]\d+)*"
_LEADING = re.compile(
    rf"^(?P<sign>[-−]?)\s*(?:(?P<whole>\d+)\s+(?P<num>\d+)\s*/\s*(?P<den>\d+)|(?P<num1>\d+)\s*/\s*(?P<den1>\d+)"
    rf"|(?P<number>{_DIGITS}|[.,]\d+))"
)
_RANGE = re.compile(rf"^\s*(?:-|–|—|to|or)\s*(?:{_DIGITS})")
# A date (a spreadsheet makes one of 1/2) and 1e3, which a spreadsheet writes for a long number.
_NOT_A_COUNT = re.compile(r"^(\d{1,4}[-./]\d{1,2}[-./]\d{1,4}\b|\d+([.,]\d+)?e[+-]?\d)")
_THOUSANDS = re.compile(r"^\d{1,3}(?:([.,'’\u00a0\u202f ])\d{3})(?:\1\d{3})*$")


@dataclass(frozen=True, slots=True)
class Quantity:
    """`problem` is '' or one of: unclear, negative, too-big. `about`: the writer did not count exactly,
    or the amount could be read in more than one way."""

    amount: Decimal | None
    unit: str = ""  # '' where nothing was said
    about: bool = False
    rest: str = ""  # words that follow the amount and say something else
    problem: str = ""


def read_unit(text: str) -> str:
    """'pieces', 'metres', 'litres', 'kilograms', or '' where the word is not known."""
    return _UNITS.get(text.strip().strip(".").lower(), ("", None))[0]


def decimal_mark(texts: Iterable[str]) -> str:
    """',' or '.', whichever the column can only mean as a decimal mark; '' where no text tells."""
    marks = {",": 0, ".": 0}
    for text in texts:
        for number in re.findall(r"\d[\d.,]*\d", text):
            last = max(number.rfind(","), number.rfind("."))
            if last < 0:
                continue
            mark, tail = number[last], number[last + 1 :]
            other = "." if mark == "," else ","
            if number.count(mark) == 1 and (len(tail) != 3 or other in number or number.startswith("0")):
                marks[mark] += 1
    if marks[","] == marks["."]:
        return ""
    return "," if marks[","] > marks["."] else "."


@lru_cache(maxsize=4096)
def read_quantity(text: str, decimal: str = "", unit: str = "") -> Quantity:
    """The amount in `text`. Empty text: no amount.

    `decimal` is the mark the file uses and `unit` what another column says it is counted in, where they are known.
    """
    words = " ".join(_fractions(text).split()).strip().lower()
    if not words:
        return Quantity(None)
    if words in _NONE_WORDS:
        return Quantity(Decimal(0))
    about = False
    while match := _ABOUT.match(words):
        about, words = True, words[match.end() :]
    if found := _in_words(words):
        return found
    words = re.sub(r"^(?:x|×|qty:?)\s*(?=\d)", "", words)
    match = _LEADING.match(words)
    if not match or _NOT_A_COUNT.match(words):
        return Quantity(None, problem="unclear")
    if match["sign"]:
        return Quantity(None, problem="negative")
    word = words[match.end() :].strip().split(" ")[0].strip(".")
    measured = (unit or read_unit(word)) not in ("", "pieces")
    amount, doubtful = _amount(match, decimal, measured)
    if amount is None:
        return Quantity(None, problem="unclear")
    return _with_unit(amount, words[match.end() :], about or doubtful)


def _fractions(text: str) -> str:
    """½ as ' 1/2', so that 1½ reads as one and a half."""
    return "".join(
        f" {unicodedata.normalize('NFKC', c).replace('⁄', '/')}" if unicodedata.category(c) == "No" and "⁄" in
        unicodedata.normalize("NFKC", c) else c for c in text
    )  # fmt: skip


def _in_words(words: str) -> Quantity | None:
    parts = [p for p in re.split(r"[\s.]+", words) if p and p not in ("of", "or", "so", "only", "the")]
    bare = [p for p in parts if p not in ("a", "an", "good")]
    if len(bare) == 1 and bare[0] in _ABOUT_WORDS:
        return Quantity(Decimal(_ABOUT_WORDS[bare[0]]), about=True)
    if len(bare) == 2 and bare[0] in ("few", "several", "some") and bare[1] in _UNITS:
        return _scaled(Decimal(_ABOUT_WORDS[bare[0]]), bare[1], True)
    if len(bare) == 1 and bare[0] in _UNITS and len(bare[0]) > 1:
        return _scaled(Decimal(1), bare[0], bare[0] in _LOOSE)
    if len(bare) == 2 and bare[0] in _NUMBER_WORDS and bare[1] in _UNITS:
        return _scaled(_NUMBER_WORDS[bare[0]], bare[1], bare[1] in _LOOSE)
    if len(parts) == 1 and parts[0] in _NUMBER_WORDS:
        return Quantity(_NUMBER_WORDS[parts[0]])
    return None


def _amount(match: re.Match, decimal: str, measured: bool) -> tuple[Decimal | None, bool]:
    """(amount, it could be read in another way)"""
    if match["number"] is None:
        whole, num, den = (
            (match["whole"], match["num"], match["den"]) if match["whole"] else (0, match["num1"], match["den1"])
        )
        if int(den) == 0:
            return None, False
        value = Fraction(int(whole)) + Fraction(int(num), int(den))
        return Decimal(value.numerator) / Decimal(value.denominator), False
    return _number(match["number"], decimal, measured)


def _number(text: str, decimal: str, measured: bool) -> tuple[Decimal | None, bool]:
    marks = [c for c in text if not c.isdigit()]
    if not marks:
        return Decimal(text), False
    last = marks[-1]
    if last in ",." and (len(set(marks)) > 1 or len(marks) == 1):
        thousands = len(marks) == 1 and bool(_THOUSANDS.match(text)) and text[0] != "0"
        # 1,500 pieces are more than a thousand; 1,500 m are one and a half.
        if thousands and decimal != last and (decimal or not measured):
            return Decimal(text.replace(last, "")), not decimal
        head, _, tail = text.rpartition(last)
        head = re.sub(r"\D", "", head) or "0"
        return Decimal(f"{head}.{tail}"), False
    if _THOUSANDS.match(text):
        return Decimal(re.sub(r"\D", "", text)), False
    return None, False


def _with_unit(amount: Decimal, tail: str, about: bool) -> Quantity:
    if match := _RANGE.match(tail):
        about, tail = True, tail[match.end() :]
    if match := re.match(r"\s*(ish|\+|\?|or so)", tail):
        about, tail = True, tail[match.end() :]
    if re.match(r"\s*(\"|''|″)", tail):
        tail = re.sub(r"^\s*(\"|''|″)", " in ", tail)
    tail = tail.strip()
    match = re.match(r"(?:[x×*]\s*)?([a-zåäöü²³]+)\.?(?=$|[\s,;(.])", tail)
    if match and match[1] in _UNITS:
        rest = tail[match.end() :].strip(" ,;.()")
        return _scaled(amount, match[1], about or bool(rest), rest)
    rest = tail.strip(" ,;.()×")
    return _scaled(amount, "", about or bool(rest), "" if rest == "x" else rest)


def _scaled(amount: Decimal, word: str, about: bool, rest: str = "") -> Quantity:
    unit, scale = _UNITS.get(word, ("", Decimal(1)))
    value = amount * scale
    if value >= MOST:
        return Quantity(None, problem="too-big")
    rounded = value.quantize(_STEP, ROUND_HALF_EVEN)
    if rounded == 0 and value != 0:
        return Quantity(None, problem="unclear")
    if word in _LOOSE:
        rest = f"{word} {rest}".strip()
    return Quantity(rounded.normalize() + 0, unit, about, rest)

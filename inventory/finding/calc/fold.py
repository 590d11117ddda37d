"""Bring what people type and what they wrote down to one plain form, so that the two can be compared.

Everything here is text in, text out. The same rules are run in the browser where there is no signal, so they
use nothing but what both languages have: Unicode NFKD, lower case, and plain patterns.
Source for taking accents off: Unicode Standard Annex 15, compatibility decomposition, then dropping the
combining marks (general category M).
"""

import re
import unicodedata

# Letters that are letters of their own, so that Unicode does not decompose them. Common practice,
# no source: what people type who do not have the key, as ø to o.
PLAIN = str.maketrans(
    {"ø": "o", "æ": "ae", "œ": "oe", "ß": "ss", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i", "ħ": "h"}
)
SIGNS = str.maketrans(
    {
        "×": "x",
        "✕": "x",
        "″": '"',
        "”": '"',
        "“": '"',
        "′": "'",
        "’": "'",
        "‘": "'",
        "–": "-",
        "—": "-",
        "−": "-",
    }
)

# Units written the many ways people write them; only ever read right after a figure.
UNITS = {
    "mm": "mm millimetre millimetres millimeter millimeters",
    "cm": "cm centimetre centimetres centimeter centimeters",
    "m": "m metre metres meter meters mtr",
    "in": "in inch inches",
    "ft": "ft foot feet",
    "kg": "kg kgs kilo kilos kilogram kilograms",
    "g": "g gram grams gr",
    "l": "l litre litres liter liters ltr",
    "ml": "ml millilitre millilitres milliliter milliliters",
    "a": "a amp amps ampere amperes",
    "v": "v volt volts",
    "w": "w watt watts",
    "nm": "nm",
    "bar": "bar",
    "psi": "psi",
    "swg": "swg",
    "awg": "awg",
    "gauge": "gauge ga",
    "pin": "pin",
}
_UNIT = {spelling: unit for unit, spellings in UNITS.items() for spelling in spellings.split()}
_AFTER_FIGURE = re.compile(r"(?<=\d)\s*(" + "|".join(sorted(_UNIT, key=len, reverse=True)) + r")\b")
_INCH_MARK = re.compile(r"(?<=\d)\s*(?:\"|'')")
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")
_TIMES = re.compile(r"(?<=\d)(mm|cm|m|in|ft)?\s*[x*]\s*(?=\d)")
_WORD = re.compile(r"\d+(?:\.\d+)+[^\W_]*|[^\W_]+(?:\.\d+[^\W_]*)*")
_DIMENSION = re.compile(r"^[a-z]{0,2}\d[\d.]*[a-z]{0,2}(?:x\d[\d.]*[a-z]{0,2})+$")


def fold(text: str) -> str:
    """Lower case, no accents, one spelling of ×, quotes, decimal comma and units: '5 Mm' -> '5mm'."""
    text = text.translate(SIGNS)
    if not text.isascii():
        text = unicodedata.normalize("NFKD", text)
        text = "".join(c for c in text if not unicodedata.category(c).startswith("M"))
    text = text.casefold()
    if not text.isascii():
        text = text.translate(PLAIN)
    text = _DECIMAL_COMMA.sub(".", text)
    text = _INCH_MARK.sub("in ", text)
    text = _AFTER_FIGURE.sub(lambda found: _UNIT[found[1]], text)
    return _TIMES.sub(lambda found: (found[1] or "") + "x", text)


def words(text: str) -> list[str]:
    """The words of a text, folded, each in the singular: 'Hinges, M8 × 25' -> ['hinge', 'm8x25']."""
    return [singular(word) for word in _WORD.findall(fold(text))]


def squeeze(text: str) -> str:
    """A part number or an address with nothing but its letters and figures: '4-4410.2' -> '444102'.

    Twice, because a figure and a unit may only meet once the mark between them is gone: '0:ga' is found as '0ga'.
    """
    return _bare(fold(_bare(fold(text))))


def _bare(text: str) -> str:
    return "".join(c for c in text if c.isalnum())


def pieces(found: list[str]) -> list[str]:
    """The figures inside dimensions, to be found alone: ['bolt', 'm8x25mm'] -> ['m8', '25mm']."""
    return [piece for word in found if _DIMENSION.match(word) for piece in word.split("x") if piece]


# English plurals the rule below would get wrong, in the words of a workshop.
IRREGULAR = {
    "lens": "lens", "lenses": "lens", "gas": "gas", "gases": "gas", "knives": "knife", "halves": "half",
    "shelves": "shelf", "feet": "foot", "teeth": "tooth", "leaves": "leaf", "axes": "axe", "dies": "die",
    "chassis": "chassis", "series": "series", "pliers": "plier", "buses": "bus", "bias": "bias",
    "shoes": "shoe", "hoes": "hoe", "toes": "toe", "torches": "torch", "caches": "cache", "axles": "axle",
}  # fmt: skip


def singular(word: str) -> str:
    """The singular of one folded English word; figures and short words stay as they are.

    Rule: -ies after two letters to -y; -sses -shes -ches -xes -zes lose -es; else a last s goes, but not from
    -ss -us -is. Both sides of a comparison go through it, so it need only be the same, not perfect.
    """
    if word in IRREGULAR:
        return IRREGULAR[word]
    if len(word) < 4 or not word.endswith("s") or not word.isalpha():
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("sses", "shes", "ches", "xes", "zes")):
        return word[:-2]
    if word.endswith(("ss", "us", "is")):
        return word
    return word[:-1]

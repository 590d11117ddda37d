"""Holding back from a text what is not for the public: addresses of places, identification numbers, prices, names.

Holding back too much is the safe side: a name is found whatever its case, an address however it is written. Only a
name that is an ordinary word as well needs its capital: a floor jack is nobody, and a barn may stand anywhere. What
can't be known is not found: a nickname, an address nobody has given to a place.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from inventory.places.calc.address import address_key

NUMBER, ADDRESS, PRICE, PERSON = "number", "address", "price", "person"
KINDS = (NUMBER, ADDRESS, PRICE, PERSON)

# ISO 3779: 17 characters without I, O and Q.
_SEVENTEEN = re.compile(r"\b(?=[A-Z0-9]*\d[A-Z0-9]*\d[A-Z0-9]*\d)[A-HJ-NPR-Z0-9]{17}\b", re.IGNORECASE)
_AMOUNT = r"(?:\d{1,3}(?:[ .,'’]\d{3})+|\d+)(?:[.,]\d{1,2}|[.,][-–—])?"
_CODES = "EUR USD GBP CHF SEK NOK DKK PLN CZK HUF AUD CAD NZD JPY".replace(" ", "|")
_WORDS = "euros? dollars? quid kronor kroner francs? bucks?".replace(" ", "|")
_SIGN = rf"(?:[€$£¥₽₹₺₴]|\b(?:{_CODES}|{_WORDS}|pounds sterling)\b)"
_LEADS = (
    "cost ", "cost me ", "cost us ", "costs ", "paid ", "priced at ", "price ", "price was ", "price is ", "worth ",
    "bought for ", "sold for ",
)  # fmt: skip
_PRICES = (
    re.compile(rf"{_SIGN}\s?{_AMOUNT}|{_AMOUNT}\s?{_SIGN}", re.IGNORECASE),
    re.compile("|".join(rf"(?<=\b{lead}){_AMOUNT}" for lead in _LEADS), re.IGNORECASE),
)
_MEASURE_FOLLOWS = (
    r"(?!\s?(?:mm|cm|m|km|in|inch|inches|ft|kg|g|l|ml|h|hours?|minutes?|min|V|A|W|rpm|Nm|°|×|x|/|\"|″)\b|[\d×/])"
)
_TOKEN = re.compile(r"[^\W_]+")
_GAP = re.compile(r"\s|\s?[·•\-–_/]\s?|\.")
_LEAD = re.compile(r"\s*\b(?:from|into|onto|to|in|at|off|on)\s+$", re.IGNORECASE)
# Names that a workshop's log uses for other things (common practice, no source).
ORDINARY = frozenset(
    """jack bill mark will rob pat drew rusty sandy cliff frank grant miles penny rose dawn may june april art gene ray
    bob chuck rod wade ward reed rich sue hope faith joy grace dusty guy max norm stew tanner mason carter turner smith
    miller cooper baker carver fuller potter sawyer taylor wright""".split()  # noqa: SIM905 (a column of words)
)
DEEPEST = 7  # pieces of an address


@dataclass(frozen=True, slots=True)
class Found:
    """Something that was held back: kind is one of KINDS, or 'private'; words: what it was."""

    kind: str
    words: str


@dataclass(frozen=True)
class Known:
    """What the shop knows of the things to hold back. addresses are keys as address_key makes them."""

    addresses: frozenset[str] = frozenset()
    place_names: tuple[str, ...] = ()
    numbers: tuple[str, ...] = ()
    amounts: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    private: tuple[str, ...] = ()
    _made: dict = field(default_factory=dict, repr=False, compare=False)

    def pattern(self, name: str) -> re.Pattern | None:
        """One pattern for all words of a kind, the longest first; made once."""
        if name not in self._made:
            words = sorted({word for word in map(str.strip, getattr(self, name)) if word}, key=len, reverse=True)
            after = _MEASURE_FOLLOWS if name == "amounts" else r"(?!\w)"
            before = {"amounts": r"(?<![\w.,])", "place_names": r"(?<!\w)(?:the\s+)?"}.get(name, r"(?<!\w)")
            joined = "|".join(_as_pattern(name, word) for word in words)
            self._made[name] = re.compile(f"{before}(?:{joined}){after}", re.IGNORECASE) if words else None
        return self._made[name]


def _as_pattern(kind: str, word: str) -> str:
    if kind == "numbers":
        return _loosely(word)
    ordinary = kind == "place_names" and " " not in word or kind == "people" and word.casefold() in ORDINARY
    return f"(?-i:{re.escape(word)})" if ordinary else re.escape(word)


def _loosely(number: str) -> str:
    """A number with or without the gaps it is stamped with."""
    return r"[\s.\-/]?".join(re.escape(c) for c in re.sub(r"[\s.\-/]", "", number))


def hold_back(text: str, known: Known, keeps: Iterable[str] = ()) -> tuple[str, list[Found]]:
    """The text without what is held back, and what that was. `keeps`: the kinds that may be told."""
    keeps, found = set(keeps), []
    if not text:
        return text, found
    if "private" not in keeps:
        text = _swap(text, known.pattern("private"), "private", "", found)
    if NUMBER not in keeps:
        text = _swap(text, known.pattern("numbers"), NUMBER, "…", found)
        text = _swap(text, _SEVENTEEN, NUMBER, "…", found)
    if ADDRESS not in keeps:
        text = _without_addresses(text, known, found)
        text = _swap(text, known.pattern("place_names"), ADDRESS, "another place", found)
    if PRICE not in keeps:
        for pattern in (*_PRICES, known.pattern("amounts")):
            text = _swap(text, pattern, PRICE, "…", found)
    if PERSON not in keeps:
        text = _swap(text, known.pattern("people"), PERSON, "somebody", found)
    return (_tidy(text) if found else text), found


def _swap(text: str, pattern: re.Pattern | None, kind: str, by: str, found: list[Found]) -> str:
    if pattern is None:
        return text

    def held(match: re.Match) -> str:
        found.append(Found(kind, match.group().strip()))
        begins = not text[: match.start()].strip() or text[: match.start()].rstrip()[-1] in ".!?\n"
        return by[:1].upper() + by[1:] if begins else by

    return pattern.sub(held, text)


def _without_addresses(text: str, known: Known, found: list[Found]) -> str:
    tokens = list(_TOKEN.finditer(text))
    out, done, number = [], 0, 0
    while number < len(tokens):
        last = _address_from(text, tokens, number, known.addresses)
        if last is None:
            number += 1
            continue
        start, end = tokens[number].start(), tokens[last].end()
        before = _LEAD.sub("", text[done:start])
        found.append(Found(ADDRESS, text[start:end]))
        out.append(before)
        done, number = end, last + 1
    return "".join(out) + text[done:]


def _address_from(text: str, tokens: list[re.Match], first: int, addresses: frozenset[str]) -> int | None:
    """The last token of the longest address that begins at a token."""
    longest = first
    for number in range(first + 1, min(first + DEEPEST, len(tokens))):
        gap = text[tokens[number - 1].end() : tokens[number].start()]
        if not _GAP.fullmatch(gap):
            break
        longest = number
    for last in range(longest, first - 1, -1):
        words = text[tokens[first].start() : tokens[last].end()]
        dotted = "·" in words
        clear = dotted or (re.search(r"\d", words) and re.search(r"[^\W\d]", words))
        if clear and (address_key(words) in addresses or (dotted and re.fullmatch(r"[^\W_]+(?:·[^\W_]+)+", words))):
            return last
    return None


def _tidy(text: str) -> str:
    """No double gaps, no gap before a full stop, where something was taken out."""
    text = re.sub(r"[ \t]{2,}", " ", text)
    text = re.sub(r"\(\s*\)", "", text)
    text = re.sub(r"[ \t]+([.,;:!?])", r"\1", text)
    return "\n".join(line.strip() for line in text.split("\n"))

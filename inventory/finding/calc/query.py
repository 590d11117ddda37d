"""What somebody typed into the box, taken apart: words that must all be met, each by any of its forms."""

import re
from dataclasses import dataclass, replace

from .alike import Alike
from .fold import fold, singular, squeeze, words

LONGEST = 12  # words; what is typed beyond them narrows nothing any more
_JOINED = re.compile(r"(?<=[^\W_])[-/·\\_](?=[^\W_])|\..*\.")  # one dot alone is a decimal


@dataclass(frozen=True, slots=True)
class Word:
    """`forms`: the word as typed; `alike`: what else it is called; `slips`: known words one slip away."""

    forms: tuple[str, ...]
    alike: tuple[str, ...] = ()
    slips: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Query:
    """`whole` is everything typed squeezed together, where it may be a part number or an address, else ''."""

    words: tuple[Word, ...]
    whole: str = ""

    def with_slips(self, slips: dict[int, tuple[str, ...]]) -> "Query":
        """The same query with words one slip away allowed, by the position of the word."""
        return replace(
            self,
            words=tuple(replace(word, slips=slips.get(i, ())) for i, word in enumerate(self.words)),
        )

    def without(self, i: int) -> "Query":
        """The same query with one word let go, for near misses."""
        return Query(self.words[:i] + self.words[i + 1 :])


def parse(text: str, alike: Alike) -> Query:
    """Take a query apart. The last word may be unfinished; words joined by - . / · may be a part number."""
    chunks = fold(text).split()
    found: list[Word] = []
    plain = [words(chunk) for chunk in chunks]
    i = 0
    while i < len(chunks) and len(found) < LONGEST:
        size, phrase = _phrase(plain, i, alike)
        if size:
            found.append(Word((phrase,), alike.others(phrase)))
            i += size
        else:
            found.extend(_chunk(chunks[i], plain[i], i == len(chunks) - 1, alike))
            i += 1
    whole = squeeze(text)
    if len(found) < 2 or not any(c.isdigit() for c in whole) or len(whole) < 3:
        whole = ""
    return Query(tuple(found), whole)


def _phrase(plain: list[list[str]], start: int, alike: Alike) -> tuple[int, str]:
    """The longest known phrase of several words that begins at this chunk: how many, and the phrase."""
    for size in range(min(alike.longest, len(plain) - start), 1, -1):
        phrase = " ".join(word for chunk in plain[start : start + size] for word in chunk)
        if phrase in alike.groups:
            return size, phrase
    return 0, ""


def _chunk(chunk: str, plain: list[str], last: bool, alike: Alike) -> list[Word]:
    """The words of what was typed between two spaces."""
    if not plain:
        return []
    if len(plain) > 1 or _JOINED.search(chunk):
        phrase = " ".join(plain)
        forms = tuple(dict.fromkeys((squeeze(chunk), phrase)))
        return [Word(forms, alike.others(phrase))]
    typed = "".join(c for c in chunk if c.isalnum() or c == ".").strip(".")
    word = singular(typed)
    others = alike.others(word)
    if last and not others and len(typed) >= 4 and typed.isalpha():
        others = alike.begun(typed)
    forms = (word,) if typed.startswith(word) else (word, typed)
    return [Word(forms, others)]

"""Which column holds what: guessed from its heading, and from what stands under it.

The shares and widths below are common practice, no source; the person sees each guess with examples.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from .headings import MANY, PLACE_KINDS, meaning, plain
from .place import read_place
from .quantity import read_quantity
from .table import Table
from .words import read_condition, read_origin, read_side

_SAMPLE = 300
_NUMBER = re.compile(r"^(?=.*\d)[A-Za-z0-9][A-Za-z0-9 ./-]{2,24}$")
_COUNT = re.compile(r"^[~<>]?\s*[\d.,/½¼¾]+\s*[A-Za-z.]{0,5}\+?$")


@dataclass(frozen=True, slots=True)
class Column:
    index: int
    heading: str
    field: str  # '' is left out
    why: str  # 'heading', 'contents' or ''
    examples: tuple[str, ...]  # up to three different ones


def guess_columns(table: Table) -> tuple[Column, ...]:
    """One guess for each column. No field but those of MANY and the kinds of place is given twice."""
    samples = [[r.cells[i] for r in table.rows[:_SAMPLE] if r.cells[i]] for i in range(len(table.headings))]
    meanings = [meaning(h) for h in table.headings]
    fields, whys = [""] * len(meanings), [""] * len(meanings)
    for strength in (3, 2):
        for index, (field, strong) in enumerate(meanings):
            if strong == strength and (field in MANY or field not in fields):
                fields[index], whys[index] = field, "heading"
            elif strong == strength and field == "name" and "note" not in fields:
                fields[index], whys[index] = "note", "heading"  # a second describing column
    for index, sample in enumerate(samples):
        if not fields[index] and meanings[index][1] <= 1 and sample:
            field = _from_contents(sample, fields)
            fields[index], whys[index] = field, "contents" if field else ""
    if "name" not in fields and (index := _wordiest(samples, fields)) is not None:
        fields[index], whys[index] = "name", "contents"
    return tuple(
        Column(i, h, fields[i], whys[i] if fields[i] else "", _examples(samples[i]))
        for i, h in enumerate(table.headings)
    )


def headings_key(headings: Sequence[str]) -> str:
    """The same for the same headings in the same order, whatever their case, accents and spaces."""
    return "|".join(plain(h) for h in headings)[:2000]


def _examples(sample: list[str]) -> tuple[str, ...]:
    return tuple(list(dict.fromkeys(sample))[:3])


def _from_contents(sample: list[str], taken: list[str]) -> str:
    if _counts_up(sample):
        return ""  # a running number of the rows
    free = [f for f in ("condition", "side", "origin", "quantity", "place", "numbers") if f not in taken]
    if any(f in taken for f in PLACE_KINDS):
        free = [f for f in free if f != "place"]
    for field in free:
        if sum(map(_LOOKS_LIKE[field], sample)) >= len(sample) * 0.7:
            return field
    return ""


def _counts_up(sample: list[str]) -> bool:
    return len(sample) > 2 and sample == [str(int(sample[0]) + n) for n in range(len(sample))] if (
        sample[0].isascii() and sample[0].isdigit()) else False  # fmt: skip


def _is_place(text: str) -> bool:
    place = read_place(text)
    if place.address:
        return True
    named = [s for s in place.steps if s.kind != "site"]
    return len(named) > 1 or bool(named and plain(named[0].name).startswith(named[0].kind))


_LOOKS_LIKE = {
    "condition": lambda t: bool(read_condition(t)),
    "origin": lambda t: bool(read_origin(t)),
    "side": lambda t: bool(read_side(t)),
    "quantity": lambda t: bool(_COUNT.match(t)) and read_quantity(t).amount is not None
    and len(re.sub(r"\D", "", t)) < 5,
    "place": _is_place,
    "numbers": lambda t: bool(_NUMBER.match(t)),
}  # fmt: skip


def _wordiest(samples: list[list[str]], fields: list[str]) -> int | None:
    """The unclaimed column with the most letters a cell, and different texts."""

    def letters(index: int) -> float:
        sample = samples[index]
        if fields[index] or not sample:
            return 0
        return sum(sum(c.isalpha() for c in t) for t in sample) / len(sample) * len(set(sample)) / len(sample)

    best = max(range(len(samples)), key=letters, default=None)
    return best if best is not None and letters(best) >= 1 else None

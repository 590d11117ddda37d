"""Text with separators, as rows under headings.

Source: RFC 4180 for quoting, doubled quotes and line breaks inside quotes. What the RFC leaves out and
spreadsheets do all the same (';' or tab between fields, a 'sep=' line, titles above the headings, merged
group headings, empty rows) is common practice, no source.
"""

import csv
import io
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice

from .headings import meaning

SEPARATORS = ("\t", ";", "|", ",")  # of equally likely ones the first: a comma may be a decimal mark
MAX_COLUMNS = 200
_LOOK = 200  # rows that decide the separator
_END = "end of the list"
_HEAD = 30  # rows among which the headings are looked for


class OpenQuote(ValueError):
    """A quotation mark is opened in `row` (counted from 1) and never closed."""

    def __init__(self, row: int):
        super().__init__(row)
        self.row = row


class TooWide(ValueError):
    """A row has more than MAX_COLUMNS fields."""


@dataclass(frozen=True, slots=True)
class Row:
    number: int  # as a spreadsheet counts, from 1, empty rows included
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    headings: tuple[str, ...]  # '' where a column has none
    rows: tuple[Row, ...]  # no empty ones; each as long as `headings`
    heading_row: int  # number of the row the headings were read from, 0 where there was none


def separate(text: str) -> tuple[str, list[list[str]]]:
    """(separator, records) of delimited text. Raises OpenQuote or TooWide."""
    first, _, rest = text.partition("\n")
    hint = first.strip().strip('"').lower()
    if hint.startswith("sep=") and len(hint) == 5:
        return hint[4], _records("\n" + rest, hint[4])
    separator = _likely_separator(text)
    return separator, _records(text, separator)


def _records(text: str, separator: str) -> list[list[str]]:
    """The records. A last line of our own shows whether a quote swallowed what came after it."""
    records: list[list[str]] = []
    ended = text if text.endswith("\n") else f"{text}\n"
    reader = csv.reader(io.StringIO(f"{ended}{_END}", newline=""), delimiter=separator, strict=False)
    try:
        for record in reader:
            if len(record) > MAX_COLUMNS:
                raise TooWide
            records.append(record)
    except csv.Error as error:  # a field of more than 131,072 characters: a quote swallowed the rest
        raise OpenQuote(len(records) + 1) from error
    if records.pop() != [_END]:
        raise OpenQuote(len(records) + 1)
    return records


def _likely_separator(text: str) -> str:
    """The one under which the headings are known and the rows are equally long."""

    def score(separator: str) -> tuple[int, float, int]:
        head = csv.reader(io.StringIO(text[:200_000], newline=""), delimiter=separator)
        try:
            rows = [r for r in islice(head, _LOOK) if any(c.strip() for c in r)]
        except csv.Error:
            return (0, 0.0, 0)
        if not rows:
            return (0, 0.0, 0)
        known = max(_known(r) for r in rows[:_HEAD])
        width, times = Counter(len(r) for r in rows).most_common(1)[0]
        return (known if known > 1 else 0, times / len(rows) if width > 1 else 0.0, width)

    best = max(SEPARATORS, key=score)
    return best if score(best) > (0, 0.0, 1) else ","


def _known(cells: Iterable[str]) -> int:
    return len({field for field, strength in map(meaning, cells) if strength >= 2} - {""})


def arrange(records: Iterable[Iterable[str]]) -> Table:
    """Headings found, titles above them and empty rows dropped, group headings put before their columns."""
    numbered = [
        Row(number, cells)
        for number, record in enumerate(records, 1)
        if any(cells := tuple(cell.strip() for cell in record))
    ]
    at = _heading_at(numbered)
    head = numbered[at].cells if at is not None else ()
    body = numbered[at + 1 :] if at is not None else numbered
    if at and (group := _group_above(numbered[at - 1], numbered[at])):
        head = tuple(" ".join(filter(None, pair)) for pair in zip(group, head, strict=True))
    width = max((_filled(r.cells) for r in body), default=0)
    width = max(width, _filled(head))
    rows = tuple(Row(r.number, (r.cells + ("",) * width)[:width]) for r in body if not (head and r.cells == head))
    return Table((head + ("",) * width)[:width], rows, numbered[at].number if at is not None else 0)


def _filled(cells: tuple[str, ...]) -> int:
    return max((i for i, cell in enumerate(cells, 1) if cell), default=0)


def _heading_at(rows: list[Row]) -> int | None:
    """Where the headings stand: the row with most known ones (two at least, or the only one of a lone column)."""
    best, at = 0, None
    for index, row in enumerate(rows[:_HEAD]):
        filled = [c for c in row.cells if c]
        known = _known(filled)
        if known > best and (known >= 2 or len(filled) <= 2 and index == 0 and _exactly(filled)):
            best, at = known, index
    return at


def _exactly(cells: list[str]) -> bool:
    return any(meaning(cell)[1] == 3 for cell in cells)


def _group_above(above: Row, row: Row) -> tuple[str, ...]:
    """The headings of groups, each repeated over its columns; () where the row above is a mere title.

    A merged cell is exported as its text followed by empty cells, so a group reaches to the next text.
    """
    width = len(row.cells)
    cells = (above.cells + ("",) * width)[:width]
    if sum(1 for c in cells if c) < 2 or above.number != row.number - 1 or not any(c == "" for c in cells):
        return ()
    spread, current = [], ""
    for cell in cells:
        current = cell or current
        spread.append(current)
    return tuple(spread)

"""One row of a table, read as a part and how many of it lie where."""

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from .headings import PLACE_KINDS, meaning, plain
from .place import Place, read_place_columns
from .quantity import Quantity, decimal_mark, read_quantity, read_unit
from .table import Row, Table
from .words import read_condition, read_origin, read_side

LONGEST_NAME = 120
_GUARDED = ("'=", "'+", "'-", "'@", "'\t", "'\r")


@dataclass(frozen=True, slots=True)
class Problem:
    """`code` names what was not understood in `column` (a field); `text` is what stood there."""

    column: str
    code: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    row: int
    name: str = ""
    numbers: tuple[str, ...] = ()
    other_names: tuple[str, ...] = ()
    quantity: Quantity = Quantity(None)
    quantity_text: str = ""
    place: Place = Place()
    place_text: str = ""
    condition: str = ""
    origin: str = ""
    donor: str = ""
    side: str = ""
    unit: str = ""
    keep_at_least: Decimal | None = None
    note: str = ""
    left_out: str = ""  # '' or why the row is not a part: title, repeated-heading, total
    errors: tuple[Problem, ...] = ()  # keep the row from being imported
    remarks: tuple[Problem, ...] = ()  # imported all the same; the person should know
    fingerprint: str = ""


@dataclass(slots=True)
class _Draft:
    """What is gathered while the cells of one row are read."""

    texts: Mapping[str, list[str]]
    errors: list[Problem] = field(default_factory=list)
    remarks: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def one(self, name: str) -> str:
        return " ".join(self.texts.get(name, ()))

    def lines(self, name: str) -> tuple[str, ...]:
        parts = [p.strip() for text in self.texts.get(name, ()) for p in text.replace(";", "\n").splitlines()]
        return tuple(dict.fromkeys(p for p in parts if p))

    def word(self, name: str, reader) -> str:
        """A word from a fixed list; another word is kept in the note, so that nothing is lost."""
        text = self.one(name)
        value = reader(text)
        if text and not value:
            self.remarks.append(Problem(name, "unknown-word", text))
            self.notes.append(text)
        return value


def read_rows(table: Table, columns: Sequence[str]) -> Iterator[Reading]:
    """Each row of `table`, with `columns[i]` the field that column i holds ('' is left out).

    Equal rows keep their order: the second of two gets another fingerprint than the first.
    """
    at = {f: [i for i, c in enumerate(columns) if c == f] for f in set(columns) - {""}}
    decimal = decimal_mark(r.cells[i] for r in table.rows for i in at.get("quantity", ()))
    seen: Counter[str] = Counter()
    last = table.heading_row
    for row in table.rows:
        reading = _read(row, at, decimal, list(columns), row.number > last + 1)
        last = row.number
        if not reading.left_out:
            identity = _identity(reading)
            seen[identity] += 1
            reading = replace(reading, fingerprint=_digest(f"{identity}\x1f{seen[identity]}"))
        yield reading


def _read(row: Row, at: Mapping[str, list[int]], decimal: str, columns: list[str], after_gap: bool) -> Reading:
    texts = {f: [_unguard(row.cells[i]) for i in places if row.cells[i]] for f, places in at.items()}
    if reason := _not_a_part(row.cells, columns, texts, after_gap):
        return Reading(row.number, name=next(c for c in row.cells if c), left_out=reason)
    draft = _Draft(texts)
    name = draft.one("name")
    if not name:
        draft.errors.append(Problem("name", "missing"))
    elif len(name) > LONGEST_NAME:
        draft.errors.append(Problem("name", "too-long", name[:60]))
    stated = draft.word("unit", read_unit)
    quantity = _quantity(draft, decimal, stated)
    place = _place(draft, columns, texts)
    condition = draft.word("condition", read_condition)
    side = draft.word("side", read_side)
    origin, donor = _origin(draft)
    unit = _unit(draft, quantity, stated)
    keep = _keep(draft, decimal)
    if quantity.amount and not place.steps and not place.problem:
        draft.errors.append(Problem("place", "missing"))
    if place.rest:
        draft.notes.append(place.rest)
    return Reading(
        row=row.number, name=name, numbers=draft.lines("numbers"), other_names=draft.lines("other_names"),
        quantity=quantity, quantity_text=draft.one("quantity"), place=place,
        place_text=", ".join(texts.get("place", [])) or ", ".join(t for k in PLACE_KINDS for t in texts.get(k, ())),
        condition=condition, origin=origin, donor=donor, side=side, unit=unit, keep_at_least=keep,
        note="\n".join([*texts.get("note", ()), *draft.notes]),
        errors=tuple(draft.errors), remarks=tuple(draft.remarks),
    )  # fmt: skip


def _not_a_part(cells: tuple[str, ...], columns: list[str], texts: Mapping[str, list[str]], after_gap: bool) -> str:
    filled = [c for c in cells if c]
    mapped = len({c for c in columns if c})
    if mapped > 1 and len({f for f, s in map(meaning, filled) if s == 3}) >= min(3, mapped):
        return "repeated-heading"
    if plain(filled[0]) in ("total", "sum", "grand total", "subtotal", "totals", "totalt", "summe"):
        return "total"
    # A lone text is a heading between the rows when it is set off as one; else it is a part of which no more is known.
    lone = mapped > 2 and len(filled) == 1 and not (texts.get("quantity") or texts.get("numbers"))
    if lone and (after_gap or filled[0].isupper() or filled[0].endswith(":")):
        return "title"
    return ""


def _quantity(draft: _Draft, decimal: str, unit: str) -> Quantity:
    text = draft.one("quantity")
    quantity = read_quantity(text, decimal, unit)
    if quantity.problem:
        draft.errors.append(Problem("quantity", quantity.problem, text))
    elif not text:
        draft.remarks.append(Problem("quantity", "missing"))
    elif quantity.about:
        draft.remarks.append(Problem("quantity", "about", text))
        draft.notes.append(f"{text.strip()}")
    elif quantity.rest:
        draft.notes.append(text)
    return quantity


def _place(draft: _Draft, columns: list[str], texts: Mapping[str, list[str]]) -> Place:
    kinds = ("place", *PLACE_KINDS)
    pieces = tuple((k, t) for k in kinds if k in columns for t in texts.get(k, ()))
    place = read_place_columns(pieces)
    if place.problem:
        draft.errors.append(Problem("place", place.problem, ", ".join(t for _, t in pieces)))
    return place


def _origin(draft: _Draft) -> tuple[str, str]:
    donor = draft.one("donor")
    text = draft.one("origin")
    origin = draft.word("origin", read_origin)
    if text.lower().startswith(("off ", "from ")) and origin == "pulled" and not donor:
        donor = text.split(" ", 1)[1].strip()
        donor = donor[4:] if donor.lower().startswith("the ") else donor
    return origin or ("pulled" if donor else ""), donor


def _unit(draft: _Draft, quantity: Quantity, stated: str) -> str:
    if stated and quantity.unit and stated != quantity.unit:
        draft.errors.append(Problem("unit", "two-units", f"{draft.one('quantity')}, {draft.one('unit')}"))
    return quantity.unit or stated


def _keep(draft: _Draft, decimal: str) -> Decimal | None:
    text = draft.one("keep_at_least")
    keep = read_quantity(text, decimal)
    if keep.problem:
        draft.remarks.append(Problem("keep_at_least", "unclear", text))
    return keep.amount or None


def _unguard(text: str) -> str:
    """An export puts an apostrophe before what a spreadsheet would run as a formula; it goes off again."""
    return text[1:] if text.startswith(_GUARDED) else text


def _identity(reading: Reading) -> str:
    """Which part in which place; not how many, so that a corrected count is noticed as the same row."""
    steps = [f"{s.kind}:{plain(s.name)}:{s.short.lower()}" for s in reading.place.steps]
    return "\x1f".join(
        (plain(reading.name), *sorted(map(_bare, reading.numbers)), reading.condition, reading.origin,
         plain(reading.donor), reading.side, *steps)
    )  # fmt: skip


def _bare(number: str) -> str:
    return "".join(c for c in number.casefold() if c.isalnum())


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:32]


def worst_first(readings: Iterable[Reading]) -> list[Reading]:
    """Errors, then rows left out, then those with remarks, then the rest; each in the order of the file."""
    return sorted(readings, key=lambda r: 0 if r.errors else 1 if r.left_out else 2 if r.remarks else 3)

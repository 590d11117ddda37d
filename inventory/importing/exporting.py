"""Everything in the shop as rows: parts with where they lie, places, moves."""

import csv
import json
from collections.abc import Iterable, Iterator
from itertools import chain

from inventory.parts.models import Holding, Move, Part
from inventory.places.models import Location

from .calc.neutral import neutral
from .calc.place import Step, write_place

# The headings are ones that an import knows again.
PARTS = ("Name", "Part numbers", "Other names", "Condition", "Origin", "Donor", "Side", "How many", "Unit",
         "Address", "Place", "Keep at least", "Note")  # fmt: skip
PLACES = ("Address", "Kind", "Name", "Short", "Place", "Rows", "Columns", "Away", "Counted at", "Note")
MOVES = ("When", "Part", "Quantity", "Unit", "From", "To", "Reason", "Who", "Note", "Cost", "Undone", "Uid", "Batch")


def parts_rows() -> Iterator[tuple]:
    """A row for each part in each place, and one for a part that is in none."""
    ways = _ways()
    addresses = dict(Location.objects.values_list("pk", "address"))
    held = Holding.objects.select_related("part", "part__donor")
    for row in held.order_by("part__name", "part_id", "location__address_key").iterator(chunk_size=2000):
        where = (f"{row.quantity:f}", row.part.unit, addresses[row.location_id], ways[row.location_id])
        yield _part_row(row.part, where)
    for part in Part.objects.current().filter(holdings=None).select_related("donor").iterator(chunk_size=2000):
        yield _part_row(part, ("0", part.unit, "", ""))


def _part_row(part: Part, where: tuple[str, str, str, str]) -> tuple:
    keep = f"{part.keep_at_least:f}" if part.keep_at_least else ""
    return (part.name, part.part_numbers, part.other_names, part.condition, part.origin,
            _donor(part.donor), part.side, *where, keep, part.note)  # fmt: skip


def places_rows() -> Iterator[tuple]:
    ways = _ways()
    for place in Location.objects.filter(retired_at=None).order_by("path").iterator(chunk_size=2000):
        counted = place.counted_at.isoformat() if place.counted_at else ""
        yield (place.address, place.kind, place.name, place.short, ways[place.pk], place.rows, place.cols,
               "yes" if place.away else "", counted, place.note)  # fmt: skip


def moves_rows() -> Iterator[tuple]:
    moves = Move.objects.select_related("part", "source", "target", "by", "reversed_by").order_by("at", "pk")
    for move in moves.iterator(chunk_size=2000):
        undone = "undoes another" if move.reverses_id else "undone" if hasattr(move, "reversed_by") else ""
        yield (move.at.isoformat(), str(move.part), f"{move.quantity:f}", move.part.unit, _end(move.source),
               _end(move.target), move.reason, move.by.name if move.by else "", move.note,
               "" if move.cost is None else f"{move.cost:f}", undone, str(move.uid), str(move.batch_id))  # fmt: skip


EXPORTS = {"parts": (PARTS, parts_rows), "places": (PLACES, places_rows), "moves": (MOVES, moves_rows)}


def _donor(place: Location | None) -> str:
    """As an import reads it: 'Corvane estate [D2]'."""
    return "" if place is None else f"{place.title} [{place.short}]" if place.short else place.title


def _end(place: Location | None) -> str:
    return str(place) if place else ""


def _ways() -> dict[int, str]:
    """Each place written out from the outside in, as an import reads it."""
    steps: dict[int, tuple[Step, ...]] = {}
    for place in Location.objects.order_by("path"):
        step = Step(place.kind, place.title, place.short)
        steps[place.pk] = (*steps.get(place.parent_id, ()), step)
    return {number: write_place(way) for number, way in steps.items()}


class _Line:
    """What csv.writer writes to; gives the line back instead of keeping it."""

    def write(self, text: str) -> str:
        return text


def csv_lines(headings: Iterable[str], rows: Iterable[tuple]) -> Iterator[str]:
    """RFC 4180: CRLF ends, quotes doubled; a mark first, by which spreadsheets know UTF-8."""
    writer = csv.writer(_Line(), lineterminator="\r\n")
    yield "\ufeff"
    for row in chain([tuple(headings)], rows):
        yield writer.writerow([neutral("" if cell is None else str(cell)) for cell in row])


def json_lines(headings: Iterable[str], rows: Iterable[tuple]) -> Iterator[str]:
    """A JSON list with one object a line; keys are the headings in lower case with _ for blanks."""
    keys = [heading.lower().replace(" ", "_") for heading in headings]
    before = "[\n"
    for row in rows:
        yield before + json.dumps(dict(zip(keys, row, strict=True)), ensure_ascii=False)
        before = ",\n"
    yield "[]\n" if before == "[\n" else "\n]\n"

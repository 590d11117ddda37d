"""Bringing a list in, all of it or nothing, and taking the whole of it out again."""

import uuid
from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from inventory.parts import actions as parts
from inventory.parts.bulk import insert, insert_numbered
from inventory.parts.models import Batch, Holding, Move, Origin, Part
from inventory.people.models import Person
from inventory.places.changes import plant
from inventory.places.models import Location

from .calc.rows import Reading
from .models import HeadingMemory, Import, ImportedRow, State, key_of
from .plan import LIST_ONLY, PUT_IN, Plan, Planned, Progress, known_rows, make_plan, untold


class ShopChanged(Exception):
    """Rows that were to be brought in have come in by another list since the plan was made."""


@dataclass(frozen=True, slots=True)
class Brought:
    batch: Batch
    counts: dict[str, int]
    places_made: list[int]


def begin(*, name: str, how: str, headings, columns, rows: int, by: Person | None) -> Import:
    """A list that was read and waits for its columns to be looked at."""
    return Import.objects.create(
        name=name[:200], how=how[:200], headings=list(headings), columns=list(columns), rows=rows, by=by
    )


@transaction.atomic
def keep_columns(*, source: Import, columns: list[str]) -> None:
    """What the columns hold, for this list and for the next one with the same headings."""
    source.columns = columns
    source.save(update_fields=["columns"])
    HeadingMemory.objects.update_or_create(
        key=key_of(source.headings), defaults={"columns": columns, "at": timezone.now()}
    )


def import_rows(
    *,
    readings: Iterable[Reading],
    name: str,
    by: Person | None,
    source: Import | None = None,
    progress: Progress = untold,
) -> Brought:
    """Bring in what rows say: places and parts that are missing are made, the rest is one batch of moves.

    Rows with errors, rows left out and rows that are in already add nothing. The plan is made before the write
    transaction, which then only writes. Raises ShopChanged, and then nothing was written.
    """
    plan = make_plan(readings, lambda done, of: progress(30 + 20 * done // of, 100))
    source = source or Import(name=name[:200], by=by)
    return write(plan=plan, source=source, by=by, progress=progress)


@transaction.atomic
def write(*, plan: Plan, source: Import, by: Person | None, progress: Progress = untold) -> Brought:
    """Write a plan in one transaction."""
    rows = [row for row in plan.rows if row.outcome in (PUT_IN, LIST_ONLY)]
    if known_rows(row.reading.fingerprint for row in rows):
        raise ShopChanged
    progress(50, 100)
    plant(plan.new_places)
    for part in plan.new_parts:
        part.donor = part.donor  # the donor may have been saved only now; this copies its number
    insert_numbered(plan.new_parts)
    progress(70, 100)
    lines = [_line(row, source.name) for row in rows if row.outcome == PUT_IN]
    batch = parts.record(lines=lines, what=f"Brought in {len(rows):,} rows of {source.name}", by=by, uid=uuid.uuid4())
    progress(90, 100)
    source.batch, source.state = batch, State.DONE
    source.counts = plan.counts | {"not_understood": plan.not_understood}
    source.places_made = [place.pk for place in plan.new_places]
    source.trouble = ""
    source.save()
    insert(
        ImportedRow,
        ("source", "fingerprint", "part", "quantity", "made_part"),
        ((source.pk, row.reading.fingerprint, row.part.pk, row.reading.quantity.amount or 0, row.new_part)
         for row in rows),
    )  # fmt: skip
    progress(100, 100)
    return Brought(batch, plan.counts, source.places_made)


def _line(row: Planned, name: str) -> parts.Line:
    reading = row.reading
    note = f"{name}, row {reading.row}"
    if not row.new_part and reading.note:
        note += f"\n{reading.note}"
    reason = parts.ARRIVES_AS[Origin(row.part.origin)]
    return parts.Line(row.part, reading.quantity.amount, None, row.place, reason, note)


@transaction.atomic
def undo_import(*, source: Import, by: Person | None) -> Batch:
    """Take the whole list out again: its moves are reversed, and the parts and places that only it made are retired.

    Raises NotEnough when some of it has gone elsewhere since, and then nothing is changed.
    """
    undone = parts.undo(batch=source.batch, by=by)
    now = timezone.now()
    ours = [source.batch_id, undone.pk]
    made = ImportedRow.objects.filter(source=source, made_part=True).values("part_id")
    moved_since = Move.objects.exclude(batch_id__in=ours).filter(part_id__in=made).values("part_id")
    held = Holding.objects.filter(part_id__in=made).values("part_id")
    Part.objects.current().filter(pk__in=made).exclude(pk__in=moved_since).exclude(pk__in=held).update(retired_at=now)
    _retire_places(source, ours, now)
    return undone


def _retire_places(source: Import, ours: list, now) -> None:
    """From the inside out: a place that holds nothing, has nothing in it and was used by nothing else."""
    places = Location.objects.in_bulk(source.places_made)
    gone = []
    for place in sorted(places.values(), key=lambda p: -len(p.path.split("/"))):
        used = Move.objects.exclude(batch_id__in=ours).filter(target=place).exists()
        held = Holding.objects.filter(location=place).exists()
        inside = Location.objects.filter(parent=place, retired_at=None).exclude(pk__in=gone).exists()
        donor_of = Part.objects.current().filter(donor=place).exists()
        if not (used or held or inside or donor_of):
            gone.append(place.pk)
    Location.objects.filter(pk__in=gone, retired_at=None).update(retired_at=now)


def throw_away(*, source: Import) -> None:
    """Forget a list that was not brought in."""
    Import.objects.filter(pk=source.pk, state=State.WAITING).delete()

"""Filling a cabinet: what is said of its drawers becomes so, all of it or nothing, and is undone as one."""

import uuid
from collections.abc import Sequence
from decimal import Decimal

from django.db import transaction

from inventory.parts import hardware
from inventory.parts.actions import leave_lists, record
from inventory.parts.ledger import Line, earlier_batch
from inventory.parts.models import Batch, Holding, Part, Reason
from inventory.people.models import Person
from inventory.places import changes
from inventory.places.models import Location

from .models import Filling
from .plan import Planned, counts


@transaction.atomic
def fill(*, cabinet: Location, plan: Sequence[Planned], by: Person | None, uid: uuid.UUID) -> Batch:
    """Parts that are new come into the list, drawers are named after what belongs in them, and where a number is given
    the drawer then holds that many. A repeat of the same uid changes nothing, also after an Undo."""
    if earlier := earlier_batch(uid):
        return earlier
    rows = [row for row in plan if row.part]
    new = []
    for row in rows:
        if row.new:
            row.part.full_clean()
            row.part.save()
            new.append(row.part.pk)
    names: dict[int, tuple[Location, list[str]]] = {}
    for row in rows:
        drawer, said = names.setdefault(row.drawer.pk, (row.drawer, []))
        name = row.part.fastener or row.part.name
        if name not in said:
            said.append(name)
    edits = [(drawer, {"name": hardware.BETWEEN.join(said)[:80]}) for drawer, said in names.values()]
    named = f"Named {drawers_said(len(edits))} of {cabinet}"
    change = changes.write(location=cabinet, what=named, by=by, edits=edits)
    told = counts(rows)
    held = _held(told)
    lines = []
    for drawer, part, number in told:
        by_much = number - held.get((part.pk, drawer.pk), Decimal(0))
        if by_much > 0:
            lines.append(Line(part, by_much, None, drawer, Reason.RECEIVED, note="Filling a cabinet"))
        elif by_much < 0:
            lines.append(Line(part, -by_much, drawer, None, Reason.COUNTED, note="Filling a cabinet"))
    batch = record(lines=lines, what=f"Filled {drawers_said(len(names))} of {cabinet}", by=by, uid=uid)
    Filling.objects.create(batch=batch, change=change, new=new)
    return batch


def drawers_said(drawers: int) -> str:
    return f"{drawers} drawer{'' if drawers == 1 else 's'}"


def _held(told) -> dict[tuple[int, int], Decimal]:
    drawers = {drawer.pk for drawer, _, _ in told}
    rows = Holding.objects.filter(location_id__in=drawers).values_list("part_id", "location_id", "quantity")
    return {(part, place): quantity for part, place, quantity in rows}


def undone(batch: Batch) -> str | None:
    """After an Undo: the drawers have the names they had, and parts that came with the list are off the lists again.

    Answers what stays, in words: the names, where a drawer was named anew since.
    """
    filling = Filling.objects.filter(batch=batch).select_related("change__location").first()
    if filling is None:
        return None
    leave_lists(Part.objects.filter(pk__in=filling.new), batch=batch)
    if filling.change is None or filling.change.undone_at:
        return None
    try:
        changes.undo(change=filling.change)
    except changes.CannotUndo as why:
        return (
            f"The drawers keep the names they were given: {why} "
            f"“{filling.change}” has an Undo of its own on the page of {filling.change.location}."
        )
    return None

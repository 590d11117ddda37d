"""Filling a cabinet: what is said of its drawers becomes so, all of it or nothing."""

import uuid
from collections.abc import Sequence
from decimal import Decimal

from django.db import transaction

from inventory.parts import hardware
from inventory.parts.actions import record
from inventory.parts.ledger import Line
from inventory.parts.models import Batch, Holding, Reason
from inventory.people.models import Person
from inventory.places.changes import write
from inventory.places.models import Location

from .plan import Planned, counts


@transaction.atomic
def fill(*, cabinet: Location, plan: Sequence[Planned], by: Person | None, uid: uuid.UUID) -> Batch:
    """Parts that are new come into the list, drawers are named after what belongs in them, and where a number is given
    the drawer then holds that many. A repeat of the same uid changes nothing."""
    if earlier := Batch.objects.filter(pk=uid).first():
        return earlier
    rows = [row for row in plan if not row.trouble]
    for row in rows:
        if row.new:
            row.part.full_clean()
            row.part.save()
    names: dict[int, tuple[Location, list[str]]] = {}
    for row in rows:
        drawer, said = names.setdefault(row.drawer.pk, (row.drawer, []))
        name = row.part.fastener or row.part.name
        if name not in said:
            said.append(name)
    edits = [(drawer, {"name": hardware.BETWEEN.join(said)[:80]}) for drawer, said in names.values()]
    write(location=cabinet, what=f"Named {len(edits)} drawers of {cabinet}", by=by, edits=edits)
    told = counts(rows)
    held = _held(told)
    lines = []
    for drawer, part, number in told:
        by_much = number - held.get((part.pk, drawer.pk), Decimal(0))
        if by_much > 0:
            lines.append(Line(part, by_much, None, drawer, Reason.RECEIVED, note="Filling a cabinet"))
        elif by_much < 0:
            lines.append(Line(part, -by_much, drawer, None, Reason.COUNTED, note="Filling a cabinet"))
    return record(lines=lines, what=f"Filled {len(names)} drawers of {cabinet}", by=by, uid=uid)


def _held(told) -> dict[tuple[int, int], Decimal]:
    drawers = {drawer.pk for drawer, _, _ in told}
    rows = Holding.objects.filter(location_id__in=drawers).values_list("part_id", "location_id", "quantity")
    return {(part, place): quantity for part, place, quantity in rows}

"""A count: the last word on what lay at a place at its moment."""

import uuid
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from inventory.people.models import Person
from inventory.places.models import Location
from inventory.web.moment import done_at

from .bulk import insert
from .ledger import Line, OtherContents, earlier_batch, held_at, record
from .models import Batch, Counted, Part, Reason
from .quantity import exact


@transaction.atomic
def count(
    *,
    location: Location,
    counted: dict[Part, Decimal],
    by: Person | None,
    uid: uuid.UUID | None = None,
    at: datetime | None = None,
    whole_place: bool = True,
) -> Batch:
    """What was counted at a place becomes what it holds; only differences are moves, the numbers are kept either way.

    Parts that are not among `counted` are left as they are. `whole_place=False` leaves the place's date alone.
    A count that comes late is held against what lay there then: what was moved since still counts. Of a part that was
    counted again since, the newer number stands and this one is only kept. Raises as `record` does.
    """
    if uid and (earlier := earlier_batch(uid)):
        if _numbers(earlier) != {part.pk: exact(quantity) for part, quantity in counted.items()}:
            raise OtherContents(earlier)
        return earlier
    at = min(at, timezone.now()) if at else done_at()
    again = set(
        Counted.objects.standing().filter(location=location, part__in=counted, at__gt=at).values_list("part", flat=True)
    )
    held, lines = held_at(location, at), []
    for part, quantity in counted.items():
        by_much = quantity - held.get(part.pk, Decimal(0))
        if by_much and part.pk not in again:
            source, target = (None, location) if by_much > 0 else (location, None)
            lines.append(Line(part, abs(by_much), source, target, Reason.COUNTED))
    batch = record(lines=lines, what=f"Counted {location}: {_said(len(lines), len(again))}", by=by, uid=uid, at=at)
    rows = ((batch.pk, part.pk, location.pk, quantity, batch.at) for part, quantity in counted.items())
    insert(Counted, ("batch", "part", "location", "quantity", "at"), rows)
    if whole_place:
        older = Q(counted_at=None) | Q(counted_at__lt=batch.at)
        Location.objects.filter(older, pk=location.pk).update(counted_at=batch.at)
    return batch


def _numbers(batch: Batch) -> dict[int, Decimal]:
    return dict(batch.counted.values_list("part", "quantity"))


def _said(put_right: int, again: int) -> str:
    said = f"{put_right} put right" if put_right else "" if again else "all as it should be"
    newer = f"{again} counted again since, where the newer number stands" if again else ""
    return ", ".join(filter(None, (said, newer)))

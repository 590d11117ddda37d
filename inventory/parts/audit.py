"""Proof of the ledger: the sum of moves is what is held, for every part and every place."""

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.db.models import Sum

from .models import Holding, Move


@dataclass(frozen=True, slots=True)
class Difference:
    part_id: int
    location_id: int
    moves_say: Decimal
    holding_says: Decimal


def sums_of_moves() -> dict[tuple[int, int], Decimal]:
    """What each place must hold of each part, by the moves alone. Added up by the database, exactly."""
    total: dict[tuple[int, int], Decimal] = defaultdict(Decimal)
    for end, sign in (("target", 1), ("source", -1)):
        rows = (
            Move.objects.filter(**{f"{end}__isnull": False})
            .order_by()
            .values_list("part", end)
            .annotate(all=Sum("quantity"))
        )
        for part, place, quantity in rows:
            total[part, place] += sign * quantity
    return {key: quantity for key, quantity in total.items() if quantity}


def differences() -> list[Difference]:
    """Every part and place where moves and holdings do not agree; an empty list is the proof."""
    moves = sums_of_moves()
    held = {
        (part, place): quantity for part, place, quantity in Holding.objects.values_list("part", "location", "quantity")
    }
    zero = Decimal(0)
    return [
        Difference(*key, moves.get(key, zero), held.get(key, zero))
        for key in sorted(moves.keys() | held.keys())
        if moves.get(key, zero) != held.get(key, zero)
    ]


@transaction.atomic
def rebuild() -> int:
    """Write all holdings anew from the moves. Returns how many there are."""
    Holding.objects.all().delete()
    rows = [
        Holding(part_id=part, location_id=place, quantity=quantity)
        for (part, place), quantity in sums_of_moves().items()
    ]
    Holding.objects.bulk_create(rows, batch_size=1000)
    return len(rows)

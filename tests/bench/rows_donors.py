"""The page of a donor off which 2,000 parts came."""

import uuid
from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from inventory.donors.actions import add_donor
from inventory.donors.models import Donor, Pull, Want, Zone
from inventory.parts.models import Batch, Holding, Move, Part
from inventory.places.actions import add_place

from .rows import Row, row, side_by_side
from .rows_store import queries_of

MANY, FEW = 2000, 20


@row("donor page")
def donor_page(shop):
    """Made inside a transaction that is rolled back: the shop is the same afterwards."""
    with transaction.atomic():
        few, many = _stripped(shop, "DF", FEW), _stripped(shop, "DM", MANY)
        yield Row(
            f"queries of a donor, {MANY:,} pulls beside {FEW}",
            queries_of(shop, many.get_absolute_url()),
            queries_of(shop, few.get_absolute_url()),
            1,
        )
        address = many.get_absolute_url()
        size = len(shop.client.get(address).content)
        ours, floor = side_by_side(
            lambda: shop.client.get(address), lambda: shop.client.get(f"/bare/{size}/"), rounds=15
        )
        yield Row(f"donor page, {MANY:,} pulls, ms", ours, floor, 40)
        transaction.set_rollback(True)


def _stripped(shop, short: str, count: int) -> Donor:
    place = add_place(kind="vehicle", name=f"Donor of {count}", short=short)
    donor = add_donor(by=shop.owner, location=place, price=650)
    bench = add_place(kind="bench", short=f"{short}B")
    now = timezone.now()
    parts = Part.objects.bulk_create(
        [Part(name=f"{short} part {number}", origin="pulled", donor=place) for number in range(count)], batch_size=500
    )
    batches = Batch.objects.bulk_create(
        [
            Batch(id=uuid.uuid4(), what=f"Pulled {part}", by=shop.owner, at=now - timedelta(minutes=n))
            for n, part in enumerate(parts)
        ],
        batch_size=500,
    )
    Move.objects.bulk_create(
        [
            Move(batch=batch, part=part, quantity=1, source=place, target=bench, reason="pulled", by=shop.owner)
            for batch, part in zip(batches, parts, strict=True)
        ],
        batch_size=500,
    )
    Holding.objects.bulk_create([Holding(part=part, location=bench, quantity=1) for part in parts], batch_size=500)
    Pull.objects.bulk_create(
        [
            Pull(batch=batch, donor=donor, part=part, quantity=1, zone=Zone.values[n % 4], at=batch.at)
            for n, (batch, part) in enumerate(zip(batches, parts, strict=True))
        ],
        batch_size=500,
    )
    Want.objects.bulk_create([Want(donor=donor, what=f"Want {number}") for number in range(min(count, 40))])
    return donor

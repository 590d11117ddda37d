"""The page of a cabinet of 100 drawers, all full."""

import uuid

from django.db import transaction

from inventory.organizers.actions import fill
from inventory.organizers.plan import make_plan
from inventory.places.actions_grid import organizer_places, set_up
from inventory.places.calc.grid import Numbering

from .rows import Row, row, side_by_side
from .rows_store import queries_of


@row("cabinet page")
def cabinet_page(shop):
    """Made inside a transaction that is rolled back: the shop is the same afterwards."""
    with transaction.atomic():
        few, many = _cabinet(shop, "ZF", 2), _cabinet(shop, "ZM", 10)
        address = many.get_absolute_url()
        yield Row(
            "queries of a cabinet, 100 drawers beside 20",
            queries_of(shop, address),
            queries_of(shop, few.get_absolute_url()),
            1,
        )
        size = len(shop.client.get(address).content)
        ours, floor = side_by_side(
            lambda: shop.client.get(address), lambda: shop.client.get(f"/bare/{size}/"), rounds=15
        )
        yield Row("cabinet page, 100 drawers, ms", ours, floor, 40)
        transaction.set_rollback(True)


def _cabinet(shop, short: str, rows: int):
    places = organizer_places(
        parent=None, name=f"Cabinet {short}", short=short, rows=rows, cols=10, numbering=Numbering(style="letters")
    )
    cabinet = set_up(places=places, by=shop.owner)
    text = "\n".join(
        f"{'ABCDEFGHIJ'[r]}{c + 1} M{size}x{length} hex 8.8, 40"
        for r, size in zip(range(rows), (3, 4, 5, 6, 8, 10, 12, 14, 16, 20), strict=False)
        for c, length in enumerate((10, 12, 16, 20, 25, 30, 35, 40, 45, 50))
    )
    fill(cabinet=cabinet, plan=make_plan(cabinet, text), by=shop.owner, uid=uuid.uuid4())
    return cabinet

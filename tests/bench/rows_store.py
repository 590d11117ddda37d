"""The page of a place, and putting something in."""

import uuid

from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory.parts.models import Holding, Part
from inventory.places.actions import add_place
from inventory.places.models import Location

from .rows import Row, row, side_by_side
from .shop import open_shop

LISTS = {"/parts/": "all parts", "/places/": "all places", "/move/lately/": "what was moved lately", "/find/": "Find"}


@row("place page")
def place_page(shop):
    holding = Holding.objects.filter(location__kind="bin").first()
    address = holding.location.get_absolute_url()
    size = len(shop.client.get(address).content)
    assert size > 2000  # the page, and not the way to it
    ours, floor = side_by_side(lambda: shop.client.get(address), lambda: shop.client.get(f"/bare/{size}/"))
    yield Row(f"place page, {shop.parts:,} parts, ms", ours, floor, 3)


@row("put in")
def put_in(shop):
    place = Location.objects.filter(kind="bin").first()
    part = Part.objects.first()

    def ours():
        shop.client.cookies.pop("messages", None)  # a browser goes on to the page that says it, and loses it there
        form = {"uid": str(uuid.uuid4()), "quantity": "1"}
        assert shop.client.post(f"/move/put-in/?place={place.pk}&part={part.pk}", form).status_code == 303

    ms, floor = side_by_side(ours, lambda: shop.client.post("/bare-insert/", {"what": "bare"}))
    yield Row(f"put in, durable, {shop.parts:,} parts, ms", ms, floor, 2)


@row("queries")
def queries(shop):
    """A bin of ten things beside one of ten thousand (or of all there are, in a small shop)."""
    small = add_place(kind="bin", short=f"S{uuid.uuid4().hex[:6]}".upper())
    large = add_place(kind="bin", short=f"G{uuid.uuid4().hex[:6]}".upper())
    numbers = list(Part.objects.values_list("pk", flat=True)[:10_000])
    Holding.objects.bulk_create([Holding(part_id=number, location=small, quantity=1) for number in numbers[:10]])
    Holding.objects.bulk_create([Holding(part_id=number, location=large, quantity=1) for number in numbers])
    try:
        few, many = queries_of(shop, small.get_absolute_url()), queries_of(shop, large.get_absolute_url())
    finally:
        Holding.objects.filter(location__in=[small, large]).delete()
        small.delete()
        large.delete()
    yield Row(f"queries of a bin, {len(numbers):,} things beside 10", many, few, 1)


@row("pages")
def pages(shop):
    """The pages that list what the shop holds, beside the same pages of a shop of ten parts."""
    many = {address: queries_of(shop, address) for address in LISTS}
    few_shop = open_shop(10)
    few = {address: queries_of(few_shop, address) for address in LISTS}
    open_shop(shop.parts)
    for address, title in LISTS.items():
        yield Row(f"queries of {title}, {shop.parts:,} parts beside 10", many[address], few[address], 1)


def queries_of(shop, address: str) -> int:
    shop.client.get(address)  # what is said once on the next page, and what is kept after the first
    with CaptureQueriesContext(connection) as seen:
        assert shop.client.get(address).status_code == 200
    return len(seen)

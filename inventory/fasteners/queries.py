"""Reads over parts that are fasteners."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from math import ceil

from django.db.models import Q

from inventory.parts import hardware
from inventory.parts.models import Holding, Part
from inventory.places.models import Kind, Location
from inventory.web import slots

from .calc.fastener import Fastener
from .calc.reading import Reading, parse
from .calc.substitutes import Stocked


@dataclass
class Here:
    """A part on hand: where, how many in all, and how many of these open tasks have claimed."""

    part: Part
    places: list[Location]
    count: int
    spoken: int = 0


@lru_cache(maxsize=4096)
def _fastener_of(text: str) -> Fastener | None:
    return parse(text).fastener if text else None


def fastener_of(part: Part) -> Fastener | None:
    """The fastener a part is kept as."""
    return _fastener_of(part.fastener)


def perhaps(part: Part) -> Reading | None:
    """What a part's name might say where nothing is kept and nobody has said that it is no fastener.

    Only what names a size of thread or a kind: 'Hinge pin 8 mm' is a pin.
    """
    if part.fastener or part.fastener_told:
        return None
    reading = hardware.read(part.name)
    if reading is None:
        return None
    understood = dict(reading.understood)
    sized = understood.get("size", "").startswith(("M", "#"))
    named = "size" in understood and any(name in understood for name in ("form", "grade", "length", "drive"))
    return reading if sized or named else None


def also_this(part: Part):
    """Other parts that are the same fastener."""
    return Part.objects.same_fastener(part.fastener_key).exclude(pk=part.pk).with_on_hand()


def stock(
    *wanted: Fastener, spoken_for: Callable[[Iterable[int]], dict[int, Decimal]] = slots.spoken_for
) -> list[Stocked]:
    """Every good fastener of the wanted sizes in the shop: its places, the fullest first, and how many are free.

    What is away, or on a vehicle, is not in the shop. Two queries, besides those that asking for claims takes.
    """
    sizes = Q(pk__in=[])
    for size in {f.size.lower() for f in wanted}:  # a key begins with the size: a range of its index, no LIKE
        sizes |= Q(part__fastener_key__gte=size, part__fastener_key__lt=f"{size}\uffff")
    rows = Holding.objects.filter(sizes, part__retired_at=None, quantity__gt=0, part__condition="good")
    rows = rows.filter(location__away=False).select_related("part", "location").order_by("-quantity", "pk")
    vehicles = tuple(Location.objects.filter(kind=Kind.VEHICLE).values_list("path", flat=True))
    held: dict[int, Here] = {}
    for row in rows:
        if vehicles and row.location.path.startswith(vehicles):
            continue
        here = held.setdefault(row.part_id, Here(row.part, [], 0))
        here.places.append(row.location)
        here.count += int(row.quantity)
    for number, quantity in (spoken_for(held.keys()) if held else {}).items():
        held[number].spoken = ceil(quantity)
    return [
        Stocked(here, fastener, max(0, here.count - here.spoken))
        for here in held.values()
        if (fastener := fastener_of(here.part))
    ]

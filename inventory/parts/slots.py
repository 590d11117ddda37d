"""What this feature shows on pages below it: the contents of a place."""

from django.core.paginator import Paginator

from inventory.places.models import Location
from inventory.web.slots import Inside, Panel

from . import queries
from .hardware import BETWEEN, key_of, short_name, short_names
from .models import Holding, Part

LOW_OF = 400  # keys asked about at once
PAGE = 60  # more than a bin has; a whole barn floor comes in pages
SHOWN = (
    "quantity", "location_id", "part__name", "part__side", "part__origin", "part__condition", "part__unit",
    "part__donor__address", "part__donor__name",
)  # fmt: skip


def contents(request, place):
    """The things that lie directly at the place, with how many; nothing for an empty rack, which holds bins."""
    holdings = Paginator(queries.holdings_at(place).only(*SHOWN), PAGE).get_page(request.GET.get("page"))
    if place.divided and not holdings.paginator.count:
        return []
    context = {"holdings": holdings, "place": place, "request": request, **queries.with_facts(holdings)}
    return [Panel("In this place", "inventory/parts/contents.html", context)]


def in_cells(holder) -> dict[int, Inside]:
    """What each place in a cabinet holds, in short; four queries however many drawers."""
    held: dict[int, list[Part]] = {}
    for row in (
        Holding.objects.inside(holder).filter(quantity__gt=0).select_related("part").order_by("part__name", "pk")
    ):
        held.setdefault(row.location_id, []).append(row.part)
    named = Location.objects.under(holder).filter(retired_at=None).exclude(name="").exclude(pk=holder.pk)
    empty = {pk: name.split(BETWEEN) for pk, name in named.values_list("pk", "name") if pk not in held}
    low = set(
        Part.objects.low()
        .filter(pk__in=[part.pk for parts in held.values() for part in parts])
        .values_list("pk", flat=True)
    )
    keys = sorted({key_of(name) for names in empty.values() for name in names} - {""})[:LOW_OF]
    gone = (
        set(Part.objects.low().filter(fastener_key__in=keys).values_list("fastener_key", flat=True)) if keys else set()
    )
    found = {
        pk: Inside(tuple(short_name(part.name, part.fastener) for part in parts), any(part.pk in low for part in parts))
        for pk, parts in held.items()
    }
    for pk, names in empty.items():
        lines = tuple(short_names(name) for name in names)
        found[pk] = Inside(lines, any(key_of(name) in gone for name in names), there=False)
    return found

"""What this feature shows on pages below it: the contents of a place."""

from django.core.paginator import Paginator

from inventory.web.slots import Panel

from . import queries

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

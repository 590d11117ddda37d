"""A place's own page, and the tree of all places."""

from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from inventory.web import slots
from inventory.web.http import page

from .models import Location


@require_safe
def tree(request):
    context = {"places": Location.objects.current().filter(parent=None).in_order(), "here": "places"}
    return page(request, "inventory/places/tree.html", context)


@require_safe
def detail(request, number):
    place = get_object_or_404(Location, pk=number)
    context = {
        "place": place,
        "trail": place.way_down(),
        "children": Location.objects.current().filter(parent=place).in_order(),
        "panels": slots.panels("place_page", request, place),
        "here": "places",
    }
    return page(request, "inventory/places/detail.html", context)

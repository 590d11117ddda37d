"""What labels show on the pages of places and parts: the label that is on it, and the way to print it."""

from inventory.web.slots import Panel

from . import putting
from .models import Label


def on_place(request, place):
    context = {
        "labels": Label.objects.on(place),
        "place": place,
        "putting": putting.place_of(request),
        "may_change": request.user.may_change,
    }
    return [Panel("Label", "inventory/labels/on_place.html", context)]


def on_part(request, part):
    if part.retired_at:
        return []
    context = {"labels": Label.objects.on(part), "part": part, "may_change": request.user.may_change}
    return [Panel("Label", "inventory/labels/on_part.html", context)]

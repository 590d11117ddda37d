"""What cabinets show on their page: filling them, and labels for their drawers."""

from inventory.places.models import Kind
from inventory.web.slots import Panel


def on_place(request, place) -> list[Panel]:
    if place.kind != Kind.ORGANIZER or place.retired_at or not request.user.may_change:
        return []
    size = f"cut-{place.cell_width}x{place.cell_height}" if place.cell_width and place.cell_height else ""
    return [Panel("Its drawers", "inventory/organizers/on_place.html", {"place": place, "size": size})]

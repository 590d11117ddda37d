"""What photos show on others' pages: a row of pictures on a part or place, and covers in lists."""

from inventory.places.models import Location
from inventory.web.slots import Panel

from .models import Photo


def covers(kind: str, ids) -> dict:
    """The first photo of each part or place that has any, in one query."""
    field = "part_id" if kind == "part" else "location_id"
    found: dict = {}
    for photo in Photo.objects.kept().filter(**{f"{field}__in": list(ids)}).in_order():
        found.setdefault(getattr(photo, field), photo)
    return found


def panel(request, thing) -> list[Panel]:
    """The photos of a part or a place, and a button to add some."""
    kind = "place" if isinstance(thing, Location) else "part"
    photos = Photo.objects.kept().filter(**{"location" if kind == "place" else "part": thing}).in_order()
    context = {"photos": photos, "thing": thing, "kind": kind, "request": request}
    return [Panel("Photos", "inventory/photos/panel.html", context)]

"""What donors show on pages below: a vehicle leads to its donor page, a part to how it came off."""

from inventory.parts.models import Condition, Part
from inventory.parts.queries import BAG
from inventory.places.models import Location
from inventory.web.slots import Panel

from .models import Donor, Pull


def on_place(request, place: Location) -> list[Panel]:
    if place.is_vehicle:
        donor = Donor.objects.filter(location=place).first()
        if donor is None and (place.retired_at or not request.user.may_change):
            return []
        return [
            Panel("Donor", "inventory/donors/on_vehicle.html", {"donor": donor, "place": place, "request": request})
        ]
    if not place.short.startswith(BAG):
        return []
    pull = Pull.objects.standing().filter(bag=place).select_related("part", "donor__location").first()
    return [Panel("Fasteners of", "inventory/donors/on_bag.html", {"pull": pull})] if pull else []


def on_part(request, part: Part) -> list[Panel]:
    """How it came off a donor, and what it was copied from or to."""
    pulls = Pull.objects.standing().filter(part=part).select_related("donor__location", "bag")[:5]
    panels = []
    if pulls:
        panels.append(Panel("Pulled off a donor", "inventory/donors/on_part.html", {"pulls": pulls}))
    copies = list(part.copies.filter(merged_into=None))
    if part.pattern_id or copies or part.condition == Condition.PATTERN:
        context = {"part": part, "copies": copies, "request": request}
        panels.append(Panel("Pattern", "inventory/donors/on_pattern.html", context))
    return panels

"""What typed text may mean when a part is logged: what lies somewhere, with how many, or a part nobody has any of."""

from dataclasses import dataclass

from django.db.models import Q

from inventory.labels.queries import find_code
from inventory.parts.models import Holding, Move, Part
from inventory.parts.queries import HELD, get_part, get_to_put_in, pick_parts
from inventory.places.calc.address import address_key
from inventory.places.models import Location
from inventory.web.meant import meant
from inventory.web.picker import Choice

MOST = 8


@dataclass(frozen=True, slots=True)
class Picked:
    """place: where it lies; None for a part that was picked without one."""

    part: Part
    place: Location | None


def choice_of(row: Holding, exact: bool = False) -> Choice:
    return Choice(f"{HELD}{row.pk}", str(row.part), f"{row.quantity:f} there", str(row.location), exact)


def pick_held(text: str) -> list[Choice]:
    """Parts where they lie, by name, number, place or label code; then parts of which there are none."""
    rows = Holding.objects.select_related("part", "location")
    label = find_code(text).label
    if label and label.part_id:
        return [choice_of(row) for row in rows.filter(part=label.part_id)[:MOST]]
    if label and label.location_id:
        return [choice_of(row) for row in rows.filter(location=label.location_id).order_by("part__name")[:MOST]]
    parts = meant("part", text, 4 * MOST)
    best = {part: place for place, part in enumerate(parts)}
    wanted = Q(part__in=parts) | Q(location__address_key=address_key(text))
    found = sorted(rows.filter(wanted), key=lambda row: (best.get(row.part_id, len(best)), -row.quantity))[:MOST]
    here = {row.part_id for row in found}
    none_left = [choice for choice in pick_parts(text) if not (choice.value.isdecimal() and int(choice.value) in here)]
    return [choice_of(row, exact=len(found) == 1) for row in found] + none_left


def get_held(value: str) -> Picked | None:
    """What a choice stands for. A part picked by itself lies where the only holding of it is."""
    if value.startswith(HELD):
        found = get_to_put_in(value)
        return Picked(*found) if found else None
    part = get_part(value)
    if part is None:
        return None
    rows = list(Holding.objects.filter(part=part).select_related("location")[:2]) if part.pk else []
    return Picked(part, rows[0].location if len(rows) == 1 else None)


def lately_handled(person, limit: int = 4) -> list[Choice]:
    """The first choices: what this person moved last, where it lies now; not what was sent away."""
    moved = Move.objects.filter(by=person).order_by("-pk").values_list("part", flat=True)[:20]
    parts = list(dict.fromkeys(moved))[:limit]
    rows = Holding.objects.filter(part__in=parts, location__away=False).select_related("part", "location")
    rows = sorted(rows, key=lambda row: (parts.index(row.part_id), row.location.kind != "bench", -row.quantity))
    return [choice_of(row) for row in rows[:limit]]

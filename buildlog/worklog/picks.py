"""What typed text may mean when a part is logged: what lies somewhere, with how many, or a part nobody has any of."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from django.db.models import Q

from inventory.labels.queries import find_code
from inventory.parts.models import Holding, Move, Part
from inventory.parts.queries import HELD, called, get_part, get_to_put_in, pick_parts
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


@dataclass(frozen=True, slots=True)
class Found:
    """What typed text may mean. more: how many that are not shown."""

    choices: list[Choice] = field(default_factory=list)
    more: int = 0

    @property
    def only(self) -> str:
        """The choice that alone is meant; none where it could be several, so that haste moves nothing else."""
        exact = [choice.value for choice in self.choices if choice.exact]
        return exact[0] if len(exact) == 1 else ""


def choice_of(row: Holding, exact: bool = False) -> Choice:
    return Choice(f"{HELD}{row.pk}", str(row.part), f"{row.quantity:f} there", str(row.location), exact)


def pick_held(text: str) -> list[Choice]:
    """As held_as, without how many more there are."""
    return held_as(text).choices


def held_as(text: str) -> Found:
    """Parts where they lie, by name, number, place or label code; then parts of which there are none.

    Exact is the only one there, or the only one that is called just so.
    """
    rows = Holding.objects.select_related("part", "location")
    label = find_code(text).label
    if label and label.part_id:
        return _found(rows.filter(part=label.part_id))
    if label and label.location_id:
        return _found(rows.filter(location=label.location_id).order_by("part__name"))
    parts = meant("part", text, 4 * MOST)
    best = {part: place for place, part in enumerate(parts)}
    wanted = Q(part__in=parts) | Q(location__address_key=address_key(text))
    found = sorted(rows.filter(wanted), key=lambda row: (best.get(row.part_id, len(best)), -row.quantity))
    here = {row.part_id for row in found}
    none_left = [choice for choice in pick_parts(text) if not (choice.value.isdecimal() and int(choice.value) in here)]
    so = [row for row in found if text.casefold() in called(row.part)]
    return _found(found, so if len(so) == 1 else found, none_left)


def _found(rows: Sequence[Holding], meant: Sequence[Holding] | None = None, others: Sequence[Choice] = ()) -> Found:
    """`meant`: those that the text names; one alone is exact."""
    rows = list(rows)
    meant = rows if meant is None else meant
    choices = [choice_of(row, exact=len(meant) == 1 and row == meant[0]) for row in rows[:MOST]]
    return Found([*choices, *others], max(len(rows) - MOST, 0))


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

"""What a typed or scanned text leads to, and what labels say."""

import re
from dataclasses import dataclass, field

from django.utils import timezone

from inventory.parts import hardware
from inventory.parts.models import Holding, Part
from inventory.parts.queries import get_to_put_in, pick_to_put_in
from inventory.places.models import Kind, Location
from inventory.places.queries import as_choice, find_place, pick_places
from inventory.web.picker import Choice

from . import bases, codes
from .calc.face import Content
from .models import Label

DOT = "\u00a0· "  # a line never begins with the dot
ASKS = "Blank. Stick it on, then scan: what is this?"


@dataclass(frozen=True)
class Found:
    """What a text leads to. `label` is None where no label has the code; `near` are labels it may be a slip of."""

    text: str
    code: str
    good: bool
    label: Label | None = None
    place: Location | None = None
    near: list[Label] = field(default_factory=list)
    other_host: str = ""


def find_code(text: str) -> Found:
    """The label of a code, or those whose codes are one slip away."""
    code = codes.tidy(text)
    try:
        # No joins: a label is on one thing, and joining both tables to fetch it takes longer than asking for the one.
        return Found(text, code, True, Label.objects.get(code=code))
    except Label.DoesNotExist:
        pass
    near = [] if len(code) not in range(codes.LENGTH - 1, codes.LENGTH + 2) else codes.near(code)
    return Found(
        text, code, codes.is_code(code), near=list(Label.objects.with_things().filter(code__in=near).order_by("code"))
    )


def find(text: str, known_hosts: set[str]) -> Found:
    """What was typed or scanned: a code, a whole label address, or the address of a place, also a former one."""
    read = codes.read(text)
    found = find_code(read.code)
    if found.label:
        return found
    if read.host:
        other = "" if read.host in known_hosts else read.host
        return Found(text, found.code, found.good, near=found.near, other_host=other)
    place = Location.objects.at(text).exclude(short="").first()
    if place is None and not text.isdecimal() and (meant := find_place(text)):  # a former one, or c1l2-14
        place = meant.place
    return Found(text, found.code, found.good, place=place, near=found.near)


def leads_to(label: Label) -> Location | Part | None:
    """The thing a label is on; a part that was merged into another leads to that one."""
    thing = label.thing
    while isinstance(thing, Part) and thing.merged_into_id:
        thing = thing.merged_into
    return thing


def pick_scanned(text: str) -> list[Choice]:
    """What may be put into a place: a part by its label's code, else by name."""
    label = find_code(codes.read(text).code).label
    part = leads_to(label) if label and label.part_id else None
    if part:
        return [Choice(f"label:{part.pk}", str(part), f"Label {label}", exact=True)]
    return pick_to_put_in(text)


def pick_place(text: str) -> list[Choice]:
    """Places that may be meant: the one by its label's code, typed or scanned, else by address and name."""
    label = find_code(codes.read(text).code).label
    place = leads_to(label) if label and label.location_id and not label.retired_at else None
    return [as_choice(place, exact=True)] if place and not place.retired_at else pick_places(text)


def get_scanned(value: str):
    """(part, where it comes from, whether its own label was scanned), or None."""
    if value.startswith("label:"):
        number = value.removeprefix("label:")
        part = Part.objects.current().filter(pk=number if number.isdecimal() else 0).first()
        return (part, None, True) if part else None
    found = get_to_put_in(value)
    return (*found, False) if found else None


def inside(place: Location) -> list[Location]:
    """The place and everything in it that is in use, in the order a person counts: C1, C1·L1·2, C1·L1·10."""
    return sorted(Location.objects.current().under(place), key=lambda one: (one.pk != place.pk, _natural(one.address)))


def _natural(address: str) -> list:
    return [(int(piece), "") if piece.isdigit() else (-1, piece) for piece in re.split(r"(\d+)", address)]


def contents(labels: list[Label], base: str, *, placard: bool = False) -> list[Content]:
    """What each label says, three queries at most for them all (and one more a placard)."""
    held = _in_drawers([label.location for label in labels if label.location])
    above = Location.objects.in_bulk({pk for label in labels if label.location for pk in label.location.ancestor_ids()})
    return [_content(label, base, above, held, placard) for label in labels]


def _in_drawers(places: list[Location]) -> dict[int, str]:
    """What each drawer is for: what it is named after, else what lies in it."""
    drawers = {place.pk: place.name for place in places if place.kind == Kind.DRAWER}
    unnamed = [pk for pk, name in drawers.items() if not name]
    lying: dict[int, list[str]] = {}
    rows = Holding.objects.filter(location__in=unnamed, quantity__gt=0).select_related("part").order_by("part__name")
    for row in rows if unnamed else ():
        lying.setdefault(row.location_id, []).append(row.part.fastener or row.part.name)
    return drawers | {pk: hardware.BETWEEN.join(names[:4]) for pk, names in lying.items()}


def _content(label: Label, base: str, above: dict[int, Location], held: dict[int, str], placard: bool) -> Content:
    payload, code = bases.payload(base, label.code), codes.spaced(label.code)
    if label.location:
        place = label.location
        trail = DOT.join(above[pk].title for pk in place.ancestor_ids() if pk in above)
        name = place.name if place.address else place.title
        if not placard and (what := held.get(place.pk)):  # read from the cabinet's front: what is in it first
            return Content(payload, code, name=hardware.short_names(what), trail=f"{place.address} · {what}")
        cells = _cells(place, trail) if placard else ()
        return Content(payload, code, place.address, name, trail if not placard else place.note[:120], cells=cells)
    if label.part:
        part = label.part
        said = [part.get_origin_display() + (f" off {part.donor}" if part.donor else "")]
        said += [part.get_condition_display()] if part.condition != "good" else []
        said += [f"no. {number}" for number in part.number_list[:1]]
        cells = (("Part", said[0]), ("Printed", _today())) if placard else ()
        return Content(payload, code, name=str(part), trail=DOT.join(said), cells=cells)
    return Content(payload, code, asks=ASKS, cells=(("Label", "Blank"), ("Printed", _today())) if placard else ())


def _today() -> str:
    today = timezone.localdate()
    return f"{today.day} {today:%b %Y}"


def _cells(place: Location, trail: str) -> tuple[tuple[str, str], ...]:
    """A placard's title block: what it is and where, what it holds, when it was printed."""
    kinds = list(Location.objects.current().under(place).exclude(pk=place.pk).values_list("kind", flat=True))
    counted = [(kinds.count(kind), kind.label.lower()) for kind in Kind if kind in kinds]
    holds = ", ".join(f"{count} {word if count == 1 else _plural(word)}" for count, word in counted[:3])
    inside = (("Holds", holds),) if holds else ()
    return ((place.get_kind_display(), trail or place.title), *inside, ("Printed", _today()))


def _plural(word: str) -> str:
    return {"shelf": "shelves", "bench": "benches"}.get(word, f"{word}s")


def choice_of(part: Part) -> list[Choice]:
    """The part as the one choice offered, when its label led here."""
    return [Choice(f"label:{part.pk}", str(part), "The label just scanned")]

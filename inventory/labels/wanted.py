"""What labels are wanted for, as the page's address says it: ?place=3&inside=7&part=12&label=7K3F9CM&blank=24."""

from dataclasses import dataclass, field

from django.http import QueryDict

from inventory.parts.models import Part
from inventory.places.models import Location

from . import actions, codes, queries
from .models import Label

NAMES = ("place", "inside", "drawers", "part", "label", "blank")
MOST = 1000


@dataclass
class Wanted:
    """Things and how many blanks. `rows` are what the person picked, each with the address without it."""

    things: list = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    blank: int = 0
    rows: list[tuple[str, str, str]] = field(default_factory=list)
    too_many: bool = False

    @property
    def count(self) -> int:
        return len(self.things) + len(self.labels) + self.blank

    def make(self, *, by) -> list[Label]:
        """The labels: those there are, and new ones where there are none."""
        made = actions.labels_for(things=self.things, by=by)
        return [*made, *self.labels, *actions.make_blank(count=self.blank)]

    def as_shown(self, limit: int) -> list[Label]:
        """The first labels for a look before anything is made; a label that is not there yet shows a sample code."""
        shown, things = [], self.things[:limit]
        had = {(type(one.thing), one.thing.pk): one for one in _labels_of(things)}
        for thing in things:
            label = had.get((type(thing), thing.pk)) or Label(code=SAMPLE)
            label.location = thing if isinstance(thing, Location) else None
            label.part = thing if isinstance(thing, Part) else None
            shown.append(label)
        shown += self.labels
        shown += [Label(code=SAMPLE) for _ in range(min(self.blank, limit))]
        return shown[:limit]


SAMPLE = next(code for code in codes.near("7K3F9CM") if code.startswith("7K3F"))


def _labels_of(things) -> list[Label]:
    places = [thing.pk for thing in things if isinstance(thing, Location)]
    parts = [thing.pk for thing in things if isinstance(thing, Part)]
    current = Label.objects.current().with_things().order_by("-pk")
    return [*current.filter(location__in=places), *current.filter(part__in=parts)]


def _numbers(values: list[str]) -> list[int]:
    return [int(value) for value in dict.fromkeys(values) if value.isdecimal() and len(value) < 12]


def read(data: QueryDict) -> Wanted:
    """What the address asks for; what is not there any more is left out."""
    wanted, without = Wanted(), _Without(data)
    seen: set[int] = set()
    places = Location.objects.current().in_bulk(
        _numbers(data.getlist("place") + data.getlist("inside") + data.getlist("drawers"))
    )
    for number in _numbers(data.getlist("inside")):
        if place := places.get(number):
            inside = [one for one in queries.inside(place) if one.pk not in seen]
            seen.update(one.pk for one in inside)
            wanted.things += inside
            said = f"{place.title} and all in it: {len(inside)} places"
            wanted.rows.append((str(place), said, without("inside", number)))
    for number in _numbers(data.getlist("drawers")):
        if place := places.get(number):
            inside = [one for one in queries.inside(place) if one.pk not in seen and one.parent_id == place.pk]
            seen.update(one.pk for one in inside)
            wanted.things += inside
            wanted.rows.append((str(place), f"The drawers of {place.title}: {len(inside)}", without("drawers", number)))
    for number in _numbers(data.getlist("place")):
        place = places.get(number)
        if place and place.pk not in seen:
            seen.add(place.pk)
            wanted.things.append(place)
            wanted.rows.append((str(place), place.title, without("place", number)))
    parts = Part.objects.current().select_related("donor").in_bulk(_numbers(data.getlist("part")))
    for number, part in parts.items():
        wanted.things.append(part)
        wanted.rows.append(("", str(part), without("part", number)))
    for label in Label.objects.with_things().filter(code__in=data.getlist("label")[:MOST], retired_at=None):
        wanted.labels.append(label)
        wanted.rows.append((str(label.location or ""), f"Label {label}", without("label", label.code)))
    blank = data.get("blank", "")
    wanted.blank = int(blank) if blank.isdecimal() and len(blank) < 6 else 0
    if wanted.blank:
        wanted.rows.append(("", f"{wanted.blank} blank", without("blank", wanted.blank)))
    wanted.too_many = wanted.count > MOST
    return wanted


class _Without:
    """The rest of the address when one thing is taken out."""

    def __init__(self, data: QueryDict):
        self.data = data

    def __call__(self, name: str, value) -> str:
        rest = self.data.copy()
        rest.pop("csrfmiddlewaretoken", None)
        rest.setlist(name, [one for one in rest.getlist(name) if one != str(value)])
        return rest.urlencode()

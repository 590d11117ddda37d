"""Changes to labels: made, stuck on, peeled off, taken out of use. Each keeps its line of history."""

from collections.abc import Sequence

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from inventory.parts.models import Part
from inventory.people.models import Person
from inventory.places.actions import add_place
from inventory.places.models import Kind, Location

from . import codes
from .models import Label, LabelBinding


def _new_codes(count: int) -> list[str]:
    """Fresh codes that no label ever had."""
    fresh: set[str] = set()
    while len(fresh) < count:
        fresh.update(codes.draw() for _ in range(count - len(fresh)))
        fresh -= set(Label.objects.filter(code__in=fresh).values_list("code", flat=True))
    return sorted(fresh)


@transaction.atomic
def make_blank(*, count: int) -> list[Label]:
    """Labels that are not stuck to anything yet."""
    return Label.objects.bulk_create([Label(code=code) for code in _new_codes(count)])


@transaction.atomic
def labels_for(*, things: Sequence[Location | Part], by: Person | None) -> list[Label]:
    """One label for each place or part, in their order: the one it has, else a new one."""
    places = [thing.pk for thing in things if isinstance(thing, Location)]
    parts = [thing.pk for thing in things if isinstance(thing, Part)]
    had: dict[tuple, Label] = {}
    for label in Label.objects.current().filter(location__in=places).order_by("-pk"):
        had[Location, label.location_id] = label
    for label in Label.objects.current().filter(part__in=parts).order_by("-pk"):
        had[Part, label.part_id] = label
    without = [thing for thing in things if (type(thing), thing.pk) not in had]
    made = Label.objects.bulk_create(
        [Label(code=code, **_where(thing)) for code, thing in zip(_new_codes(len(without)), without, strict=True)]
    )
    LabelBinding.objects.bulk_create(
        [LabelBinding(label=label, by=by, **_where(thing)) for label, thing in zip(made, without, strict=True)]
    )
    had |= {(type(thing), thing.pk): label for label, thing in zip(made, without, strict=True)}
    return [had[type(thing), thing.pk] for thing in things]


def _where(thing: Location | Part | None) -> dict:
    return {
        "location": thing if isinstance(thing, Location) else None,
        "part": thing if isinstance(thing, Part) else None,
    }


@transaction.atomic
def stick(*, label: Label, thing: Location | Part | None, by: Person | None) -> Label:
    """The label is stuck to this from now on (None: peeled off, blank again). A retired one is in use again."""
    if label.thing == thing and label.retired_at is None:
        return label
    label.location, label.part = _where(thing).values()
    label.retired_at = None
    label.full_clean(exclude=["code"])
    label.save(update_fields=["location", "part", "retired_at"])
    LabelBinding.objects.create(label=label, by=by, **_where(thing))
    return label


@transaction.atomic
def stick_on_new_bin(*, label: Label, parent: Location | None, short: str, name: str, by: Person | None) -> Location:
    """A new bin at this place, with the label on it; sent twice, it is one. Raises ValidationError when its address is
    taken.
    """
    there = Label.objects.select_related("location").get(pk=label.pk).location
    if there and (there.parent_id, there.short, there.name) == (parent and parent.pk, short, name):
        return there
    place = add_place(kind=Kind.BIN, parent=parent, short=short, name=name, by=by)
    stick(label=label, thing=place, by=by)
    return place


@transaction.atomic
def stick_on_part(*, label: Label, part: Part, by: Person | None) -> Part:
    """The label on a part, which comes into the list first when it is new; sent twice, it is one."""
    there = Label.objects.select_related("part").get(pk=label.pk).part
    if part.pk is None and there and there.name == part.name:
        return there
    if part.pk is None:
        part.full_clean()
        part.save()
    stick(label=label, thing=part, by=by)
    return part


def retire(*, label: Label) -> None:
    """Out of use: it keeps leading to a page that says what it was on, and its code is never used again."""
    Label.objects.filter(pk=label.pk, retired_at=None).update(retired_at=timezone.now())


@transaction.atomic
def let_go(*, things: QuerySet) -> None:
    """Peel the labels off parts or places that are about to leave the shop for good: the stickers are blank again."""
    field = "part" if things.model is Part else "location"
    Label.objects.filter(**{f"{field}__in": things}).update(part=None, location=None)
    LabelBinding.objects.filter(**{f"{field}__in": things}).delete()


def take_up(*, code: str) -> Label:
    """A sticker whose good code this shop does not know (printed before a restore): blank from now on."""
    label, _ = Label.objects.get_or_create(code=code)
    return label


def mark_printed(*, labels: Sequence[Label], size: str) -> None:
    Label.objects.filter(pk__in=[label.pk for label in labels]).update(printed_at=timezone.now(), size=size)

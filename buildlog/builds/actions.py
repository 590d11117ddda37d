"""Changes to builds and areas."""

from django.db import transaction
from django.db.models import Max

from inventory.people.models import Person
from inventory.places.actions import add_place, lies_in, retire
from inventory.places.models import Kind, Location

from .models import Area, AreaQuerySet, Build


@transaction.atomic
def add_build(*, code: str, name: str, goal: str = "", number: str = "", parent: Location | None = None) -> Build:
    """A build with a vehicle place of its own, whose address is the build's code. The first build is the active one.

    Raises ValidationError when the code or the address is taken.
    """
    build = Build(code=code.strip().upper(), name=name.strip(), goal=goal.strip(), number=number.strip())
    build.full_clean(exclude=["vehicle"])
    build.vehicle = add_place(kind=Kind.VEHICLE, name=build.name, short=build.code[:12], parent=parent)
    build.active = not Build.objects.filter(active=True).exists()
    build.save()
    return build


@transaction.atomic
def make_active(*, build: Build) -> None:
    """Tonight and Plan open on this one from now on."""
    Build.objects.filter(active=True).update(active=False)
    Build.objects.filter(pk=build.pk).update(active=True)
    build.active = True


class InUse(Exception):
    """The build can't be removed; the text says what is in it."""


def in_it(build: Build) -> list[str]:
    """What keeps a build from being removed: ['3 tasks', '1 decision']. Areas by themselves do not."""
    found = []
    for link in Build._meta.get_fields():
        if link.one_to_many and link.related_model is not Area:
            names, count = link.related_model._meta, link.related_model._base_manager.filter(build=build).count()
            found += [f"{count} {names.verbose_name if count == 1 else names.verbose_name_plural}"] if count else []
    return found + [f"{row.part} at {row.location}" for row in lies_in(build.vehicle)]


@transaction.atomic
def remove_build(*, build: Build, by: Person | None) -> None:
    """A build made by mistake goes, with its areas; its vehicle goes out of use. Raises InUse where it holds more."""
    if there := in_it(build):
        raise InUse(f"{build} stays: there is something in it ({', '.join(there)}).")
    vehicle = build.vehicle
    build.delete()
    retire(place=vehicle, by=by)
    if build.active and (other := Build.objects.order_by("-created_at").first()):
        make_active(build=other)


def free_mark(name: str, taken: set[str]) -> str:
    """The mark an area gets unless it is given one: SH for Side hatch, F for Floor, FL when F is taken."""
    letters = "".join(letter for letter in name if letter.isalnum()).upper()
    initials = "".join(word[0] for word in name.upper().split() if word[0].isalnum())[:3]
    tries = [initials, letters[:2], letters[:3], *(f"{letters[:1]}{number}" for number in range(2, 100))]
    return next((mark for mark in tries if mark and mark not in taken), "")


def add_area(*, build: Build, name: str, mark: str = "") -> Area:
    """A new area at the end. Raises ValidationError when the build has one of that name."""
    last = build.areas.aggregate(last=Max("order"))["last"]
    mark = mark.strip() or free_mark(name, set(build.areas.values_list("mark", flat=True)))
    area = Area(build=build, name=name.strip(), mark=mark, order=(last or 0) + 1)
    area.full_clean()
    area.save()
    return area


@transaction.atomic
def areas_named(*, build: Build, names) -> dict[str, Area]:
    """The area of each name, made where there is none yet."""
    known = {area.name.casefold(): area for area in build.areas.all()}
    for name in names:
        if name.casefold() not in known:
            known[name.casefold()] = add_area(build=build, name=name)
    return {name: known[name.casefold()] for name in names}


def remove_empty(*, areas: AreaQuerySet) -> None:
    """Those of the areas that nothing is sorted into go."""
    areas.filter(tasks=None, decisions=None).delete()


@transaction.atomic
def shift(*, row, rows, by: int) -> None:
    """Swap an ordered row with its neighbour: by -1 is up, +1 down. At an end nothing happens.

    `rows`: the rows it is ordered among, in order. All get whole numbers again, so ties can't pile up.
    """
    rows = list(rows)
    here = next(index for index, one in enumerate(rows) if one.pk == row.pk)
    there = here + by
    if not 0 <= there < len(rows):
        return
    rows[here], rows[there] = rows[there], rows[here]
    numbers = sorted(one.order for one in rows)
    if len(set(numbers)) < len(numbers):
        numbers = list(range(1, len(rows) + 1))
    for one, number in zip(rows, numbers, strict=True):
        if one.order != number:
            type(one).objects.filter(pk=one.pk).update(order=number)

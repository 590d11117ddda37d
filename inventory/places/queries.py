"""Reads over the tree of places that more than one page needs."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Q, Sum, Value
from django.db.models.functions import Replace, StrIndex, Substr

from inventory.web.meant import meant
from inventory.web.picker import Choice

from .calc.address import DOT, address_key, join_address, sort_key, squeezed
from .models import FormerAddress, Kind, Location


def as_choice(place: Location, *, exact: bool = False) -> Choice:
    return Choice(str(place.pk), place.title, place.get_kind_display(), place.address, exact)


def pick_places(text: str, limit: int = 8) -> list[Choice]:
    """Places that may be meant by what was typed: the address first, then addresses that begin so, then names."""
    key = address_key(text)
    read = meant("place", text, 40)
    found = list(
        Location.objects.current()
        .filter(Q(address_key=key) | Q(address_key__startswith=key) | Q(pk__in=read))
        .order_by("address_key")[:200]
    )

    def rank(place: Location):
        is_it = place.address_key == key and bool(place.short)
        return (
            not is_it,
            place.name.casefold() != text.casefold(),
            not place.address_key.startswith(key),
            read.index(place.pk) if place.pk in read else len(read),
            sort_key(place.address_key),
        )

    found.sort(key=rank)
    return [
        as_choice(
            place,
            exact=(place.address_key == key and bool(place.short)) or place.name.casefold() == text.casefold(),
        )
        for place in found[:limit]
    ]


def get_place(value: str) -> Location | None:
    """The place a choice stands for."""
    return Location.objects.current().filter(pk=value).first() if value.isdecimal() else None


def choices_for(places: Sequence[Location]) -> list[Choice]:
    return [as_choice(place) for place in places]


@dataclass(frozen=True, slots=True)
class Found:
    """The place that an address leads to; `former` is that address where it isn't the place's any more."""

    place: Location
    former: str = ""


def find_place(text: str) -> Found | None:
    """The place meant by its number or by an address: today's, a former one, or one typed without gaps (c1l214)."""
    if text.isdecimal():
        place = Location.objects.filter(pk=int(text[:18])).first()
        return Found(place) if place else None
    key = address_key(text)
    places = Location.objects.all()
    if place := places.filter(address_key=key, retired_at=None).exclude(short="").first():
        return Found(place)
    former = FormerAddress.objects.filter(address_key=key).select_related("location")
    if old := former.order_by("-until", "-pk").first():
        return Found(old.location, old.address)
    gone = places.filter(address_key=key, retired_at__isnull=False).order_by("-retired_at")
    if place := gone.exclude(short="").first():
        return Found(place)
    gaps = {
        name: Replace(field, Value(DOT), Value("")) for name, field in (("bare", "address"), ("key", "address_key"))
    }
    bare = places.filter(retired_at=None).exclude(short="").annotate(**gaps)
    meant = list(bare.filter(Q(bare=squeezed(text)) | Q(key=squeezed(text)))[:2])
    return Found(meant[0]) if len(meant) == 1 else None


def holds(place: Location) -> tuple[int, Decimal]:
    """How many kinds of part the place and all in it hold, and how many pieces of those counted in pieces."""
    pieces = Sum("holdings__quantity", filter=Q(holdings__part__unit="pieces"))
    found = Location.objects.under(place).aggregate(kinds=Count("holdings__part", distinct=True), pieces=pieces)
    return found["kinds"], found["pieces"] or Decimal(0)


def kinds_in_cells(holder: Location) -> dict[int, int]:
    """How many kinds lie in each place of the branch, in itself; places that hold nothing are not in it."""
    rows = Location.objects.under(holder).filter(holdings__isnull=False).values("pk")
    return {row["pk"]: row["kinds"] for row in rows.annotate(kinds=Count("holdings"))}


def kinds_in_children(place: Location) -> dict[int, int]:
    """How many kinds each place directly in this one holds, with all that is in it; counted in one statement."""
    rest = Substr("path", len(place.path) + 1)
    rows = (
        Location.objects.filter(path__within=place.path, holdings__isnull=False)
        .exclude(pk=place.pk)
        .annotate(rest=rest)
        .annotate(child=Substr("rest", 1, StrIndex("rest", Value("/")) - 1))
        .values("child")
        .annotate(kinds=Count("holdings__part", distinct=True))
    )
    return {int(row["child"]): row["kinds"] for row in rows}


def standing_in(place: Location) -> list[Location]:
    """What stands directly in a place, but for the cells and shelves of its grid."""
    children = Location.objects.current().filter(parent=place, row=None).in_order()
    return list(children)


def on_shelves(rack: Location) -> list[tuple[Location, int]]:
    """What a rack's drawing of its bins does not show, with how many kinds lie in it: boxes that stand on its
    shelves outside the grid, and the shelves on which things lie loose."""
    on_one = Location.objects.under(rack).filter(
        retired_at=None, parent__parent=rack, parent__kind=Kind.SHELF, row=None
    )
    shelves = Location.objects.filter(parent=rack, kind=Kind.SHELF, retired_at=None, holdings__isnull=False)
    kinds = kinds_in_cells(rack)
    return [(place, kinds.get(place.pk, 0)) for place in [*shelves.distinct().in_order(), *on_one.in_order()]]


CELLS = (Kind.SHELF, Kind.BIN, Kind.DRAWER)


def tree() -> list[tuple[int, Location]]:
    """Every place but those in racks and organizers, with its depth, in the order they are shown."""
    alone = Q(parent=None) | Q(parent__kind=Kind.SITE)  # a bin or shelf that belongs to no rack, bench or container
    rows = list(Location.objects.filter(~Q(kind__in=CELLS) | alone, retired_at=None).in_order())
    below: dict[int | None, list[Location]] = {}
    known = {row.pk for row in rows}
    for row in rows:
        below.setdefault(row.parent_id if row.parent_id in known else None, []).append(row)
    found: list[tuple[int, Location]] = []

    def walk(parent: int | None, depth: int) -> None:
        for row in below.get(parent, []):
            found.append((depth, row))
            walk(row.pk, depth + 1)

    walk(None, 0)
    return found


def next_short(parent: Location | None, letter: str, *, but: Collection[str] = ()) -> str:
    """The next short name of this letter with a number whose address is free: C1, C2, …

    Places whose parents have no short name, as sites have none, share their numbers.
    """
    begins = join_address(parent.address if parent else "", letter)
    alike = Location.objects.current().filter(short__startswith=letter, address_key__startswith=address_key(begins))
    used = set(alike.values_list("address_key", flat=True))
    numbers = range(1, len(used) + len(but) + 2)
    free = (n for n in numbers if address_key(f"{begins}{n}") not in used and f"{letter}{n}" not in but)
    return f"{letter}{next(free)}"

"""Reads over a donor: what is wanted and off it by zone, what may be pulled next, and what the donor came to."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal

from django.db.models import Count, Q

from inventory.parts.models import Holding, Move, Part, Reason
from inventory.parts.queries import NEW, merges, pick_parts
from inventory.places.models import Kind, Location
from inventory.web import slots
from inventory.web.meant import meant
from inventory.web.picker import Choice

from .calc import money
from .models import Donor, Pull, Want

WANT = "want:"  # a choice that stands for something on the list of what is wanted


@dataclass(slots=True)
class Counts:
    """How many things of a zone were pulled and kept, are wanted and still on it, and are gone."""

    pulled: int = 0
    wanted: int = 0
    gone: int = 0


@dataclass(frozen=True, slots=True)
class Tally:
    """All that came off a donor, read once for its drawing and its money.

    pulls: (zone, part, pieces) of each pull, the part as it is by now. here and fitted: how many of each part are still
    in the shop or on a build, and how many of these on a build. since: the parts that pulled ones were merged into, and
    since when.
    """

    pulls: list[tuple[str, int, Decimal]]
    here: dict[int, Decimal]
    fitted: dict[int, Decimal]
    since: dict[int, datetime]


def tally(donor: Donor) -> Tally:
    """A few statements, however many pulls."""
    merged, since = merges(), {}
    pulls = []
    for zone, part, quantity in donor.pulls.standing().order_by().values_list("zone", "part", "quantity"):
        while part in merged:
            part, at = merged[part]
            since[part] = min(at, since.get(part, at))
        pulls.append((zone, part, quantity))
    vehicles = tuple(place.path for place in builds())
    here: dict[int, Decimal] = {}
    fitted: dict[int, Decimal] = {}
    held = Holding.objects.filter(part__in={part for _, part, _ in pulls}).exclude(location=donor.location)
    for number, path, quantity in held.values_list("part", "location__path", "quantity"):
        here[number] = here.get(number, Decimal(0)) + quantity
        if vehicles and path.startswith(vehicles):
            fitted[number] = fitted.get(number, Decimal(0)) + quantity
    return Tally(pulls, here, fitted, since)


def counts_by_zone(donor: Donor, off: Tally) -> dict[str, Counts]:
    """For each zone that has any; '' for what nobody said the zone of. Gone: sold, scrapped, used up or not on it."""
    found: dict[str, Counts] = {}
    for zone, part, _ in off.pulls:
        counts = found.setdefault(zone, Counts())
        if part in off.here:
            counts.pulled += 1
        else:
            counts.gone += 1
    for zone in donor.wants.still_on().values_list("zone", flat=True):
        found.setdefault(zone, Counts()).wanted += 1
    lost = donor.wants.listed().exclude(missing_at=None).order_by()
    for zone, n in lost.values_list("zone").annotate(n=Count("pk")):
        found.setdefault(zone, Counts()).gone += n
    return found


@dataclass(slots=True)
class Fate:
    """What became of a part off a donor: where some of it is now, and what left the shop."""

    at: list[tuple[Location, Decimal]] = field(default_factory=list)
    fitted: list[tuple[Location, Decimal]] = field(default_factory=list)
    left: list[Move] = field(default_factory=list)
    copies: list[Part] = field(default_factory=list)

    @property
    def gone(self) -> bool:
        return not (self.at or self.fitted)

    @property
    def main(self) -> Location | None:
        """The one place to look for it."""
        return next((place for place, _ in [*self.at, *self.fitted]), None)


def builds() -> list[Location]:
    """Vehicles that are not donors: what is moved into one is fitted."""
    return list(Location.objects.filter(kind=Kind.VEHICLE, donor=None))


def fates(parts: Iterable[int]) -> dict[int, Fate]:
    """By part, in a handful of statements for any number of parts."""
    numbers = list(parts)
    found = {number: Fate() for number in numbers}
    vehicles = tuple(place.path for place in builds())
    held = Holding.objects.filter(part__in=numbers).select_related("location").order_by("-quantity", "pk")
    for row in held:
        fate = found[row.part_id]
        some = fate.fitted if vehicles and row.location.path.startswith(vehicles) else fate.at
        some.append((row.location, row.quantity))
    for move in exits().filter(part__in=numbers).order_by("at", "pk"):
        found[move.part_id].left.append(move)
    for copy in Part.objects.filter(pattern__in=numbers, merged_into=None).order_by("pk"):
        found[copy.pattern_id].copies.append(copy)
    return found


def exits():
    """Moves by which something left the shop, but for those undone."""
    gone = Move.objects.filter(target=None, reason__in=(Reason.SOLD, Reason.SCRAPPED, Reason.USED))
    return gone.filter(reverses=None, reversed_by=None)


@dataclass(frozen=True, slots=True)
class Working:
    reckoning: money.Reckoning
    costs: list
    sold: list[Move]


def working(donor: Donor, off: Tally) -> Working:
    """What the donor came to and what the fitted parts carry of it, with the rows it was worked out from."""
    costs = list(donor.costs.filter(removed_at=None))
    sold = _sold(donor, off)
    reckoning = money.reckon(
        price=donor.price,
        costs=[cost.amount for cost in costs],
        sold=[move.cost or Decimal(0) for move in sold],
        scrap=money.scrap_value(donor.weight, donor.scrap_rate),
        parts=_kept(off),
    )
    return Working(reckoning, costs, sold)


def _sold(donor: Donor, off: Tally) -> list[Move]:
    """Sales of what came off it, also under the name of a part of no donor that some of it was merged into since."""
    ours = Q(part__donor=donor.location) | Q(part__donor=None, part__in=off.since)
    sales = exits().filter(ours, reason=Reason.SOLD).select_related("part").order_by("at")
    return [sale for sale in sales if sale.part.donor_id or sale.at >= off.since[sale.part_id]]


def _kept(off: Tally) -> list[money.Kept]:
    nothing = Decimal(0)
    pulled: dict[int, Decimal] = {}
    for _, part, quantity in off.pulls:
        pulled[part] = pulled.get(part, nothing) + quantity
    return [
        money.Kept(n, off.fitted.get(part, nothing), max(nothing, n - off.here.get(part, nothing)))
        for part, n in pulled.items()
    ]


@dataclass(frozen=True, slots=True)
class Thing:
    """What is to be pulled. `like`: a part of that name; `want`: the wish it fulfils."""

    name: str
    side: str = ""
    like: Part | None = None
    want: Want | None = None


def wishes(donor: Donor) -> list[slots.Wish]:
    """What open tasks are short of and nobody has put on this donor's list."""
    listed = {what.casefold() for what in donor.wants.listed().values_list("what", flat=True)}
    return [wish for wish in slots.wanted() if wish.what.casefold() not in listed]


def known_on(donor: Donor):
    """What the ledger says is still on the donor."""
    return Holding.objects.filter(location=donor.location).select_related("part").order_by("part__name", "pk")


def guesses(donor: Donor, text: str = "", limit: int = 6) -> list[Choice]:
    """What may be meant to be pulled: from the list, from open tasks, from what is known on it, from earlier pulls."""
    wants = donor.wants.still_on().filter(what__icontains=text)
    found = [as_want_choice(one, text) for one in wants[:limit]]
    names = {choice.label.casefold() for choice in found}

    def more(choices: Iterable[Choice]) -> None:
        for choice in choices:
            if choice.label.casefold() not in names and len(found) < limit:
                names.add(choice.label.casefold())
                found.append(choice)

    tasks = [wish for wish in wishes(donor) if text.casefold() in wish.what.casefold()]
    more(Choice(f"{NEW}{wish.what}", wish.what, f"A task is short of it: {wish.why}") for wish in tasks)
    named = Q(part__in=meant("part", text, 60)) if text else Q()
    known = known_on(donor).filter(named)[: 2 * limit]
    more(Choice(str(row.part_id), str(row.part), f"{row.quantity:f} known to be on it") for row in known)
    before = Pull.objects.standing().exclude(donor=donor).filter(named, part__retired_at=None)
    for_name = before.select_related("part", "donor__location").order_by("-pk")[: 2 * limit]
    more(Choice(str(one.part_id), str(one.part), f"As pulled off {one.donor.location}") for one in for_name)
    return found


def as_want_choice(want: Want, text: str = "") -> Choice:
    says = "Wanted" + (f" ×{want.left:f}" if want.left != 1 else "") + (f", for: {want.why}" if want.why else "")
    exact = text.casefold() in (want.what.casefold(), str(want).casefold())
    return Choice(f"{WANT}{want.pk}", str(want), says, exact=exact)


def pick_to_pull(donor: Donor, text: str) -> list[Choice]:
    """As guesses, then the shop's parts of that name, and at the end a new one."""
    found = guesses(donor, text)
    names = {choice.label.casefold() for choice in found}
    *known, new = pick_parts(text)
    more = [choice for choice in known if choice.label.casefold() not in names]
    return [*found, *more, Choice(new.value, new.label, new.sub, exact=not found and not more)]


def get_thing(donor: Donor, value: str) -> Thing | None:
    """What a choice stands for."""
    if value.startswith(NEW):
        name = value.removeprefix(NEW).strip()[:120]
        return Thing(name) if name else None
    if value.startswith(WANT):
        number = value.removeprefix(WANT)
        want = donor.wants.listed().select_related("part").filter(pk=number if number.isdecimal() else 0).first()
        return Thing(want.what, want.side, want.part, want) if want else None
    part = Part.objects.filter(pk=value, merged_into=None).first() if value.isdecimal() else None
    return Thing(part.name, part.side, part) if part else None


def with_numbers():
    """Donors with how much came off and how much is wanted, for the list of them."""
    standing = Q(pulls__batch__undone_by=None)
    pulled = Count("pulls", filter=standing, distinct=True)
    return Donor.objects.with_place().annotate(pulled=pulled).order_by("location__retired_at", *Donor._meta.ordering)


def wanted_on(donors: Iterable[Donor]) -> dict[int, int]:
    """How many things are wanted and still on each."""
    rows = Want.objects.filter(donor__in=list(donors)).still_on().values_list("donor", "pk")
    found: dict[int, int] = {}
    for number, _ in rows:
        found[number] = found.get(number, 0) + 1
    return found


def pulls_of(donor: Donor, zone: str | None = None):
    """What came off, the newest first."""
    rows = donor.pulls.standing().select_related("part", "part__merged_into", "bag", "by", "batch")
    return rows if zone is None else rows.filter(zone=zone)


def like_before(name: str) -> str:
    """The zone that a part of this name was pulled from last time; '' where there was none."""
    last = Pull.objects.standing().filter(part__name__iexact=name).exclude(zone="").values_list("zone", flat=True)
    return last.first() or ""

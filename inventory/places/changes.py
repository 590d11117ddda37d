"""The innermost step of every change to the tree: write it, keep the addresses right, remember what was before.

`actions.py` and `actions_grid.py` have the verbs a person knows; both write through here, so that each change can
be undone, old addresses still resolve, and a branch of thousands of places costs a handful of statements.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import CharField, ProtectedError, Value
from django.db.models.functions import Cast, Concat, Substr
from django.utils import timezone

from .calc.address import address_key, join_address
from .models import FormerAddress, Kind, Location, LocationChange

Edit = tuple[Location, dict[str, Any]]
ADDRESSED = {"parent_id", "kind", "short", "retired_at"}  # fields an address or its uniqueness follows from
KEPT = ["address", "address_key", "path"]  # what a place keeps of the way down to it
PORTION = 250  # rows an UPDATE carries


class CannotUndo(Exception):
    """The change can't be taken back: it was already, or something built on it since."""


def place_address(parent: Location | None, kind: str, short: str) -> str:
    """The address a place of this kind gets under this parent; a shelf's piece is glued to its rack's."""
    glued = kind == Kind.SHELF and parent is not None and parent.kind == Kind.RACK
    return join_address(parent.address if parent else "", short, glued=glued)


@transaction.atomic
def write(
    *, location: Location | None, what: str, by, edits: Sequence[Edit] = (), made: Sequence[Location] = ()
) -> LocationChange:
    """One change: fields of places that are there, and new places (parents before children).

    `location` is the place the change is told of; None for a new one at the top, which then is the first of `made`.
    Raises ValidationError when an address would be given twice; then nothing is written.
    """
    log = [[place.pk, *_differences(place, to)] for place, to in edits]
    as_it_was = [(place, dict(vars(place))) for place, _ in edits]
    try:
        former = _write_edits(edits, scope=location) if edits else []
        plant(made)
    except ValidationError:
        for place, values in as_it_was:  # a page that says why still shows what is true
            vars(place).update(values)
        raise
    change = LocationChange.objects.create(
        location=location or made[0],
        what=what[:200],
        by=by,
        edits=[line for line in log if line[2]],
        made=[place.pk for place in made],
    )
    remember(change, former)
    return change


def remember(change: LocationChange, former: Iterable[tuple[int, str]]) -> None:
    """Old addresses that still lead to a place, until the change is undone."""
    rows = [
        FormerAddress(location_id=number, address=old, address_key=address_key(old), change=change)
        for number, old in former
    ]
    FormerAddress.objects.bulk_create(rows, batch_size=500)


def plant(places: Sequence[Location]) -> None:
    """Write new places with their addresses and paths, a level of the tree at a time."""
    for place in places:
        place.address = place_address(place.parent, place.kind, place.short)
        place.address_key = address_key(place.address)
    check_free(places)
    waiting = list(places)
    while waiting:
        level = [place for place in waiting if place.parent is None or place.parent.pk]
        waiting = [place for place in waiting if place.parent is not None and not place.parent.pk]
        for place in level:
            place.parent = place.parent  # takes over the number its parent has by now
        Location.objects.bulk_create(level, batch_size=PORTION)
        for place in level:
            place.path = f"{place.parent.path if place.parent else '/'}{place.pk}/"
        Location.objects.bulk_update(level, ["path"], batch_size=PORTION)


def check_free(places: Iterable[Location], *, but_under: str = "") -> None:
    """Raises ValidationError, naming the clash, when an address is taken or would be given twice."""
    wanted: dict[str, Location] = {}
    for place in places:
        if place.retired_at is None and place.short:
            if twin := wanted.get(place.address_key):
                raise ValidationError(f"Two places would be {place.address}: {twin.title} and {place.title}.")
            wanted[place.address_key] = place
    keys = sorted(wanted)
    for start in range(0, len(keys), 500):
        taken = Location.objects.filter(address_key__in=keys[start : start + 500], retired_at=None).exclude(short="")
        if but_under:
            taken = taken.exclude(path__within=but_under)
        if other := taken.select_related("parent").first():
            where = f" in {other.parent.title}" if other.parent else ""
            raise ValidationError(f"{other.address} is taken: {other.title}{where}. Give it another short name.")


@transaction.atomic
def undo(*, change: LocationChange) -> LocationChange:
    """Put back what the change changed and take away what it made.

    Raises CannotUndo when it was undone before, or when what it touched has been changed or filled since.
    """
    change = LocationChange.objects.select_for_update().get(pk=change.pk)
    if change.undone_at:
        raise CannotUndo("That was undone already.")
    places = Location.objects.in_bulk([pk for pk, _, _ in change.edits])
    edits = []
    for pk, before, after in change.edits:
        place = places.get(pk)
        if place is None or any(_plain(getattr(place, name)) != value for name, value in after.items()):
            raise CannotUndo(f"{place or 'The place'} has been changed again since. Undo the newer change first.")
        edits.append((place, {name: _restored(name, value) for name, value in before.items()}))
    change.former.all().delete()
    _take_away(change.made)
    if edits:
        change.location.refresh_from_db()
        try:
            _write_edits(edits, scope=change.location)
        except ValidationError as clash:
            raise CannotUndo(clash.messages[0]) from clash
    change.undone_at = timezone.now()
    change.save(update_fields=["undone_at"])
    return change


def _take_away(numbers: list[int]) -> None:
    """Places made by a change that is undone: gone where nothing ever happened there, else retired."""
    made = Location.objects.filter(pk__in=numbers)
    if full := made.filter(holdings__isnull=False).first():
        raise CannotUndo(f"Something lies in {full} since. Take it out first.")
    if later := Location.objects.filter(parent__in=numbers, retired_at=None).exclude(pk__in=numbers).first():
        raise CannotUndo(f"{later} was put there since. Move it out first.")
    try:
        with transaction.atomic():
            for place in sorted(made, key=lambda place: -place.path.count("/")):
                place.delete()
    except ProtectedError:
        made.update(retired_at=timezone.now())


def _write_edits(edits: Sequence[Edit], *, scope: Location) -> list[tuple[int, str]]:
    """Set the fields, and readdress the branch of `scope`. Answers the addresses that are no more, by place."""
    branch = scope.path
    names = sorted({name for _, to in edits for name in to})
    # Whoever leaves a cell is written first and whoever comes back last: no two share a cell at any moment.
    leaving = [place for place, to in edits if to.get("retired_at")]
    coming = [place for place, to in edits if "retired_at" in to and not to["retired_at"]]
    others = [place for place, to in edits if "retired_at" not in to]
    for place, to in edits:
        for name, value in to.items():
            setattr(place, name, value)
    moved, former, crossing = [], [], set()
    if ADDRESSED & set(names):
        rows = _branch(branch, scope, {place.pk: place for place, _ in edits})
        before = {row.pk: tuple(getattr(row, name) for name in KEPT) for row in rows}
        moved = _readdress(rows, scope)
        check_free([row for row in rows if row.retired_at is None], but_under=branch)
        former = [
            (row.pk, before[row.pk][0])
            for row in moved
            if row.short and row.retired_at is None and before[row.pk][1] not in ("", row.address_key)
        ]
        crossing = {row.address_key for row in moved} & {key for _, key, _ in before.values()}
        if crossing:
            _park(moved)
    for group in (leaving, others, coming):
        Location.objects.bulk_update(group, names, batch_size=PORTION)
    if moved and (crossing or not _store_as_one(moved, before, scope)):
        Location.objects.bulk_update(moved, KEPT, batch_size=PORTION)
    return former


def _store_as_one(moved: Sequence[Location], before: dict[int, tuple[str, ...]], scope: Location) -> bool:
    """Where a whole branch only has another beginning (the usual case), one UPDATE does for any number of places."""
    begins = dict(zip(KEPT, zip(before[scope.pk], [getattr(scope, name) for name in KEPT], strict=True), strict=True))
    alike = len(moved) == len(before) and all(old for old, _ in begins.values())
    for number, (name, (old, new)) in enumerate(begins.items()):
        cut = len(old)
        alike = alike and all(getattr(row, name) == new + before[row.pk][number][cut:] for row in moved)
    if not alike:
        return False
    Location.objects.filter(path__within=begins["path"][0]).update(
        **{name: Concat(Value(new), Substr(name, len(old) + 1)) for name, (old, new) in begins.items()}
    )
    return True


def _branch(path: str, scope: Location, edited: dict[int, Location]) -> list[Location]:
    """The branch, parents first, as the very objects that are being edited where they are."""
    known = {**edited, scope.pk: edited.get(scope.pk, scope)}
    rows = [known.get(row.pk, row) for row in Location.objects.filter(path__within=path)]
    return sorted(rows, key=lambda row: row.path.count("/"))


def _readdress(rows: Sequence[Location], scope: Location) -> list[Location]:
    """Give each place the address and path that follow from its parent's; answers those that changed."""
    known = {row.pk: row for row in rows}
    moved = []
    for row in rows:
        parent = known.get(row.parent_id) or (row.parent if row.parent_id else None)
        address = place_address(parent, row.kind, row.short)
        path = f"{parent.path if parent else '/'}{row.pk}/"
        if (address, path) != (row.address, row.path):
            row.address, row.address_key, row.path = address, address_key(address), path
            moved.append(row)
    return moved


def _park(rows: Sequence[Location]) -> None:
    """Numbers that change places (1 becomes 8, 8 becomes 1) pass through a key that nobody can have."""
    numbers = [row.pk for row in rows]
    for start in range(0, len(numbers), 500):
        some = Location.objects.filter(pk__in=numbers[start : start + 500])
        some.update(address_key=Concat(Value("~"), Cast("pk", CharField())))


def _differences(place: Location, to: dict[str, Any]) -> tuple[dict, dict]:
    """What the fields are now and will be, as JSON can keep it; only those that differ."""
    before = {name: _plain(getattr(place, name)) for name in to}
    after = {name: _plain(value) for name, value in to.items()}
    differ = [name for name in to if before[name] != after[name]]
    return {name: before[name] for name in differ}, {name: after[name] for name in differ}


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, datetime) else value


def _restored(name: str, value: Any) -> Any:
    return datetime.fromisoformat(value) if name == "retired_at" and value else value

"""Taking a part off a donor: one transaction for the part, its bag of fasteners, its photos and the tick on a list."""

import uuid
from collections import Counter
from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from inventory.parts.actions import Line, amount, record
from inventory.parts.hardware import key_of
from inventory.parts.ledger import OtherContents
from inventory.parts.models import Batch, Condition, Holding, Move, Origin, Part, Reason
from inventory.parts.queries import BAG
from inventory.people.models import Person
from inventory.photos.models import Photo
from inventory.places.actions import add_place, move_place
from inventory.places.models import Kind, Location

from .calc.bagged import Bagged
from .models import Donor, Pull, PullPhoto, Want, When

CAME_WITH_IT = "Came with the donor"


@transaction.atomic
def pull(
    *,
    donor: Donor,
    name: str,
    quantity: Decimal,
    target: Location,
    by: Person | None,
    uid: uuid.UUID,
    side: str = "",
    condition: str = Condition.GOOD,
    zone: str = "",
    back: str = "",
    bagged: Sequence[Bagged] = (),
    like: Part | None = None,
    want: Want | None = None,
    before: Sequence[Photo] = (),
    after: Sequence[Photo] = (),
    at: datetime | None = None,
) -> Pull:
    """A part comes off the donor and goes to a place. A second arrival of the same uid answers with the first, or
    raises OtherContents where it says something else.

    What is not held at the donor yet is received there in the same batch, so that the ledger balances. `like` is a
    part of that name whose other names, numbers and unit a new one takes over.
    """
    if earlier := _earlier(uid):
        said = (donor.pk, name.casefold(), side, condition, quantity, target.pk, zone, back.strip())
        if said != _said(earlier) or not _has(earlier, bagged, (*before, *after)):
            raise OtherContents(earlier.batch)
        return earlier
    part = _part(donor, name=name, side=side, condition=condition, like=like)
    bag = _bag(target, part) if bagged else None
    lines = _lines(donor, part, quantity, target)
    for thing in bagged:
        fastener = _part(donor, name=thing.what[:120], side="", condition=Condition.GOOD)
        lines += _lines(donor, fastener, Decimal(thing.quantity), bag)
    bag_words = f", fasteners in {bag.short}" if bag else ""
    what = f"Pulled {amount(part, quantity)} {part} off {donor.location} to {target}{bag_words}"
    batch = record(lines=lines, what=what, by=by, uid=uid, at=at)
    made = Pull.objects.create(
        batch=batch, donor=donor, part=part, quantity=quantity, zone=zone, bag=bag, back=back, by=by, at=batch.at,
        want=want or _wanted(donor, part),
    )  # fmt: skip
    _keep_photos(made, before, after)
    return made


def _earlier(uid: uuid.UUID) -> Pull | None:
    pull = Pull.objects.filter(batch_id=uid).select_related("part", "batch__undone_by").first()
    if pull:
        pull.batch.repeated = True
    return pull


def _said(pull: Pull) -> tuple:
    """What the form of a pull said, as far as the pull still knows."""
    part = pull.part
    target = pull.batch.moves.filter(part=part, reason=Reason.PULLED).values_list("target", flat=True).first()
    return (
        pull.donor_id, part.name.casefold(), part.side, part.condition, pull.quantity, target, pull.zone,
        pull.back.strip(),
    )  # fmt: skip


def _has(pull: Pull, bagged: Sequence[Bagged], photos: Sequence[Photo]) -> bool:
    """Whether the pull's bag was filled with these, and it has all of these photos."""
    moves = pull.batch.moves.filter(reason=Reason.PULLED, target=pull.bag) if pull.bag_id else pull.batch.moves.none()
    made = Counter((_alike(move.part.name), move.quantity) for move in moves.select_related("part"))
    asked = Counter((_alike(thing.what[:120]), Decimal(thing.quantity)) for thing in bagged)
    kept = set(pull.pictures.values_list("photo", flat=True))
    return made == asked and kept >= {photo.pk for photo in photos}


def _alike(name: str) -> str:
    """The same for a fastener however it is written, and for anything else its name."""
    return key_of(name) or name.casefold()


def _part(donor: Donor, *, name: str, side: str, condition: str, like: Part | None = None) -> Part:
    """The part of that name, side and condition off this donor; one an Undo took off the lists comes back on them."""
    mine = Part.objects.filter(donor=donor.location, merged_into=None, condition=condition)
    same = Q(name__iexact=name) | Q(fastener_key=key_of(name)) & ~Q(fastener_key="")
    found = mine.filter(same, side=side).order_by("retired_at", "pk").first()
    if found is None:
        found = Part(name=name, side=side, condition=condition, origin=Origin.PULLED, donor=donor.location)
        if like is not None:
            found.other_names, found.part_numbers, found.unit = like.other_names, like.part_numbers, like.unit
        found.full_clean()
        found.save()
    elif found.retired_at:
        found.retired_at = None
        found.save(update_fields=["retired_at"])
    return found


def _lines(donor: Donor, part: Part, quantity: Decimal, target: Location) -> list[Line]:
    """The moves of one kind: off the donor, after what the donor was not known to hold has been received there.

    What was counted on it in another condition turns into this one.
    """
    place = donor.location
    held = Holding.objects.filter(location=place, part__name__iexact=part.name, part__side=part.side)
    rows = {row.part_id: row for row in held.select_related("part")}
    lines, missing = [], quantity
    if own := rows.pop(part.pk, None):
        missing -= min(missing, own.quantity)
    for row in rows.values():
        if row.part.unit == part.unit and (turned := min(missing, row.quantity)) > 0:
            note = f"Turned out {part.get_condition_display().lower()}"
            lines.append(Line(row.part, turned, place, None, Reason.COUNTED, note))
            lines.append(Line(part, turned, None, place, Reason.COUNTED, note))
            missing -= turned
    if missing > 0:
        lines.append(Line(part, missing, None, place, Reason.RECEIVED, CAME_WITH_IT))
    return [*lines, Line(part, quantity, place, target, Reason.PULLED)]


def _bag(target: Location, part: Part) -> Location:
    """A new bag that lies with the part: a small bin of its own, with the next number in the shop."""
    used = Location.objects.filter(kind=Kind.BIN, short__regex=rf"^{BAG}[0-9]+$").values_list("short", flat=True)
    number = max((int(short.removeprefix(BAG)) for short in used), default=0) + 1
    return add_place(kind=Kind.BIN, short=f"{BAG}{number}", name=f"Bag {number}: {part}"[:80], parent=target)


def _wanted(donor: Donor, part: Part) -> Want | None:
    """The wish this pull fulfils, when nobody said which."""
    same = Q(what__iexact=part.name) | Q(what__iexact=str(part))
    return donor.wants.still_on().filter(same, side__in={part.side, ""}).order_by("-side", "pk").first()


def _keep_photos(pull: Pull, before: Sequence[Photo], after: Sequence[Photo]) -> None:
    """The photos become the part's, those off the vehicle first, and remember when they were taken."""
    order = 0
    for when, some in ((When.AFTER, after), (When.BEFORE, before)):
        for photo in some:
            photo.part, photo.order = pull.part, order
            photo.caption = photo.caption or f"{pull.part} {'on' if when == When.BEFORE else 'off'} {pull.donor}"[:300]
            photo.save(update_fields=["part", "order", "caption"])
            PullPhoto.objects.create(pull=pull, photo=photo, when=when)
            order += 1


def undone(batch: Batch) -> None:
    """After an Undo: the empty bag is out of use again, and parts that only this pull had made are off the lists."""
    pull = Pull.objects.filter(batch=batch).select_related("bag").first()
    if pull is None:
        return
    now = timezone.now()
    if pull.bag and not Holding.objects.inside(pull.bag).exists():
        Location.objects.filter(pk=pull.bag_id).update(retired_at=now)
    numbers = set(batch.moves.values_list("part", flat=True))
    numbers -= set(Holding.objects.filter(part__in=numbers).values_list("part", flat=True))
    elsewhere = Move.objects.filter(part__in=numbers).exclude(batch=batch).exclude(batch__undoes=batch)
    numbers -= set(elsewhere.filter(batch__undone_by=None, batch__undoes=None).values_list("part", flat=True))
    Part.objects.filter(pk__in=numbers, retired_at=None).update(retired_at=now)


def bring_bag(*, pull: Pull, to: Location, by: Person | None) -> None:
    """The bag lies with its part again. Raises ValidationError when it does already."""
    move_place(place=pull.bag, to=to, by=by)


@transaction.atomic
def made_after(*, part: Part, pattern: Part) -> Part:
    """This part was made after that pattern; one that is not in the list yet comes into it."""
    part.pattern = pattern
    if part.pk is None:
        part.origin, part.condition, part.side = Origin.MADE, Condition.GOOD, part.side or pattern.side
        part.full_clean()
    part.save()
    return part

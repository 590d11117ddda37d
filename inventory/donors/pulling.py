"""Taking a part off a donor: one transaction for the part, its bag of fasteners, its photos and the tick on a list."""

import hashlib
import uuid
from collections import Counter
from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from inventory.parts.actions import Line, amount, leave_lists, record
from inventory.parts.hardware import key_of
from inventory.parts.ledger import OtherContents
from inventory.parts.models import Batch, Condition, Holding, Origin, Part, Reason
from inventory.parts.queries import BAG
from inventory.people.models import Person
from inventory.photos.models import Photo
from inventory.places.actions import add_place, move_place
from inventory.places.models import Kind, Location

from .calc.bagged import Bagged
from .calc.zones import zone_of
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
    sent: Sequence[str] = (),
) -> Pull:
    """A part comes off the donor and goes to a place. A second arrival of the same uid answers with the first, or
    raises OtherContents where it says something else.

    What is not held at the donor yet is received there in the same batch, so that the ledger balances. `like` is a
    part of that name whose other names, numbers and unit a new one takes over. `sent` is what the form said, from which
    the rest was made out: a repeat of it is the same pull, whatever has been renamed or merged since.
    """
    meant = (donor.pk, _alike(name), side, condition, f"{quantity:f}", target.pk, zone, back.strip(), _all_of(bagged))
    said = [_mark(some) for some in (meant, sent) if some]
    if earlier := _earlier(uid, said, (*before, *after)):
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
        want=want or _wanted(donor, part), said="".join(said),
    )  # fmt: skip
    _keep_photos(made, before, after)
    return made


def sent_before(uid: uuid.UUID, *, sent: Sequence[str], photos: Sequence[Photo]) -> Pull | None:
    """The pull that the very same form made before; None where there is none, OtherContents where it said more."""
    return _earlier(uid, [_mark(sent)], photos)


def _earlier(uid: uuid.UUID, said: Sequence[str], photos: Sequence[Photo]) -> Pull | None:
    """The pull with this number. Raises OtherContents where none of what is said was said then, or a photo is new."""
    pull = Pull.objects.filter(batch_id=uid).select_related("batch__undone_by").first()
    if pull is None:
        return None
    pull.batch.repeated = True
    alike = not pull.said or any(mark in pull.said for mark in said)
    if not alike or {photo.pk for photo in photos} - set(pull.pictures.values_list("photo", flat=True)):
        raise OtherContents(pull.batch)
    return pull


def _mark(said: Sequence) -> str:
    """32 characters that stand for all of it."""
    return hashlib.sha256(repr(tuple(said)).encode()).hexdigest()[:32]


def _all_of(bagged: Sequence[Bagged]) -> list[tuple[str, int]]:
    """What goes into a bag, the same for bolts written differently."""
    counted: Counter[str] = Counter()
    for thing in bagged:
        counted[_alike(thing.what[:120])] += thing.quantity
    return sorted(counted.items())


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
    """The wish this pull fulfils, when nobody said which: of its name and side, else of its name for any side."""
    wants = list(donor.wants.still_on().order_by("pk"))
    whole = (want for want in wants if _alike(str(want)) == _alike(str(part)))
    any_side = (want for want in wants if not want.side and _alike(want.what) == _alike(part.name))
    return next(whole, None) or next(any_side, None)


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


def taken_out(batch: Batch, line: Line) -> None:
    """What leaves a donor by another verb of the store came off it all the same: it is counted, and ticks the list."""
    place, part = line.source, line.part
    if not place.is_vehicle or part.donor_id != place.pk:
        return
    if donor := Donor.objects.filter(location=place).first():
        Pull.objects.create(
            batch=batch, donor=donor, part=part, quantity=line.quantity, zone=zone_of(part.name),
            want=_wanted(donor, part), by=batch.by, at=batch.at,
        )  # fmt: skip


def undone(batch: Batch) -> None:
    """After an Undo: the empty bag is out of use again, and parts that only this pull had made are off the lists."""
    pull = Pull.objects.filter(batch=batch).select_related("bag").first()
    if pull is None:
        return
    if pull.bag and not Holding.objects.inside(pull.bag).exists():
        Location.objects.filter(pk=pull.bag_id).update(retired_at=timezone.now())
    leave_lists(Part.objects.filter(moves__batch=batch), batch=batch)


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

"""The verbs of the store: put in, take out, move, count, use up, scrap, sell, and undo. Each is one batch of moves."""

import uuid
from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from inventory.people.models import Person
from inventory.places.models import Location
from inventory.web import slots

from .counting import count
from .ledger import Line, NotEnough, OtherContents, OutOfUse, Refused, earlier_batch, record
from .models import Batch, Holding, Move, Origin, Part, PartQuerySet, Reason

__all__ = ["Line", "NotEnough", "OtherContents", "OutOfUse", "Refused", "count", "record"]

ARRIVES_AS = {
    Origin.BOUGHT: Reason.RECEIVED,
    Origin.FOUND: Reason.RECEIVED,
    Origin.MADE: Reason.MADE,
    Origin.PULLED: Reason.PULLED,
}


def amount(part: Part, quantity: Decimal) -> str:
    """A quantity as it is said: '4 ×' or '1.5 m of'."""
    return f"{quantity:f} ×" if part.whole else f"{quantity:f} {part.get_unit_display()} of"


@transaction.atomic
def record_told(*lines: Line, **rest) -> Batch:
    """As record; whoever keeps an account of what leaves a place is told of it."""
    batch = record(lines=lines, **rest)
    if not batch.repeated:
        for line in lines:
            if line.source and line.quantity > 0:
                slots.tell("taken_out", batch, line)
    return batch


def put_in(
    *,
    part: Part,
    quantity: Decimal,
    target: Location,
    by: Person | None,
    source: Location | None = None,
    note: str = "",
    cost: Decimal | None = None,
    uid: uuid.UUID | None = None,
    at: datetime | None = None,
) -> Batch:
    """Parts come into a place: from outside (then the reason follows from the part's origin) or from another place."""
    reason = Reason.MOVED if source else ARRIVES_AS[Origin(part.origin)]
    return record_told(
        Line(part, quantity, source, target, reason, note, cost),
        what=f"Put {amount(part, quantity)} {part} into {target}",
        by=by,
        uid=uid,
        at=at,
    )


def put_in_perhaps_new(*, part: Part, uid: uuid.UUID | None = None, **rest) -> Batch:
    """As put_in; a part that is not in the list yet comes into it first. A repeat makes no second part."""
    if part.pk is not None:
        return put_in(part=part, uid=uid, **rest)
    with transaction.atomic():
        if uid and (earlier := earlier_batch(uid)):
            made = earlier.moves.select_related("part").first()
            if made is None or made.part.name.casefold() != part.name.casefold():
                raise OtherContents(earlier)
            return put_in(part=made.part, uid=uid, **rest)
        part.full_clean()
        part.save()
        return put_in(part=part, uid=uid, **rest)


def take_out(
    *,
    part: Part,
    quantity: Decimal,
    source: Location,
    target: Location,
    by: Person | None,
    note: str = "",
    uid: uuid.UUID | None = None,
    at: datetime | None = None,
) -> Batch:
    """Parts leave a place for another one: the bench, the vehicle being built, a firm that coats them."""
    reason = Reason.FITTED if target.is_vehicle else Reason.SENT_OUT if target.away else Reason.MOVED
    if source.away and not target.away:
        reason = Reason.CAME_BACK
    if source.is_vehicle and not target.is_vehicle:
        reason = Reason.PULLED
    return record_told(
        Line(part, quantity, source, target, reason, note),
        what=f"Took {amount(part, quantity)} {part} from {source} to {target}",
        by=by,
        uid=uid,
        at=at,
    )


def leave_shop(
    *,
    part: Part,
    quantity: Decimal,
    source: Location,
    reason: str,
    by: Person | None,
    note: str = "",
    cost: Decimal | None = None,
    uid: uuid.UUID | None = None,
    at: datetime | None = None,
) -> Batch:
    """Parts are used up, scrapped or sold. For a sale `cost` is what came in."""
    if reason not in (Reason.USED, Reason.SCRAPPED, Reason.SOLD):
        raise ValidationError("Say whether it was used up, scrapped or sold.")
    return record_told(
        Line(part, quantity, source, None, reason, note, cost),
        what=f"{Reason(reason).label} {amount(part, quantity)} {part} from {source}",
        by=by,
        uid=uid,
        at=at,
    )


Seen = Sequence[tuple[Part, Decimal]]  # what a person had before them at a place, and how many of each


def move_many(*, source: Location, things: Seen, target: Location, by: Person | None, uid: uuid.UUID | None = None):
    """Several things from one place to another at once, as many of each as was seen. Answers with the batch."""
    lines = _all_of(source, things, target)
    kinds = f"{len(lines)} kind{'' if len(lines) == 1 else 's'}"
    return record_told(*lines, what=f"Moved {kinds} of part to {target}", by=by, uid=uid)


@transaction.atomic
def empty_into(
    *, source: Location, target: Location, by: Person | None, seen: Seen | None = None, uid: uuid.UUID | None = None
) -> Batch:
    """All that was seen in a place (without `seen`: all that lies there) goes into another. What came since stays."""
    held = dict(_held(source))
    things = list(held.items()) if seen is None else seen
    stays = any(quantity > dict(things).get(part, 0) for part, quantity in held.items())
    what = f"Emptied {source} into {target}" + (", but for what came into it since" if stays else "")
    return record_told(*_all_of(source, things, target), what=what, by=by, uid=uid)


def _held(place: Location) -> Seen:
    return [(row.part, row.quantity) for row in Holding.objects.filter(location=place).select_related("part")]


def _all_of(source: Location, things: Seen, target: Location) -> list[Line]:
    reason = Reason.FITTED if target.is_vehicle else Reason.MOVED
    return [Line(part, quantity, source, target, reason) for part, quantity in things]


class CannotUndo(Exception):
    """The batch was undone before, or is itself an undoing."""


@transaction.atomic
def undo(*, batch: Batch, by: Person | None) -> Batch:
    """Reverse each move of a batch; a part that comes back into a place is in the list again.

    Answers the undoing, with what could not be taken back (`stays`, sentences). Raises NotEnough when the parts have
    gone on to elsewhere since, CannotUndo when their place is out of use.
    """
    if batch.undone:
        return batch.undone_by
    if batch.undoes_id:
        raise CannotUndo("This is an undoing itself. Make the change again instead.")
    moves: list[Move] = list(batch.moves.select_related("part", "source", "target"))
    lines = [Line(move.part, move.quantity, move.target, move.source, move.reason, reverses=move) for move in moves]
    if gone := next((line.target for line in lines if line.target and line.target.retired_at), None):
        raise CannotUndo(f"{gone} is out of use: bring it back into use first.")
    undoing = record(lines=lines, what=f"Undid: {batch.what}", by=by, undoes=batch)
    back = Q(pk__in={line.part.pk for line in lines if line.target}) | Q(merged_into__isnull=False, retired_at=batch.at)
    Part.objects.filter(back, retired_at__isnull=False).update(retired_at=None, merged_into=None)
    undoing.stays = slots.tell("undone", batch)
    return undoing


@transaction.atomic
def merge(*, keep: Part, drop: Part, by: Person | None, uid: uuid.UUID | None = None) -> Batch:
    """Two parts were the same: what is held of one is held of the other, and its names lead there. History stays."""
    if keep.pk == drop.pk:
        raise ValidationError("Pick another part: this is the same one.")
    if keep.unit != drop.unit:
        raise ValidationError(f"One is counted in {keep.get_unit_display()}, the other in {drop.get_unit_display()}.")
    rows = Holding.objects.filter(part=drop).select_related("location")
    lines = [
        line
        for row in rows
        for line in (
            Line(drop, row.quantity, row.location, None, Reason.COUNTED, note=f"Merged into {keep}"),
            Line(keep, row.quantity, None, row.location, Reason.COUNTED, note=f"Merged from {drop}"),
        )
    ]
    batch = record(lines=lines, what=f"Merged {drop} into {keep}", by=by, uid=uid)
    keep.other_names = _lines(keep.other_name_list, [drop.name, *drop.other_name_list], but=keep.name)
    keep.part_numbers = _lines(keep.number_list, drop.number_list)
    keep.save(update_fields=["other_names", "part_numbers"])
    drop.retired_at = batch.at  # by which an undo finds it, also where nothing was held
    drop.merged_into = keep
    drop.save(update_fields=["retired_at", "merged_into"])
    slots.tell("merged", keep, drop)
    return batch


def leave_lists(parts: PartQuerySet, *, batch: Batch) -> None:
    """After an Undo: those of the parts that nothing but this batch had to do with are off the lists again."""
    numbers = set(parts.values_list("pk", flat=True))
    numbers -= set(Holding.objects.filter(part__in=numbers).values_list("part", flat=True))
    elsewhere = Move.objects.filter(part__in=numbers).exclude(batch=batch).exclude(batch__undoes=batch)
    numbers -= set(elsewhere.filter(batch__undone_by=None, batch__undoes=None).values_list("part", flat=True))
    Part.objects.filter(pk__in=numbers, retired_at=None).update(retired_at=timezone.now())


def _lines(first: list[str], more: list[str], but: str = "") -> str:
    """Both lists, one a line, each once."""
    known = {but.casefold()}
    unique = [text for text in first + more if not (text.casefold() in known or known.add(text.casefold()))]
    return "\n".join(unique)


@transaction.atomic
def retire(*, part: Part) -> bool:
    """Take a part off the lists. One that was never moved is deleted (answers True); the rest keep their history.

    Raises ValidationError while some of it is still on hand.
    """
    if Holding.objects.filter(part=part).exists():
        raise ValidationError("Some of it is still on hand. Use it up, scrap it or sell it first.")
    if not part.moves.exists() and not part.merged_from.exists():
        part.delete()
        return True
    part.retired_at = timezone.now()
    part.save(update_fields=["retired_at"])
    return False

"""The ledger's innermost step: moves in, holdings kept right, all or nothing.

`actions.py` has the verbs a person knows; nothing else writes Move or Holding.
"""

import uuid
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from inventory.people.models import Person
from inventory.places.models import Location
from inventory.web.moment import done_at

from .bulk import insert, update
from .models import Batch, Counted, Holding, Move, Part, Reason
from .quantity import exact


@dataclass(frozen=True, slots=True)
class Line:
    """One move to be made. A source or target of None is the world outside the shop."""

    part: Part
    quantity: Decimal
    source: Location | None
    target: Location | None
    reason: str
    note: str = ""
    cost: Decimal | None = None
    reverses: Move | None = None


class Refused(Exception):
    """The ledger can't write this, and nothing was written; the text says why, to the person who asked."""


@dataclass
class NotEnough(Refused):
    """More was taken than is there. `last` is the newest move out of the place: who was quicker."""

    part: Part
    location: Location
    wanted: Decimal
    there: Decimal
    last: Move | None = None

    def __str__(self) -> str:
        there = f"only {self.there}" if self.there else "none"
        text = f"There {'are' if self.there > 1 else 'is'} {there} of “{self.part}” at {self.location}."
        if self.last:
            who = self.last.by.name if self.last.by else "Somebody"
            when = timezone.localtime(self.last.at)
            text += f" {who} took {self.last.quantity} on {when:%-d %b} at {when:%H:%M}."
        return text


class OutOfUse(Refused):
    """The place went out of use between the form and its arrival."""

    def __init__(self, location: Location):
        super().__init__(f"{location} went out of use meanwhile. Choose another place.")


class OtherContents(Refused):
    """A form's number came again with something else in the form: a page gone back to, changed and sent once more."""

    def __init__(self, batch: Batch):
        super().__init__(f"This was sent already, as: {batch.what}. If it is something more, send it once again.")
        self.batch = batch


@transaction.atomic
def record(
    *,
    lines: Sequence[Line],
    what: str,
    by: Person | None,
    uid: uuid.UUID | None = None,
    at: datetime | None = None,
    undoes: Batch | None = None,
) -> Batch:
    """Write moves and the holdings that follow from them, in one transaction.

    The batch's uid makes it safe to repeat: a second arrival answers with the first batch and changes nothing.
    `at` is when it was done (default: the moment of the request; never in the future). What comes late leaves a count
    that was made since as it is. Raises NotEnough, OutOfUse, or OtherContents where the uid came before with other
    lines, and then nothing is written.
    """
    lines = [line for line in lines if line.quantity > 0]
    if uid and (earlier := earlier_batch(uid)):
        if lines and not _same(earlier, lines):
            raise OtherContents(earlier)
        return earlier
    uid = uid or uuid.uuid4()
    now = timezone.now()
    at = min(at, now) if at else done_at()
    since = undoes.at if undoes else at  # what is undone is as if it had never been
    amended = amend_counts(lines, since) if since < now else []
    settle([*lines, *(line for _, line in amended)])
    batch = Batch.objects.create(pk=uid, what=what[:200], by=by, at=at, undoes=undoes)
    _insert((batch, uuid.uuid5(uid, str(number)), line) for number, line in enumerate(lines))
    _insert((counted.batch, uuid.uuid4(), line) for counted, line in amended)
    return batch


def _insert(moves: Iterable[tuple[Batch, uuid.UUID, Line]]) -> None:
    """Write lines as moves of their batches: made when the batch was, by whom it was."""
    insert(
        Move,
        ("uid", "batch", "part", "quantity", "source", "target", "reason", "note", "cost", "at", "by", "reverses"),
        (
            (
                uid, batch.pk, line.part.pk, line.quantity, line.source and line.source.pk,
                line.target and line.target.pk, line.reason, line.note, line.cost, batch.at, batch.by_id,
                line.reverses and line.reverses.pk,
            )
            for batch, uid, line in moves
        ),
    )  # fmt: skip


def amend_counts(lines: Sequence[Line], since: datetime) -> list[tuple[Counted, Line]]:
    """What these moves change at places that were counted after `since` belongs to the difference that count found.

    Who took one before the count, and says so after it, explains a part of the difference: the place still holds what
    was counted. Answers with a line for the batch of each such count, the first one after `since`.
    """
    change, seen = _changes(lines)
    amended = []
    for (part_id, location_id), count in _counts_of({part for part, _ in change}, since).items():
        if by := change.get((part_id, location_id)):
            part, place = seen[part_id, location_id]
            source, target = (place, None) if by > 0 else (None, place)
            amended.append((count, Line(part, abs(by), source, target, Reason.COUNTED, "Told after the count")))
    return amended


def _counts_of(part_ids: set[int], since: datetime) -> dict[tuple[int, int], Counted]:
    """The first count after that moment, by part and place."""
    numbers, found = sorted(part_ids), {}
    for start in range(0, len(numbers), 500):
        rows = Counted.objects.standing().filter(part__in=numbers[start : start + 500], at__gt=since)
        for row in rows.select_related("batch").order_by("-at"):
            found[row.part_id, row.location_id] = row
    return found


def earlier_batch(uid: uuid.UUID) -> Batch | None:
    """What was recorded under this number before."""
    batch = Batch.objects.select_related("undone_by").filter(pk=uid).first()
    if batch:
        batch.repeated = True
    return batch


def _same(batch: Batch, lines: Sequence[Line]) -> bool:
    """Whether these lines are the moves the batch made."""
    made = batch.moves.values_list("part", "quantity", "source", "target")
    asked = (
        (line.part.pk, exact(line.quantity), line.source and line.source.pk, line.target and line.target.pk)
        for line in lines
    )
    return Counter(made) == Counter(asked)


def _changes(lines: Sequence[Line]) -> tuple[dict[tuple[int, int], Decimal], dict]:
    """By how much these moves change what is held, by part and place, and which those are."""
    change: dict[tuple[int, int], Decimal] = defaultdict(Decimal)
    seen: dict[tuple[int, int], tuple[Part, Location]] = {}
    for line in lines:
        for location, sign in ((line.source, -1), (line.target, 1)):
            if location is not None:
                key = (line.part.pk, location.pk)
                change[key] += sign * exact(line.quantity)
                seen[key] = (line.part, location)
    return {key: by for key, by in change.items() if by}, seen


def settle(lines: Sequence[Line]) -> None:
    """Bring the holdings to what they are after these moves, or raise NotEnough."""
    change, seen = _changes(lines)
    held = holdings_of({part for part, _ in change})

    new, changed, gone = [], [], []
    for key, by in change.items():
        row = held.get(key)
        there = row.quantity if row else Decimal(0)
        if there + by < 0:
            part, location = seen[key]
            raise NotEnough(part, location, -by, there, last_out(part, location))
        if row is None:
            new.append((*key, by))
        else:
            row.quantity = there + by
            (changed if row.quantity else gone).append(row)
    # Only a new holding can be in such a place: it was empty when it went out of use.
    if new and (
        gone_place := Location.objects.filter(pk__in={key[1] for key in new}, retired_at__isnull=False).first()
    ):
        raise OutOfUse(gone_place)
    insert(Holding, ("part", "location", "quantity"), new)
    update(Holding, "quantity", ((row.quantity, row.pk) for row in changed))
    for start in range(0, len(gone), 500):
        Holding.objects.filter(pk__in=[row.pk for row in gone[start : start + 500]]).delete()


def holdings_of(part_ids: set[int]) -> dict[tuple[int, int], Holding]:
    """The holdings of these parts, by part and place; asked for in portions an SQL statement can carry."""
    numbers = sorted(part_ids)
    return {
        (row.part_id, row.location_id): row
        for start in range(0, len(numbers), 500)
        for row in Holding.objects.filter(part_id__in=numbers[start : start + 500])
    }


def held_at(location: Location, at: datetime) -> dict[int, Decimal]:
    """What lay at a place at that moment, by part: what it holds now without the moves made since.

    What is undone is as if it had never been, also where it was done before that moment and undone after it.
    """
    held = defaultdict(Decimal, Holding.objects.filter(location=location).values_list("part", "quantity"))
    since = Move.objects.filter(
        Q(source=location) | Q(target=location), at__gt=at, batch__undoes=None, batch__undone_by=None
    )
    for part, quantity, source in since.values_list("part", "quantity", "source"):
        held[part] += quantity if source == location.pk else -quantity
    return held


def last_out(part: Part, location: Location) -> Move | None:
    """The newest move of the part out of the place that still stands."""
    return (
        Move.objects.filter(part=part, source=location, reversed_by=None, reverses=None)
        .select_related("by")
        .order_by("-at", "-pk")
        .first()
    )

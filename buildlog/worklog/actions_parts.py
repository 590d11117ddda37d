"""What happens to a part tonight: a move in the ledger and a line in the log, both or neither."""

import uuid
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction

from buildlog.builds.models import Build
from buildlog.tasks.models import Task, TaskPart
from inventory.parts.actions import NotEnough, amount, record_told
from inventory.parts.ledger import Line
from inventory.parts.models import Batch, Condition, Holding, Move, Origin, Part, Reason
from inventory.people.models import Person
from inventory.places.models import Kind as PlaceKind
from inventory.places.models import Location

from . import actions
from .models import Entry, Happened, Kind

OUT_OF_THE_SHOP = {Happened.USED: Reason.USED, Happened.BROKEN: Reason.SCRAPPED}
USES_A_CLAIM = (Happened.FITTED, Happened.USED)


@transaction.atomic
def log_part(
    *,
    build: Build,
    by: Person | None,
    part: Part,
    quantity: Decimal,
    happened: str,
    source: Location | None = None,
    target: Location | None = None,
    task: Task | None = None,
    uid: uuid.UUID | None = None,
    repairable: bool = False,
    **rest,
) -> Entry:
    """One move and its line. What is not said of the places is guessed: took goes to a bench, put back to where it
    came from, fitted to the vehicle being built. What was found broken leaves the shop as scrap; `repairable`, it stays
    where it lies. Raises NotEnough or ValidationError, and then nothing is written.
    """
    uid = uid or uuid.uuid4()
    if earlier := Entry.objects.filter(uid=uid).first():
        return earlier
    if part.pk is None:
        part.origin = Origin.MADE if happened == Happened.MADE else part.origin
        part.full_clean()
        part.save()
    source, target = _ends(build, by, part, happened, source, target)
    if happened == Happened.BROKEN and repairable:
        says = _to_be_repaired(part, quantity, source)
        return actions.log(build=build, by=by, uid=uid, kind=Kind.PART, happened=happened, task=task, says=says, **rest)
    reason = _reason(happened, source, target)
    line = Line(part, quantity, source, target, reason, note="Found broken" if happened == Happened.BROKEN else "")
    says = _says(happened, part, quantity, source, target)
    batch = record_told(line, what=says, by=by, uid=uuid.uuid5(uid, "move"), at=rest.get("at"))
    left = _left(part, source)
    if task and happened in USES_A_CLAIM:
        use_claim(task, part, quantity)
    return actions.log(
        build=build, by=by, uid=uid, kind=Kind.PART, happened=happened, batch=batch, task=task,
        says=f"{says}.{' Scrapped.' if happened == Happened.BROKEN else ''}{left}", **rest,
    )  # fmt: skip


def _to_be_repaired(part: Part, quantity: Decimal, source: Location) -> str:
    """Nothing moves. The part is marked where no other piece of it is anywhere. Raises NotEnough."""
    held = {row.location_id: row.quantity for row in Holding.objects.filter(part=part)}
    if held.get(source.pk, 0) < quantity:
        raise NotEnough(part, source, quantity, held.get(source.pk, Decimal(0)))
    says = f"Found broken {amount(part, quantity)} {part} at {source}. It can be repaired"
    if sum(held.values()) > quantity:
        return f"{says}."
    Part.objects.filter(pk=part.pk).update(condition=Condition.REPAIRABLE)
    return f"{says}, and is marked so."


def bench_for(by: Person | None) -> Location | None:
    """The bench this person last put something on, or the first of the shop."""
    benches = Location.objects.current().filter(kind=PlaceKind.BENCH, away=False)
    last = Move.objects.filter(by=by, target__in=benches).order_by("-pk").values_list("target", flat=True).first()
    return benches.filter(pk=last).first() if last else benches.in_order().first()


def came_from(part: Part, here: Location) -> Location | None:
    """Where the part lay before it came here."""
    last = Move.objects.filter(part=part, target=here, source__retired_at=None, reverses=None, reversed_by=None)
    move = last.exclude(source=None).select_related("source").order_by("-at", "-pk").first()
    return move.source if move else None


def _ends(build, by, part, happened, source, target) -> tuple[Location | None, Location | None]:
    if happened == Happened.MADE:
        source, target = None, target or bench_for(by)
    elif source is None:
        raise ValidationError(f"There is no “{part}” anywhere. Put it in a place first, or log it as made.")
    elif happened == Happened.TOOK:
        target = target or bench_for(by)
    elif happened == Happened.FITTED:
        target = build.vehicle
    elif happened == Happened.BACK:
        target = target or came_from(part, source)
    else:
        return source, None
    if target is None:
        raise ValidationError("Say which place it goes to.")
    if target == source:
        raise ValidationError(f"It is at {target} already. Pick where it lies now, or another place to go to.")
    return source, target


def _reason(happened: str, source: Location | None, target: Location | None) -> str:
    if happened in OUT_OF_THE_SHOP:
        return OUT_OF_THE_SHOP[happened]
    if happened == Happened.MADE:
        return Reason.MADE
    if target.is_vehicle:
        return Reason.FITTED
    if source.is_vehicle:
        return Reason.PULLED
    if target.away:
        return Reason.SENT_OUT
    return Reason.CAME_BACK if source.away else Reason.MOVED


def _says(happened: str, part: Part, quantity: Decimal, source: Location | None, target: Location | None) -> str:
    """'Took 6 × M8×25 from H2·B3'. To which bench goes without saying; to any other place does not."""
    thing = f"{Happened(happened).label} {amount(part, quantity)} {part}"
    to_bench = target is not None and target.kind == PlaceKind.BENCH
    ends = ""
    if source is not None and happened != Happened.BACK:
        ends += f" from {source}"
    if target is not None and not (happened == Happened.TOOK and to_bench):
        ends += f" {'to' if happened in (Happened.TOOK, Happened.FITTED) else 'in'} {target}"
    return thing + ends


def _left(part: Part, source: Location | None) -> str:
    if source is None:
        return ""
    held = Holding.objects.filter(part=part, location=source).first()
    return f" {held.quantity:f} left." if held else " None left there."


def give_back(batch: Batch) -> None:
    """A line's moves were undone, wherever that was done: its task has a claim on the part again."""
    entry = Entry.objects.filter(batch=batch, happened__in=USES_A_CLAIM).select_related("task").first()
    move = batch.moves.select_related("part").first()
    if entry and entry.task and move:
        use_claim(entry.task, move.part, -move.quantity)


def use_claim(task: Task, part: Part, quantity: Decimal) -> None:
    """What was fitted or used up for a task is no longer spoken for by it; a quantity below nothing gives it back."""
    line = TaskPart.objects.select_for_update().filter(task=task, part=part).first()
    if line:
        line.used = max(line.used + quantity, Decimal(0))
        line.save(update_fields=["used"])

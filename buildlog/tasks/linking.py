"""Changes to how tasks hang together: needs, splitting one, joining two. A circle is refused and spelled out.

A split and a join are a Change that can be undone, as long as nothing of the tasks has changed since. A repeat of its
uid answers with the first and changes nothing.
"""

import uuid
from collections.abc import Collection, Sequence
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from inventory.people.models import Person

from . import whole
from .actions import over
from .calc.circle import circle_made_by, find_circle
from .models import Change, Need, Provision, Status, Task, TaskPart
from .queries import needs_of
from .words import spelled


class Circle(ValidationError):
    """`titles`: the circle, each needing the next, the first again at the end."""

    def __init__(self, titles: list[str]):
        super().__init__(f"That would go round in a circle: {spelled(titles)}")
        self.titles = titles


Hours = Sequence[tuple[Decimal | None, Decimal | None, Decimal | None]]
UNKNOWN = (None, None, None)
LONGEST_HOLD = Task._meta.get_field("on_hold").max_length


def _titles(ids) -> list[str]:
    names = dict(Task.objects.filter(pk__in=set(ids)).values_list("pk", "title"))
    return [names[id] for id in ids]


@transaction.atomic
def add_need(*, task: Task, need: Task) -> None:
    """`task` can't be done before `need` is. Raises Circle; a need it has already stays as it is."""
    if task.build_id != need.build_id:
        raise ValidationError("A task can only need tasks of its own build.")
    circle = circle_made_by(task.pk, need.pk, needs_of(task.build))
    if circle:
        raise Circle(_titles(circle))
    Need.objects.get_or_create(task=task, need=need)


def remove_need(*, task: Task, need: Task) -> None:
    Need.objects.filter(task=task, need=need).delete()


@transaction.atomic
def split(
    *, task: Task, titles: list[str], in_turn: bool, by: Person | None, uid: uuid.UUID | None = None, hours: Hours = ()
) -> Change:
    """One task becomes several: the first title is the task itself, the others are new, right after it.

    Each piece needs what the task needed, or in turn each needs the one before; whoever needed the task needs all of
    them, and waits after each as after the whole (in turn: after the last). Every piece has the cautions of the whole;
    parts and promises stay with the first. `hours`: (at best, likely, at worst) of each piece; those of the whole go.
    """
    if uid and (earlier := Change.objects.filter(pk=uid).first()):
        return earlier
    first, *others = titles
    before, what = whole.take([task.pk]), f"Split {task.title} into {len(titles)}"
    needs = list(task.needs.values_list("need_id", flat=True))
    waiting = list(task.needed_by.values_list("task_id", flat=True))
    decisions = list(task.decisions.all())
    behind = Task.objects.filter(build_id=task.build_id, order__gt=task.order)
    behind.update(order=F("order") + len(others))
    task.title = first
    own, *others_hours = hours or [UNKNOWN] * len(titles)
    task.hours_low, task.hours_likely, task.hours_high = own
    wait, last = task.wait_hours, len(others)
    task.wait_hours = 0 if in_turn else wait
    task.save()
    pieces = [task]
    for offset, (title, (low, likely, high)) in enumerate(zip(others, others_hours, strict=True), 1):
        piece = Task.objects.create(
            build_id=task.build_id, area_id=task.area_id, title=title, place_id=task.place_id,
            order=task.order + offset, cautions=task.cautions, wait_hours=0 if in_turn and offset < last else wait,
            hours_low=low, hours_likely=likely, hours_high=high,
        )  # fmt: skip
        if in_turn:
            Need.objects.create(task=piece, need=pieces[-1])
        else:
            Need.objects.bulk_create([Need(task=piece, need_id=need) for need in needs])
            piece.decisions.set(decisions)
        pieces.append(piece)
    Need.objects.bulk_create([Need(task_id=one, need=piece) for one in waiting for piece in pieces[1:]])
    return _changed(uid, what, before, [piece.pk for piece in pieces], by)


def _changed(uid: uuid.UUID | None, what: str, before: dict, tasks: Collection[int], by: Person | None) -> Change:
    both = {"before": before, "after": whole.take(tasks)}
    return Change.objects.create(pk=uid or uuid.uuid4(), what=what[:200], by=by, whole=both)


@transaction.atomic
def join(*, keep: Task, other: Task, by: Person | None, uid: uuid.UUID | None = None) -> Change:
    """Two tasks become one: `keep` takes the needs, those who wait, parts, promises, decisions, photos, hours
    and standing of `other`, which stays as dropped, with a pointer to where it went.

    Raises Circle when a third task stands between them, ValidationError for one that was joined already, or an
    open one into one that is finished or dropped.
    """
    if uid and (earlier := Change.objects.filter(pk=uid).first()):
        return earlier
    if keep.pk == other.pk or keep.build_id != other.build_id:
        raise ValidationError("Join it with another task of the same build.")
    if joined := next((task for task in (other, keep) if task.joined_into_id and not task.is_open), None):
        raise ValidationError(f"“{joined}” is part of “{joined.joined_into}” already.")
    if not keep.is_open and other.is_open:
        raise ValidationError(str(over(keep)))
    needs = needs_of(keep.build)
    merged: dict[int, list[int]] = {}
    for task, all_needs in needs.items():
        row = merged.setdefault(keep.pk if task == other.pk else task, [])
        row += [keep.pk if need == other.pk else need for need in all_needs]
    merged = {task: [need for need in row if (task, need) != (keep.pk, keep.pk)] for task, row in merged.items()}
    circle = find_circle(merged)
    if circle:
        raise Circle(_titles(circle))
    both = [keep.pk, other.pk]
    before = whole.take(both)
    for need in other.needs.exclude(need=keep):
        Need.objects.get_or_create(task=keep, need_id=need.need_id)
    for need in other.needed_by.exclude(task=keep):
        Need.objects.get_or_create(task_id=need.task_id, need=keep)
    Need.objects.filter(task=other).delete()
    Need.objects.filter(need=other).delete()
    _join_parts(keep, other)
    Provision.objects.filter(task=other).exclude(later=keep).update(task=keep)
    Provision.objects.filter(later=other).exclude(task=keep).update(later=keep)
    keep.decisions.add(*other.decisions.all())
    keep.photos.add(*other.photos.all())
    for name in ("hours_low", "hours_likely", "hours_high"):
        known = [value for value in (getattr(keep, name), getattr(other, name)) if value is not None]
        setattr(keep, name, sum(known) if len(known) == 2 else None)
    keep.detail = "\n".join(filter(None, (keep.detail, f"Joined with: {other.title}", other.detail)))
    keep.cautions = list(dict.fromkeys([*keep.cautions, *other.cautions]))
    keep.wait_hours = max(keep.wait_hours, other.wait_hours)
    keep.place = keep.place or other.place
    _join_standing(keep, other)
    keep.save()
    other.status, other.finished_at, other.joined_into = Status.DROPPED, timezone.now(), keep
    other.on_hold = ""
    other.save()
    return _changed(uid, f"Joined {other.title} into {keep.title}", before, both, by)


def _join_standing(keep: Task, other: Task) -> None:
    """Started if either is, since the earlier of both; on hold for what either waits for."""
    started = [task.started_at for task in (keep, other) if task.status == Status.STARTED]
    if started:
        keep.status, keep.started_at = Status.STARTED, min(started)
    holds = "; ".join(dict.fromkeys(filter(None, (keep.on_hold, other.on_hold))))
    if len(holds) > LONGEST_HOLD:
        raise ValidationError("What they wait for is too long in one. Take one of them off hold first.")
    keep.on_hold = holds


def _join_parts(keep: Task, other: Task) -> None:
    mine = {line.part_id: line for line in keep.parts.all() if line.part_id}
    for line in TaskPart.objects.filter(task=other):
        same = mine.get(line.part_id) if line.part_id else None
        if same:
            same.quantity += line.quantity
            same.used += line.used
            same.save()
            line.delete()
        else:
            line.task = keep
            line.save()

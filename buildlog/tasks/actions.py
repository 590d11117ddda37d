"""Changes to how a task stands, each with its undo."""

import uuid
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from buildlog.builds.actions import areas_named, remove_empty
from buildlog.builds.models import Area, Build
from inventory.parts.models import Part
from inventory.people.models import Person
from inventory.web import slots
from inventory.web.moment import done_at

from . import whole
from .calc.typed import Line
from .models import Change, Need, Status, Task, TaskPart
from .words import until

FIELDS = ("status", "on_hold", "started_at", "finished_at")
TIMES = ("started_at", "finished_at")
REOPENED = "Reopened"


def _snapshot(task: Task) -> dict:
    row = {name: getattr(task, name) for name in FIELDS}
    return {name: value.isoformat() if isinstance(value, datetime) else value for name, value in row.items()}


def _restore(task: Task, row: dict) -> None:
    for name in FIELDS:
        value = row[name]
        setattr(task, name, parse_datetime(value) if name in TIMES and value else value)


class Over(Exception):
    """The task was finished or dropped meanwhile; the text says by whom and when, and what can be done."""


def over(task: Task) -> Over:
    made = Change.objects.filter(at=task.finished_at, undone_at=None).select_related("by")
    by = next((change.by for change in made if any(row["task"] == task.pk for row in change.rows)), None)
    became = f"part of “{task.joined_into}”" if task.joined_into else "finished" if task.is_done else "dropped"
    more = "Go on with that one." if task.joined_into else "To go on with it, reopen it on its own page."
    return Over(f"“{task}” was {became}{f' by {by}' if by else ''} on {until(task.finished_at)}. {more}")


@transaction.atomic
def _change(task: Task, what: str, by: Person | None, at: datetime | None, uid, **fields) -> Change | None:
    """One task to a new standing. A repeat changes nothing: of the same uid, or where it stands so already (None).

    Where the task went on after `at`, which came late from a phone without signal, what it went on to stands. Raises
    Over for one that is finished or dropped, which only reopening changes.
    """
    if uid and (earlier := Change.objects.filter(pk=uid).first()):
        return earlier
    at = at or done_at()
    locked = Task.objects.select_for_update().get(pk=task.pk)
    before = _snapshot(locked)
    if any(moment and moment > at for moment in (locked.started_at, locked.finished_at)) or _went_on(locked, at):
        fields = {}
    elif all(getattr(locked, name) == value for name, value in fields.items() if name not in TIMES):
        return None
    elif not locked.is_open and what != REOPENED:
        raise over(locked)
    elif locked.is_open and what == REOPENED:
        return None
    for name, value in fields.items():
        setattr(locked, name, value)
        setattr(task, name, value)
    locked.save(update_fields=list(fields))
    row = {"task": task.pk, "before": before, "after": _snapshot(locked)}
    return Change.objects.create(pk=uid or uuid.uuid4(), what=f"{what} {task.title}"[:200], rows=[row], by=by, at=at)


def _went_on(task: Task, at: datetime) -> bool:
    """Taken off the bench or put on hold since: that leaves no time with the task itself."""
    rows = (row for change in Change.objects.filter(at__gt=at, undone_at=None) for row in change.rows)
    return any(row["task"] == task.pk and row["before"] != row["after"] for row in rows)


def start(*, task: Task, by: Person | None, at: datetime | None = None, uid=None) -> Change | None:
    """It is on the bench. Starting takes it off hold; what else holds it stays said."""
    at = at or done_at()
    return _change(task, "Started", by, at, uid, status=Status.STARTED, started_at=at, finished_at=None, on_hold="")


def put_back(*, task: Task, by: Person | None, at: datetime | None = None, uid=None) -> Change | None:
    """It is off the bench, not finished."""
    return _change(task, "Put back", by, at, uid, status=Status.OPEN, started_at=None, finished_at=None)


def hold(*, task: Task, words: str, by: Person | None, at: datetime | None = None, uid=None) -> Change | None:
    """It waits for something in words, until it is started or the words are taken off."""
    return _change(task, "Put on hold", by, at, uid, status=Status.OPEN, started_at=None, on_hold=words.strip())


def off_hold(*, task: Task, by: Person | None, at: datetime | None = None, uid=None) -> Change | None:
    return _change(task, "Took off hold", by, at, uid, on_hold="")


def finish(*, task: Task, by: Person | None, at: datetime | None = None, uid=None) -> Change | None:
    """It is done. What that frees: queries.plan(build).freed(task.pk)."""
    at = at or done_at()
    return _change(task, "Finished", by, at, uid, status=Status.DONE, finished_at=at, on_hold="")


def drop(*, task: Task, by: Person | None, at: datetime | None = None, uid=None) -> Change | None:
    """It won't be done; it holds nothing any more."""
    at = at or done_at()
    return _change(task, "Dropped", by, at, uid, status=Status.DROPPED, finished_at=at, on_hold="")


def reopen(*, task: Task, by: Person | None, at: datetime | None = None, uid=None) -> Change | None:
    return _change(task, REOPENED, by, at, uid, status=Status.OPEN, started_at=None, finished_at=None)


# What a person says of a task, and how that begins.
VERBS = {
    "start": (start, "Started"),
    "put-back": (put_back, "Put back"),
    "hold": (hold, "Put on hold"),
    "off-hold": (off_hold, "Took off hold"),
    "finish": (finish, "Finished"),
    "drop": (drop, "Dropped"),
    "reopen": (reopen, REOPENED),
}


@transaction.atomic
def mark(*, task: Task, verb: str, by: Person | None, words: str = "") -> Change | None:
    """What is said of a task on its own page. Who keeps a log hears of it."""
    change = VERBS[verb][0](task=task, by=by, **({"words": words} if verb == "hold" else {}))
    if change:
        slots.tell("marked", task, verb, change, words)
    return change


class CannotUndo(Exception):
    """The tasks have gone on since; the text says which."""


@transaction.atomic
def undo(*, change: Change) -> None:
    """Every task of the change is as it was before. Undoing twice changes nothing.

    Raises CannotUndo when one of the tasks was changed again since, or would go with what was logged of it.
    """
    if change.undone_at:
        return
    areas = (change.whole or {}).get("areas")
    if change.whole and areas is None:
        _undo_whole(change.whole["before"], change.whole["after"])
    made = [row["task"] for row in change.rows if row["before"] is None]
    _refuse_if_logged(made)
    tasks = {task.pk: task for task in Task.objects.filter(pk__in=[row["task"] for row in change.rows])}
    for row in change.rows:
        task = tasks.get(row["task"])
        if task and _snapshot(task) != row["after"]:
            raise CannotUndo(f"“{task}” was changed again since. Change it by hand.")
    for row in change.rows:
        task = tasks.get(row["task"])
        if task and row["before"] is None:
            task.delete()
        elif task:
            _restore(task, row["before"])
            task.save(update_fields=list(FIELDS))
    if areas:
        remove_empty(areas=Area.objects.filter(pk__in=areas))
    Change.objects.filter(pk=change.pk).update(undone_at=timezone.now())


def _undo_whole(before: dict, after: dict) -> None:
    tasks = [int(number) for number in after["tasks"]]
    if changed := whole.differences(whole.take(tasks), after):
        raise CannotUndo(f"The tasks were changed again since ({', '.join(changed)}). Change them by hand.")
    _refuse_if_logged([task for task in tasks if str(task) not in before["tasks"]])
    whole.put_back(before, after)


def _refuse_if_logged(tasks: list[int]) -> None:
    if task := next(whole.stands_on(tasks), None):
        raise CannotUndo(f"“{task}” is in the log or a story already. Drop it instead.")


def _next_order(build: Build) -> int:
    return (build.tasks.aggregate(last=Max("order"))["last"] or 0) + 1


def add(*, build: Build, title: str, area: Area | None = None, by: Person | None, **fields) -> Task:
    """One task, as from a snag in the log."""
    task = Task(build=build, area=area, title=" ".join(title.split())[:120], order=_next_order(build), **fields)
    task.full_clean()
    task.save()
    return task


@transaction.atomic
def take_away(*, task: Task) -> None:
    """A task that was just added goes again. Raises CannotUndo where it has gone on since, or stands in the log."""
    _refuse_if_logged([task.pk])
    hangs = whole.take([task.pk])
    if task.status != Status.OPEN or task.on_hold or any(hangs[key] for key in whole.WORDS if key != "tasks"):
        raise CannotUndo(f"“{task}” has gone on since. Drop it instead.")
    task.delete()


@transaction.atomic
def add_typed(
    *, build: Build, lines: tuple[Line, ...], area: Area | None, by: Person | None, uid=None, at=None
) -> Change:
    """Tasks typed one a line (calc.typed.parse, without problems), with areas made as named, undone together.

    `area`: for lines that stand under no area heading.
    """
    if uid and (earlier := Change.objects.filter(pk=uid).first()):
        return earlier
    at = at or done_at()
    there = set(build.areas.values_list("pk", flat=True))
    areas = areas_named(build=build, names=dict.fromkeys(line.area for line in lines if line.area))
    order = _next_order(build)
    made: dict[int, Task] = {}
    for offset, line in enumerate(lines):
        low, likely, high = line.hours
        made[line.line] = Task(
            build=build, title=line.title, area=areas.get(line.area, area), order=order + offset,
            hours_low=low, hours_likely=likely, hours_high=high,
            status=Status.DONE if line.done else Status.OPEN, finished_at=at if line.done else None,
        )  # fmt: skip
    for task in made.values():
        task.full_clean(validate_constraints=False)
        task.save()
    Need.objects.bulk_create(
        [Need(task=made[line.line], need=made[need]) for line in lines for need in line.needs]
        + [Need(task=made[line.line], need_id=need) for line in lines for need in line.needs_known]
    )
    rows = [{"task": task.pk, "before": None, "after": _snapshot(task)} for task in made.values()]
    what = f"Added {len(rows)} task{'' if len(rows) == 1 else 's'}"
    came = {"areas": [area.pk for area in areas.values() if area.pk not in there]}
    return Change.objects.create(pk=uid or uuid.uuid4(), what=what, rows=rows, whole=came, by=by, at=at)


def check_title(title: str) -> str:
    title = " ".join(title.split())
    if not title:
        raise ValidationError("Say what is to be done.")
    return title


@transaction.atomic
def merged(keep: Part, drop: Part) -> None:
    """Two parts of the store turned out to be one: what tasks wanted of either they want of the one that is kept."""
    for line in TaskPart.objects.filter(part=drop):
        if other := TaskPart.objects.filter(task=line.task_id, part=keep).first():
            other.quantity += line.quantity
            other.used += line.used
            other.save(update_fields=["quantity", "used"])
            line.delete()
        else:
            line.part = keep
            line.save(update_fields=["part"])

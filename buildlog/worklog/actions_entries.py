"""What is done with a line that stands: changed with its earlier text kept, struck, made into a task. And lines that
say what became of a task."""

import uuid
from collections.abc import Sequence

from django.db import transaction
from django.utils import timezone

from buildlog.builds.models import Build
from buildlog.tasks import actions as tasks
from buildlog.tasks.models import Change, Task
from buildlog.tasks.queries import plan
from buildlog.tasks.words import listed, until
from inventory.parts.actions import undo as undo_moves
from inventory.people.models import Person
from inventory.photos.models import Photo

from . import actions
from .models import Entry, EntryText, Kind

VERBS = ("start", "finish", "put-back", "hold")  # what a person does to a task from the log


@transaction.atomic
def mark(
    *, build: Build, task: Task, verb: str, by: Person, words: str = "", uid: uuid.UUID | None = None
) -> Entry | None:
    """A task is started, finished, put back or held, and the log says so, with what that frees.

    None where it stands so already. Raises tasks.Over for one that was finished or dropped meanwhile.
    """
    uid = uid or uuid.uuid4()
    if earlier := Entry.objects.filter(uid=uid).first():
        return earlier
    more = {"words": words} if verb == "hold" else {}
    change = tasks.VERBS[verb][0](task=task, by=by, uid=uuid.uuid5(uid, "change"), **more)
    return say(build=build, task=task, verb=verb, change=change, words=words, uid=uid) if change else None


def say(*, build: Build, task: Task, verb: str, change: Change, words: str = "", uid: uuid.UUID | None = None) -> Entry:
    """The line of the log about a change of a task."""
    says = f"{tasks.VERBS[verb][1]} “{task.title}”{': ' + words.strip() if words.strip() else ''}.{frees(task, verb)}"
    if change.came_late:
        says += " It had gone on since, and stands as it is."
    return actions.log(build=build, by=change.by, uid=uid, kind=Kind.TASK, task=task, change=change, says=says)


def frees(task: Task, verb: str) -> str:
    """' 3 tasks can go on: …' when the verb has set something free."""
    if verb != "finish":
        return ""
    whole = plan(task.build)
    freed = whole.freed(task.pk)
    says = ""
    if freed.ready:
        names = listed([whole.rows[id].task.title for id in freed.ready])
        says += f" {len(freed.ready)} task{' can' if len(freed.ready) == 1 else 's can'} go on: {names}."
    if freed.waiting:
        names = listed([whole.rows[id].task.title for id, _ in freed.waiting])
        says += f" From {until(max(moment for _, moment in freed.waiting))}: {names}."
    return says


@transaction.atomic
def change(*, entry: Entry, by: Person, photos: Sequence[Photo] = (), **fields) -> Entry:
    """New words or facts for a line. What it said is kept, in words, and can be seen."""
    locked = Entry.objects.select_for_update().get(pk=entry.pk)
    changed = {name for name, value in fields.items() if value != getattr(locked, name)}
    facts = _facts(locked, changed)
    if facts or "text" in changed:
        EntryText.objects.create(entry=locked, text="\n".join(filter(None, (locked.text, *facts))), by=by)
        fields["edited_at"] = timezone.now()
    for name, value in fields.items():
        setattr(locked, name, value)
    locked.save()
    locked.photos.add(*photos)
    return locked


def _facts(entry: Entry, changed: set[str]) -> list[str]:
    """What the line said beside its text, of that which is changed."""
    facts = []
    if changed & {"measured", "unit", "how", "plus_minus", "round_to"} and (reading := entry.reading):
        facts.append(", ".join(filter(None, (reading.own, reading.other, reading.known))))
    if "task" in changed:
        facts.append(f"Task: {entry.task.title}" if entry.task else "No task")
    if changed & {"clip", "clip_in", "clip_out"} and entry.clip_said:
        facts.append(f"Clip {entry.clip_said}")
    return facts


def strike(*, entry: Entry) -> None:
    """Crossed out: it stays to be read and counts for nothing. What it did to parts or tasks stands."""
    Entry.objects.filter(pk=entry.pk, struck_at=None).update(struck_at=timezone.now())


def unstrike(*, entry: Entry) -> None:
    Entry.objects.filter(pk=entry.pk).update(struck_at=None)


@transaction.atomic
def make_task(*, entry: Entry, by: Person) -> Task:
    """A snag becomes a task of its build, in the area of the task it was met at. A repeat answers with the first."""
    locked = Entry.objects.select_for_update().select_related("task__area", "session__build", "became").get(pk=entry.pk)
    if locked.became:
        return locked.became
    first, _, rest = locked.text.strip().partition("\n")
    detail = locked.text.strip() if rest or len(first) > 120 else ""
    area = locked.task.area if locked.task else None
    locked.became = tasks.add(build=locked.session.build, title=first, area=area, by=by, detail=detail)
    locked.save(update_fields=["became"])
    return locked.became


@transaction.atomic
def unmake_task(*, entry: Entry) -> None:
    """The snag is no task after all. Raises tasks.CannotUndo where the task has gone on since."""
    locked = Entry.objects.select_for_update().select_related("became").get(pk=entry.pk)
    if task := locked.became:
        locked.became = None
        locked.save(update_fields=["became"])
        tasks.take_away(task=task)


@transaction.atomic
def take_back(*, entry: Entry, by: Person) -> None:
    """Undo what the line did to parts or to a task; the line stays and says so.

    Raises NotEnough or CannotUndo (of parts or of tasks) when things have gone on since.
    """
    entry = Entry.objects.select_for_update().select_related("batch__undone_by", "change", "task").get(pk=entry.pk)
    if entry.batch and not entry.batch.undone:
        undo_moves(batch=entry.batch, by=by)  # which gives back the claim, by the slot
    if entry.change:
        tasks.undo(change=entry.change)

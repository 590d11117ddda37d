"""What the log shows on the pages of the store."""

from dataclasses import dataclass

from django.urls import reverse

from buildlog.decisions.models import Option
from buildlog.tasks.models import Task
from buildlog.worklog.models import Entry, WorkSession
from inventory.parts.models import Batch, Part
from inventory.photos.models import Photo
from inventory.web.slots import Panel

from . import queries

NIGHTS = 6


@dataclass(frozen=True, slots=True)
class Touch:
    """A session that touched a part: the lines of its log, and moves that were made beside the log."""

    session: WorkSession
    entries: list[Entry]
    moves: list[Batch]


def on_part(request, part: Part) -> list[Panel]:
    """The nights and the tasks that touched it."""
    sessions = queries.touched_by(part, NIGHTS + 1)
    tasks: list[Task] = queries.tasks_of(part)
    if not sessions and not tasks:
        return []
    touches = queries.touches(part, sessions[:NIGHTS])
    shown = [Touch(session, *touches[session.pk]) for session in sessions[:NIGHTS]]
    context = {"touches": shown, "more": len(sessions) > NIGHTS, "tasks": tasks, "part": part}
    return [Panel("In the log", "buildlog/lookback/_part.html", context)]


def on_photo(request, photo: Photo) -> list[Panel]:
    """What the picture was kept for: a line, the bench of a night, a task, an option."""
    lines = Entry.objects.filter(photos=photo).select_related("session")
    shown = [(line.session.get_absolute_url() + f"#line-{line.pk}", str(line), line.at) for line in lines]
    benches = WorkSession.objects.filter(bench_photo=photo)
    shown += [(night.get_absolute_url(), f"The bench at the end of {night}", night.ended_at) for night in benches]
    tasks = Task.objects.filter(photos=photo)
    shown += [(reverse("buildlog:tasks_detail", args=[task.pk]), f"Task: {task}", None) for task in tasks]
    options = Option.objects.filter(photos=photo).select_related("decision")
    shown += [
        (reverse("buildlog:decisions_detail", args=[one.decision_id]), f"{one.decision} {one}", None) for one in options
    ]
    return [Panel("Kept for", "buildlog/lookback/_photo.html", {"shown": shown})] if shown else []

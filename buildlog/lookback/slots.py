"""What the log shows on the pages of the store."""

from dataclasses import dataclass

from buildlog.tasks.models import Task
from buildlog.worklog.models import Entry, WorkSession
from inventory.parts.models import Batch, Part
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

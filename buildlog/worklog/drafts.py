"""What the end of a night offers, drafted from its log: what was done, how long each task had, what first next time."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from buildlog.tasks.models import Task
from buildlog.tasks.queries import Plan

from .calc.hours import Mark, share
from .models import Entry, Kind, WorkSession

LONGEST = 6000  # letters; the log itself keeps the rest


@dataclass(frozen=True, slots=True)
class Draft:
    """tasks: those worked on, the first first. minutes: of each, by task id."""

    done: str
    stopping_point: str
    tasks: list[Task]
    minutes: dict[int, int]


@dataclass(frozen=True, slots=True)
class Own:
    """What a person said of the end of a session; empty where it is as the program drafted it."""

    done: str
    stopping_point: str
    minutes: dict[int, int]


def draft(session: WorkSession, entries: Sequence[Entry], plan: Plan, ended_at: datetime) -> Draft:
    """`entries`: the session's, in any order, with task, batch and change."""
    counted = _counted(entries)
    marks = [Mark(entry.at, entry.task_id) for entry in counted]
    minutes = share(session.started_at, ended_at, marks)
    tasks = {entry.task_id: entry.task for entry in counted if entry.task_id}
    return Draft(
        done=done_from(counted),
        stopping_point=stopping_from(counted, plan),
        tasks=list(tasks.values()),
        minutes={task: minutes.get(task, 0) for task in tasks},
    )


def own(session: WorkSession, entries: Sequence[Entry], plan: Plan, ended_at: datetime) -> Own:
    """What of the session's words and hours is a person's: `entries` are those it had when they were drafted."""
    offer = draft(session, entries, plan, ended_at)
    stopping_point, done = _lines(session.stopping_point), _lines(session.done)
    # The plan goes on: which task it would have named then is not known any more.
    named = {sentences(row.task.title) for row in plan.rows.values()} | {_going_on(_counted(entries))}
    known = {time.task_id: time.minutes for time in session.times.all()}
    drafted = known == {task: minutes for task, minutes in offer.minutes.items() if minutes}
    return Own(
        done="" if done == offer.done.strip() else session.done,
        stopping_point="" if stopping_point in named else session.stopping_point,
        minutes={} if drafted or not known else dict.fromkeys(offer.minutes, 0) | known,
    )


def _counted(entries: Sequence[Entry]) -> list[Entry]:
    """Those that count, the first first."""
    counted = [entry for entry in entries if not (entry.struck_at or entry.taken_back or entry.between_nights)]
    return sorted(counted, key=lambda entry: (entry.at, entry.pk))


def _lines(text: str) -> str:
    return text.replace("\r\n", "\n").strip()


def done_from(entries: Sequence[Entry]) -> str:
    """The lines one after the other, in sentences; tasks that were only begun need no words."""
    told = (entry for entry in entries if entry.kind != Kind.TASK or "Finished" in entry.says)
    lines = [sentences(entry.says, entry.kept_words) for entry in told]
    return "\n".join(line for line in lines if line)[:LONGEST]


def stopping_from(entries: Sequence[Entry], plan: Plan) -> str:
    """The task last worked on if it is not finished; else what its end has set free; else what is ready."""
    last = next((entry for entry in reversed(entries) if entry.task_id), None)
    if last and plan.rows[last.task_id].is_open:
        return _going_on(entries)
    freed = plan.freed(last.task_id).ready if last else ()
    following = [plan.rows[id] for id in freed if plan.rows[id].is_open] or plan.started or plan.ready
    return sentences(following[0].task.title) if following else ""


def _going_on(entries: Sequence[Entry]) -> str:
    """With the task last worked on, and what was said of it last."""
    last = next((entry for entry in reversed(entries) if entry.task_id), None)
    if last is None:
        return ""
    of_it = [entry for entry in entries if entry.task_id == last.task_id and entry.kind in (Kind.NOTE, Kind.SNAG)]
    return sentences(f"Go on with {last.task.title}", of_it[-1].text if of_it else "")


def sentences(*texts: str) -> str:
    """Texts one after the other, each line of them with a capital first and a stop at its end."""
    return " ".join("\n".join(_sentence(line) for line in text.splitlines() if line.strip()) for text in texts if text)


def _sentence(line: str) -> str:
    line = line.strip()
    return line[:1].upper() + line[1:] + ("" if line[-1] in ".!?…:;," else ".")

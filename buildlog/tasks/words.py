"""What holds a task, in words a person reads, each with a link to the thing that holds it."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from .calc.standing import Away, NeedsTask, OnHold, PartShort, Reason, Undecided, Waits
from .models import Task, TaskPart


@dataclass(frozen=True, slots=True)
class Said:
    """'after Weld hatch hinges': lead is 'after', text what follows, url where it is."""

    lead: str
    text: str
    url: str


def quantity(value) -> str:
    return f"{value.normalize():f}"


def until(moment) -> str:
    """'Thu 26 Nov 21:00'."""
    local = timezone.localtime(moment)
    return date_format(local, "D j M H:i")


def say(
    reason: Reason,
    task: Task,
    tasks: Mapping[int, Task],
    lines: Mapping[int, TaskPart],
    questions: Mapping[int, str],
) -> Said:
    match reason:
        case NeedsTask(id):
            return Said("after", tasks[id].title, task_url(id))
        case Waits(id, moment):
            return Said("wait until", f"{until(moment)}: {tasks[id].title}", task_url(id))
        case PartShort(line, missing):
            return short_of(lines[line], missing)
        case Undecided(decision):
            return Said("decide", questions[decision], reverse("buildlog:decisions_detail", args=[decision]))
        case Away(_):
            return Said("away at", task.place.title, task.place.get_absolute_url())
        case OnHold(words):
            return Said("on hold", words, task_url(task.pk))


def short_of(line: TaskPart, missing) -> Said:
    if line.part_id:
        unit = "×" if line.part.whole else f"{line.part.get_unit_display()} of"
        text = f"{quantity(missing)} {unit} {line.part}"
        return Said("short of", text, reverse("inventory:parts_detail", args=[line.part_id]))
    return Said("not found yet", line.words, task_url(line.task_id))


def lets_said(ready: int, waiting: int) -> str:
    """What finishing a task frees, as a promise: 'lets 2 go on', 'lets 1 go on, and 1 after a wait'."""
    if not waiting:
        return f"lets {ready} go on" if ready else ""
    return f"lets {ready} go on, and {waiting} after a wait" if ready else f"lets {waiting} go on after a wait"


def task_url(id: int) -> str:
    return reverse("buildlog:tasks_detail", args=[id])


def listed(names: list[str], most: int = 3) -> str:
    """'A, B and C', or 'A, B, C and 4 more'."""
    if len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    if len(names) > 1:
        return f"{', '.join(names[:-1])} and {names[-1]}"
    return "".join(names)


def spelled(titles) -> str:
    """A circle: 'Weld needs itself.', or 'Hang the hatch needs Weld hinges, which needs Hang the hatch.'"""
    first, *rest = titles
    if rest == [first]:
        return f"“{first}” needs itself."
    return f"“{first}” needs " + ", which needs ".join(f"“{title}”" for title in rest) + "."

"""How the hours of a session are shared among its tasks, from the times of its log.

A line of the log is written when something has just been done. So the time from one line to the next belongs to the
later line's task, and what is left after the last line to the last line's task. The shares are whole steps (five
minutes unless said otherwise) and add up to the session's length in whole steps, by largest remainder (Hamilton's
method): no task is off by as much as one step.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

STEP = 5  # minutes


@dataclass(frozen=True, slots=True)
class Mark:
    """A line of the log: when, and the id of its task (None for none)."""

    at: datetime
    task: int | None


def share(start: datetime, end: datetime, marks: Iterable[Mark], step: int = STEP) -> dict[int | None, int]:
    """Minutes a task, in the order the tasks appear; None is time without a task.

    Marks outside the session count as at its nearer end. Without any mark all of the time is None's.
    """
    seconds: dict[int | None, float] = defaultdict(float)
    last, task = start, None
    for mark in sorted(marks, key=lambda mark: mark.at):
        at = min(max(mark.at, start), end)
        task = mark.task
        seconds[task] += (at - last).total_seconds()
        last = at
    seconds[task] += max((end - last).total_seconds(), 0)
    return _whole(seconds, step)


def _whole(seconds: Mapping[int | None, float], step: int) -> dict[int | None, int]:
    total = int(sum(seconds.values()) / 60 / step + 0.5)
    exact = {task: value / 60 / step for task, value in seconds.items()}
    steps = {task: int(value) for task, value in exact.items()}
    spare = total - sum(steps.values())
    by_rest = sorted(exact, key=lambda task: steps[task] - exact[task])
    for task in by_rest[: max(spare, 0)]:
        steps[task] += 1
    return {task: count * step for task, count in steps.items()}

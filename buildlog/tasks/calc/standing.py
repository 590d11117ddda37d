"""How every task stands, and what by.

A task is done, dropped or started because somebody said so. Any other is held while at least one reason holds
it, and ready when none does. Plain values in, plain values out; `now` is an argument.

Rules
- A need holds until it is done (then, if it has a wait, until the wait is over) or dropped.
- A part holds while fewer are on hand than are still wanted; see shares.py for who gets the last ones.
- A decision holds until it is taken.
- A place holds while it is not the place one is at (`at`; None is home).
- A person can put a task on hold in words; that holds until it is taken off.
The reasons of a started task are computed too: it stays started, and says what it will run into.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal

from buildlog.tasks.calc.circle import work_order

OPEN, STARTED, DONE, DROPPED = "open", "started", "done", "dropped"
READY, HELD = "ready", "held"


@dataclass(frozen=True, slots=True)
class Facts:
    """One task as it is stored. status: open, started, done or dropped.

    needs: task ids. short: (line id, how many are missing) of its parts. undecided: ids of open decisions.
    place: id of the away location it is done at, None for here. on_hold: a person's words, '' for none.
    """

    id: int
    status: str = OPEN
    needs: tuple[int, ...] = ()
    short: tuple[tuple[int, Decimal], ...] = ()
    undecided: tuple[int, ...] = ()
    place: int | None = None
    on_hold: str = ""
    finished_at: datetime | None = None
    wait_after: timedelta = timedelta(0)


@dataclass(frozen=True, slots=True)
class NeedsTask:
    task: int


@dataclass(frozen=True, slots=True)
class Waits:
    """A need is done but must rest: paint cures, glue sets."""

    task: int
    until: datetime


@dataclass(frozen=True, slots=True)
class PartShort:
    line: int
    missing: Decimal


@dataclass(frozen=True, slots=True)
class Undecided:
    decision: int


@dataclass(frozen=True, slots=True)
class Away:
    place: int


@dataclass(frozen=True, slots=True)
class OnHold:
    words: str


Reason = NeedsTask | Waits | PartShort | Undecided | Away | OnHold


@dataclass(frozen=True, slots=True)
class Standing:
    """state: ready, held, started, done or dropped. reasons: what holds it, empty unless held or started."""

    state: str
    reasons: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class Freed:
    """What finishing one task frees: ready at once, after a wait, or nearer though something still holds.

    waiting: (task id, when it becomes ready).
    """

    ready: tuple[int, ...] = ()
    waiting: tuple[tuple[int, datetime], ...] = ()
    nearer: tuple[int, ...] = field(default=())


def stand(tasks: Iterable[Facts], now: datetime, at: int | None = None) -> dict[int, Standing]:
    """The standing of every task, by id. Needs that name no task in `tasks` hold nothing."""
    facts = {task.id: task for task in tasks}
    return {task.id: _standing(task, facts, now, at) for task in facts.values()}


def _standing(task: Facts, facts: Mapping[int, Facts], now: datetime, at: int | None) -> Standing:
    if task.status in (DONE, DROPPED):
        return Standing(task.status)
    reasons = _reasons(task, facts, now, at)
    if task.status == STARTED:
        return Standing(STARTED, reasons)
    return Standing(HELD if reasons else READY, reasons)


def _reasons(task: Facts, facts: Mapping[int, Facts], now: datetime, at: int | None) -> tuple[Reason, ...]:
    reasons: list[Reason] = [OnHold(task.on_hold)] if task.on_hold else []
    waits = []
    for need in (facts[id] for id in task.needs if id in facts):
        if need.status in (OPEN, STARTED):
            reasons.append(NeedsTask(need.id))
        elif need.status == DONE and need.finished_at and need.finished_at + need.wait_after > now:
            waits.append(Waits(need.id, need.finished_at + need.wait_after))
    reasons += [PartShort(line, missing) for line, missing in task.short if missing > 0]
    reasons += [Undecided(decision) for decision in task.undecided]
    reasons += waits
    if task.place is not None and task.place != at:
        reasons.append(Away(task.place))
    return tuple(reasons)


def freed_by(task: int, tasks: Iterable[Facts], now: datetime, at: int | None = None) -> Freed:
    """What finishing (or dropping) `task` now would free, or has just freed.

    Compares the world with the task open and with it done at `now`, so it answers the same before and after.
    """
    facts = {one.id: one for one in tasks}
    own = facts[task]
    before = {**facts, task: _as(own, OPEN, None)}
    after = facts if own.status in (DONE, DROPPED) else {**facts, task: _as(own, DONE, now)}
    ready, waiting, nearer = [], [], []
    for one in facts.values():
        if task not in one.needs or one.status in (DONE, DROPPED):
            continue
        was, becomes = _standing(one, before, now, at), _standing(one, after, now, at)
        if not becomes.reasons:
            ready.append(one.id)
        elif all(isinstance(reason, Waits) for reason in becomes.reasons):
            waiting.append((one.id, max(reason.until for reason in becomes.reasons)))
        elif was != becomes:
            nearer.append(one.id)
    return Freed(tuple(ready), tuple(waiting), tuple(nearer))


def _as(task: Facts, status: str, finished_at: datetime | None) -> Facts:
    return Facts(
        id=task.id, status=status, needs=task.needs, short=task.short, undecided=task.undecided,
        place=task.place, on_hold=task.on_hold, finished_at=finished_at, wait_after=task.wait_after,
    )  # fmt: skip


def lets_go_on(tasks: Iterable[Facts], standings: Mapping[int, Standing]) -> dict[int, tuple[int, int]]:
    """For each unfinished task how many finishing it frees: at once, and after a wait. As many as freed_by names.

    `standings`: of the same tasks, by `stand`. A task goes on when its last need does and nothing but a wait is left.
    """
    facts = {task.id: task for task in tasks}
    found = dict.fromkeys(facts, (0, 0))
    for standing in standings.values():
        needs = [reason.task for reason in standing.reasons if isinstance(reason, NeedsTask)]
        waits = any(isinstance(reason, Waits) for reason in standing.reasons)
        others = any(not isinstance(reason, NeedsTask | Waits) for reason in standing.reasons)
        if len(needs) == 1 and not others:
            ready, waiting = found[needs[0]]
            later = waits or bool(facts[needs[0]].wait_after)
            found[needs[0]] = (ready + (not later), waiting + later)
    return found


def stand_behind(tasks: Iterable[Facts]) -> dict[int, int]:
    """How many open tasks stand behind each task, however far: what finishing it is worth.

    Raises graphlib.CycleError when the needs form a circle.
    """
    facts = {task.id: task for task in tasks}
    bit = {id: 1 << number for number, id in enumerate(facts)}
    behind = dict.fromkeys(facts, 0)  # the tasks behind each, as bits of a whole number: sets of thousands, quickly
    order = work_order({id: [need for need in task.needs if need in facts] for id, task in facts.items()})
    for id in reversed(order):
        if facts[id].status not in (DONE, DROPPED):
            for need in facts[id].needs:
                if need in behind:
                    behind[need] |= behind[id] | bit[id]
    return {id: bits.bit_count() for id, bits in behind.items()}

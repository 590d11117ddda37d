"""Reads over tasks: the whole plan of a build in a fixed number of queries, and who has claimed which parts."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db.models import F, QuerySet
from django.utils import timezone

from buildlog.builds.models import Area, Build
from inventory.parts.models import Holding
from inventory.places.models import Kind, Location

from .calc.shares import Claim, Share, share_out
from .calc.standing import DROPPED, HELD, READY, STARTED, Facts, Freed, freed_by, lets_go_on, stand, stand_behind
from .models import Need, Status, Task, TaskPart
from .words import Said, lets_said, say


@dataclass(frozen=True, slots=True)
class Row:
    """A task as a page shows it. says: what holds it, in words with links.

    lets: what finishing it frees, in words. behind: how many tasks stand behind it, however far.
    """

    task: Task
    state: str
    says: tuple[Said, ...]
    lets: str
    behind: int
    parts: tuple[TaskPart, ...]

    @property
    def says_by_lead(self) -> list[tuple[str, list[Said]]]:
        """What holds it, grouped: 'after' A, B; 'short of' C."""
        grouped: dict[str, list[Said]] = defaultdict(list)
        for said in self.says:
            grouped[said.lead].append(said)
        return list(grouped.items())

    @property
    def is_open(self) -> bool:
        return self.task.is_open


@dataclass(frozen=True, slots=True)
class Plan:
    """Every task of a build with how it stands, in the order of the plan."""

    build: Build
    now: datetime
    rows: dict[int, Row]
    facts: dict[int, Facts]
    shares: dict[int, Share]
    needs: dict[int, tuple[int, ...]]

    def having(self, *states: str) -> list[Row]:
        return [row for row in self.rows.values() if row.state in states]

    @property
    def started(self) -> list[Row]:
        return self.having(STARTED)

    @property
    def ready(self) -> list[Row]:
        """Ready tasks, the one with most others behind it first."""
        return sorted(self.having(READY), key=lambda row: -row.behind)

    @property
    def held(self) -> list[Row]:
        return self.having(HELD)

    @property
    def open_count(self) -> int:
        return len(self.having(STARTED, READY, HELD))

    def of(self, area: Area | None) -> list[Row]:
        wanted = area.pk if area else None
        return [row for row in self.rows.values() if row.task.area_id == wanted]

    def freed(self, task: int) -> Freed:
        """What finishing the task frees, or has just freed."""
        return freed_by(task, self.facts.values(), self.now)

    def needed_by(self, task: int) -> list[Row]:
        return [self.rows[id] for id, needs in self.needs.items() if task in needs]


def plan(build: Build, *, now: datetime | None = None, at: Location | None = None) -> Plan:
    """The plan of a build as it stands now, seen from home or from an away location. Seven queries at most."""
    now = now or timezone.now()
    tasks = list(Task.objects.of(build).select_related("area", "place").in_order())
    lines, shares = shared_parts()
    needs: dict[int, list[int]] = defaultdict(list)
    for task, need in Need.objects.filter(task__build=build).values_list("task_id", "need_id"):
        needs[task].append(need)
    undecided: dict[int, list[int]] = defaultdict(list)
    questions = {}
    through = Task.decisions.through.objects.filter(task__build=build, decision__chosen=None)
    for task, decision, question in through.values_list("task_id", "decision_id", "decision__question"):
        undecided[task].append(decision)
        questions[decision] = question
    facts = {
        task.pk: Facts(
            id=task.pk,
            status=task.status,
            needs=tuple(needs[task.pk]),
            short=tuple((line.pk, shares[line.pk].missing) for line in lines[task.pk]),
            undecided=tuple(undecided[task.pk]),
            place=task.place_id,
            on_hold=task.on_hold,
            finished_at=task.finished_at,
            wait_after=task.wait_after,
        )
        for task in tasks
    }
    standings = stand(facts.values(), now, at.pk if at else None)
    lets = lets_go_on(facts.values(), standings)
    behind = stand_behind(facts.values())
    by_id = {task.pk: task for task in tasks}
    by_line = {line.pk: line for task in tasks for line in lines[task.pk]}
    rows = {
        task.pk: Row(
            task=task,
            state=standings[task.pk].state,
            says=tuple(say(reason, task, by_id, by_line, questions) for reason in standings[task.pk].reasons),
            lets=lets_said(*lets[task.pk]),
            behind=behind[task.pk],
            parts=tuple(lines[task.pk]),
        )
        for task in tasks
    }
    return Plan(build, now, rows, facts, shares, {task.pk: tuple(needs[task.pk]) for task in tasks})


def shared_parts(part_ids: Iterable[int] | None = None) -> tuple[dict[int, list[TaskPart]], dict[int, Share]]:
    """Lines of all unfinished tasks by task id, and what each line gets of what is on hand.

    Claims are served started tasks first, then the active build's, then in the order of the plan.
    """
    lines = list(_wanted(part_ids).select_related("part", "task"))
    shares = _shares(lines)
    by_task: dict[int, list[TaskPart]] = defaultdict(list)
    for line in sorted(lines, key=lambda line: line.pk):
        by_task[line.task_id].append(line)
    return by_task, shares


def _wanted(part_ids: Iterable[int] | None) -> QuerySet[TaskPart]:
    """Lines of unfinished tasks in the order they are served."""
    wanted = TaskPart.objects.filter(task__status__in=(Status.OPEN, Status.STARTED))
    if part_ids is not None:
        wanted = wanted.filter(part__in=list(part_ids))
    return wanted.order_by(
        F("task__started_at").asc(nulls_last=True), "-task__build__active", "task__build_id",
        F("task__area__order").asc(nulls_last=True), "task__order", "task_id", "pk",
    )  # fmt: skip


def _shares(lines: Sequence[TaskPart]) -> dict[int, Share]:
    there = on_hand({line.part_id for line in lines if line.part_id})
    return share_out((Claim(line.pk, line.part_id, line.still_wanted) for line in lines), there)


def on_hand(part_ids: set[int]) -> dict[int, Decimal]:
    """How many of each part can be taken tonight: not away, and not still on (or already fitted to) a vehicle."""
    if not part_ids:
        return {}
    vehicles = tuple(Location.objects.filter(kind=Kind.VEHICLE).values_list("path", flat=True))
    held = Holding.objects.filter(part__in=part_ids, location__away=False)
    total: dict[int, Decimal] = defaultdict(Decimal)
    for part, path, quantity in held.values_list("part_id", "location__path", "quantity"):
        if not path.startswith(vehicles or ("?",)):
            total[part] += quantity
    return dict(total)


def spoken_for(part_ids: Iterable[int]) -> dict[int, Decimal]:
    """How many of each part on hand are claimed by tasks that are not finished. Fills the inventory's slot."""
    lines = list(_wanted(part_ids).only("part_id", "quantity", "used", "got"))
    shares = _shares(lines) if lines else {}
    total: dict[int, Decimal] = defaultdict(Decimal)
    for line in lines:
        if line.part_id and shares[line.pk].claimed:
            total[line.part_id] += shares[line.pk].claimed
    return dict(total)


def claims_on(part) -> list[tuple[TaskPart, Share]]:
    """Which unfinished tasks want the part, in the order they are served."""
    lines, shares = shared_parts([part.pk])
    return [(line, shares[line.pk]) for task_lines in lines.values() for line in task_lines]


def pick_titles(build: Build, text: str, but: int | None = None, limit: int = 8) -> list[Task]:
    """Tasks of the build that may be meant by what was typed, unfinished ones first."""
    found = Task.objects.of(build).exclude(pk=but).filter(title__icontains=text, joined_into=None)
    found = list(found.select_related("area")[:200])
    wanted = text.casefold()
    found.sort(key=lambda task: (not task.is_open, not task.title.casefold().startswith(wanted), task.title))
    return found[:limit]


def known_titles(build: Build) -> dict[str, tuple[int, ...]]:
    """Ids by title, for 'after: …' in typed tasks. Done tasks count: naming one does no harm."""
    from .calc.typed import key

    known: dict[str, tuple[int, ...]] = {}
    rows = Task.objects.of(build).exclude(status=DROPPED).values_list("pk", "title")
    for pk, title in rows:
        known[key(title)] = (*known.get(key(title), ()), pk)
    return known


def needs_of(build: Build) -> dict[int, list[int]]:
    """The whole set of needs of a build, for looking for circles."""
    needs: dict[int, list[int]] = defaultdict(list)
    for task, need in Need.objects.filter(task__build=build).values_list("task_id", "need_id"):
        needs[task].append(need)
    return needs

"""Reads over all nights: a month of them, hours a week and an area, and the lines of the log one looks for."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.db.models import Exists, F, Max, Min, OuterRef, Q, Subquery, Sum
from django.db.models.functions import Coalesce
from django.utils import timezone

from buildlog.builds.models import Area, Build
from buildlog.tasks.models import Task
from buildlog.worklog.models import BETWEEN_NIGHTS, Entry, TaskTime, WorkSession
from buildlog.worklog.queries import lines, total_time
from inventory.finding.queries import with_words
from inventory.parts.models import Batch, Move, Part
from inventory.people.models import Person

from .calc.weeks import first_monday, rows


def midnight(day: date) -> datetime:
    """When a day begins on the shop's clock."""
    return timezone.make_aware(datetime.combine(day, time.min))


def between(build: Build, first: date, after: date):
    """Sessions that began from `first` until before `after`, the newest first."""
    return build.sessions.filter(started_at__gte=midnight(first), started_at__lt=midnight(after)).newest_first()


@dataclass(frozen=True, slots=True)
class Cell:
    """A day of the calendar. inside: of the month shown. sessions: those that began on it."""

    day: date
    inside: bool
    sessions: Sequence[WorkSession]

    @property
    def length(self) -> timedelta:
        return sum((session.length for session in self.sessions), timedelta())


def month(month: date, sessions: Sequence[WorkSession]) -> list[list[Cell]]:
    """The month's weeks, with its sessions on their days."""
    by_day: dict[date, list[WorkSession]] = defaultdict(list)
    for session in sessions:
        by_day[timezone.localtime(session.started_at).date()].append(session)
    return [
        [Cell(day, day.month == month.month, by_day[day] if day.month == month.month else ()) for day in week]
        for week in rows(month.year, month.month)
    ]


def worked(build: Build, last: date) -> list[tuple[date, int]]:
    """(day, minutes) of each session in the weeks that end with the week of `last`."""
    spans = between(build, first_monday(last), last + timedelta(days=8)).values_list("started_at", "ended_at")
    now = timezone.now()
    return [
        (timezone.localtime(began).date(), int(((ended or now) - began).total_seconds() // 60))
        for began, ended in spans
    ]


def reach(build: Build) -> tuple[date | None, date | None]:
    """The days of the first and the last session."""
    ends = build.sessions.aggregate(first=Min("started_at"), last=Max("started_at"))
    return tuple(timezone.localtime(end).date() if end else None for end in (ends["first"], ends["last"]))


@dataclass(frozen=True, slots=True)
class AreaRow:
    """share: of the area with the most hours, in percent. touched: when anything was last done in it."""

    area: Area | None
    minutes: int
    share: int
    touched: datetime | None


def areas(build: Build) -> list[AreaRow]:
    """Hours and last touch of each area; last the time that was spent on no area or no task, if there was any."""
    hours = TaskTime.objects.filter(session__build=build).values("task__area")
    minutes = dict(hours.annotate(sum=Sum("minutes")).values_list("task__area", "sum"))
    last = Entry.objects.filter(task=OuterRef("pk"), struck_at=None).order_by("-at").values("at")[:1]
    touched: dict[int | None, datetime] = {}
    facts = Task.objects.of(build).annotate(last=Subquery(last)).order_by()
    for area, *moments in facts.values_list("area", "last", "started_at", "finished_at"):
        known = [moment for moment in (*moments, touched.get(area)) if moment]
        if known:
            touched[area] = max(known)
    rest = int(total_time(build).total_seconds() // 60) - sum(minutes.values())
    minutes[None] = minutes.get(None, 0) + max(rest, 0)
    most = max(minutes.values(), default=0)
    found: list[Area | None] = [*build.areas.all(), *([None] if minutes.get(None) else [])]
    return [
        AreaRow(area, count := minutes.get(area and area.pk, 0), round(100 * count / most) if most else 0,
                touched.get(area and area.pk))
        for area in found
    ]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Asked:
    """Which lines of the log are wanted; everything may be left out."""

    words: str = ""
    area: Area | None = None
    task: Task | None = None
    part: Part | None = None
    by: Person | None = None
    day: date | None = None
    kind: str = ""
    pictures: bool = False

    def __bool__(self) -> bool:
        return any((self.words, self.area, self.task, self.part, self.by, self.day, self.kind, self.pictures))


def about_part(part: Part) -> Q:
    """Entries that moved the part."""
    return Q(batch__in=Move.objects.filter(part=part).order_by().values("batch"))


def asked_for(build: Build, asked: Asked):
    """The lines, the newest first.

    Other builds' nights are left out instead of this one's asked for: so the index of times is read from its end, a
    page's worth of it, and not the whole log put in order.
    """
    found = Entry.objects.exclude(session__in=WorkSession.objects.exclude(build=build).order_by().values("pk"))
    for word in asked.words.split():
        found = found.filter(_with_word(word))
    if asked.area:
        found = found.filter(task__in=Task.objects.filter(area=asked.area).order_by().values("pk"))
    if asked.task:
        found = found.filter(task=asked.task)
    if asked.part:
        found = found.filter(about_part(asked.part))
    if asked.by:
        found = found.filter(by=asked.by)
    if asked.day:
        found = found.filter(_of_the_day(build, asked.day))
    if asked.kind:
        found = found.filter(kind=asked.kind)
    if asked.pictures:
        links = Entry.photos.through.objects.filter(entry=OuterRef("pk"), photo__deleted_at=None)
        found = found.filter(Exists(links))
    return found.order_by("-at", "-pk")


def _with_word(word: str) -> Q:
    """In the line or its task's name: as it was written, also in lines that are struck; or folded, as Find knows it."""
    written = Q(text__icontains=word) | Q(says__icontains=word) | Q(task__title__icontains=word)
    return written | Q(pk__in=with_words("worklog", word)) | Q(task__in=with_words("task", word))


def _of_the_day(build: Build, day: date) -> Q:
    """Lines of the nights that began on it, and what was decided on it while nobody worked."""
    after = day + timedelta(days=1)
    nights = Q(session__in=between(build, day, after).order_by().values("pk"))
    return nights & ~BETWEEN_NIGHTS | BETWEEN_NIGHTS & Q(at__gte=midnight(day), at__lt=midnight(after))


def portion(found, before: int | None, size: int) -> tuple[list[Entry], int | None]:
    """So many lines older than the one numbered `before`, and the number to go on from; None at the end.

    By the last line's time, not by counting: page 900 costs what page 1 costs.
    """
    edge = Entry.objects.filter(pk=before).values_list("at", "pk").first() if before else None
    if edge:
        found = found.filter(Q(at__lt=edge[0]) | Q(at=edge[0], pk__lt=edge[1]))
    numbers = list(found.values_list("pk", flat=True)[: size + 1])
    some = lines(Entry.objects.filter(pk__in=numbers[:size]).select_related("session"))
    return list(some), numbers[size - 1] if len(numbers) > size else None


def touched_by(part: Part, limit: int) -> list[WorkSession]:
    """Sessions that logged something of the part, or in whose time it was moved, the newest first."""
    moved = Move.objects.filter(part=part).order_by()
    logged = Entry.objects.filter(about_part(part), session=OuterRef("pk"))
    in_its_time = moved.filter(at__gte=OuterRef("started_at"), at__lte=Coalesce(OuterRef("ended_at"), timezone.now()))
    found = WorkSession.objects.filter(Exists(logged) | Exists(in_its_time))
    return list(found.select_related("build").newest_first()[:limit])


def touches(part: Part, sessions: Sequence[WorkSession]) -> dict[int, tuple[list[Entry], list[Batch]]]:
    """What each of these sessions did to the part: its lines, and the moves made beside the log, by session."""
    found: dict[int, tuple[list[Entry], list[Batch]]] = {session.pk: ([], []) for session in sessions}
    for entry in lines(Entry.objects.filter(about_part(part), session__in=sessions)):
        found[entry.session_id][0].append(entry)
    logged = {entry.batch_id for entries, _ in found.values() for entry in entries}
    spans = [(session, session.started_at, session.ended_at or timezone.now()) for session in sessions]
    inside = Q(pk__in=[])
    for _, began, ended in spans:
        inside |= Q(at__gte=began, at__lte=ended)
    moves = Move.objects.filter(inside, part=part).exclude(batch__in=logged).select_related("batch")
    for move in moves:
        session = next(one for one, began, ended in spans if began <= move.at <= ended)
        if move.batch not in found[session.pk][1]:
            found[session.pk][1].append(move.batch)
    return found


def tasks_of(part: Part, limit: int = 12) -> list[Task]:
    """Tasks that use the part, or had some of it."""
    had = Entry.objects.filter(about_part(part)).order_by().values("task")
    found = Task.objects.filter(Q(pk__in=had) | Q(parts__part=part)).distinct()
    return list(found.order_by(F("finished_at").desc(nulls_first=True), "-pk")[:limit])

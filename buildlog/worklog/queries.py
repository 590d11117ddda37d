"""Reads over sessions and entries, each in a fixed number of queries."""

import uuid
from collections.abc import Collection, Sequence
from datetime import datetime, timedelta

from django.db.models import Case, F, Max, Prefetch, Q, Sum, When
from django.utils import timezone

from buildlog.builds.models import Build
from buildlog.tasks.models import Change, Status, Task
from inventory.parts.models import Batch, Holding
from inventory.people.models import Person
from inventory.photos.models import Photo

from .calc.when import guess_end, is_stale
from .models import Entry, Kind, WorkSession

LATELY = 20  # lines, and changes to tasks, among which the last word about one is looked for
JUST_OVER = timedelta(minutes=30)  # so soon after a night was stopped a line still belongs to it
BEFORE_THE_FIRST_LINE = timedelta(hours=4)  # a move made longer ago belongs to another visit


def running(build: Build) -> WorkSession | None:
    """The session that goes on."""
    return build.sessions.running().first()


def ended_about(build: Build, at: datetime) -> WorkSession | None:
    """The session that was on at that moment and is over; one whose end was guessed may have gone on a little."""
    on = Q(ended_at__gte=at) | Q(end_guessed=True, ended_at__gte=at - BEFORE_THE_FIRST_LINE)
    return build.sessions.begun_by(at).filter(on).select_related("build").first()


def just_stopped(build: Build, at: datetime) -> WorkSession | None:
    """The night that somebody had stopped a little before that moment, maybe while another was still writing."""
    last = build.sessions.begun_by(at).select_related("build").first()
    return last if last and last.ended_at and last.ended_at <= at <= last.ended_at + JUST_OVER else None


def running_elsewhere(build: Build) -> WorkSession | None:
    """A session that goes on for another build."""
    return WorkSession.objects.running().exclude(build=build).select_related("build").newest_first().first()


def night_of(build: Build, at: datetime) -> WorkSession | None:
    """The session that a start at an earlier moment falls in: one that was on then, or one begun soon after it."""
    now = timezone.now()
    on = Q(ended_at__gte=at, ended_at__lte=now, started_at__lte=at)
    if is_stale(at, now):  # that night is over; where its end was guessed it may have gone on a little
        on |= Q(end_guessed=True, ended_at__gte=at - BEFORE_THE_FIRST_LINE, started_at__lte=at)
    soon = Q(started_at__gt=at, started_at__lte=at + BEFORE_THE_FIRST_LINE)
    was_on = build.sessions.filter(on).newest_first().first()
    return was_on or build.sessions.filter(soon).order_by("started_at", "pk").first()


def on_at(build: Build, at: datetime) -> WorkSession | None:
    """The session that somebody who stops at that moment means. It may have been stopped by another, or as guessed."""
    session = build.sessions.begun_by(at).select_related("build").first()
    if session is None or session.is_running or session.ended_at >= at:
        return session
    return session if session.end_guessed and not is_stale(session.ended_at, at) else None


def arrived(uid: str) -> Entry | None:
    """The line that came with this uid before."""
    try:
        return Entry.objects.filter(uid=uuid.UUID(uid)).select_related("session").first()
    except ValueError:
        return None


def overlapping(build: Build, began: datetime, ended: datetime, but: WorkSession | None = None) -> WorkSession | None:
    """Another session of the build that was on in some of that time."""
    on = Q(ended_at__gt=began) | Q(ended_at=None)
    return build.sessions.filter(on, started_at__lt=ended).exclude(pk=but and but.pk).newest_first().first()


def neighbours(session: WorkSession) -> tuple[WorkSession | None, WorkSession | None]:
    """The session before and the one after."""
    others = session.build.sessions.exclude(pk=session.pk)
    before = others.begun_by(session.started_at).first()
    return before, others.filter(started_at__gt=session.started_at).newest_first().last()


def last_ended(build: Build) -> WorkSession | None:
    return build.sessions.ended().newest_first().select_related("bench_photo").first()


def last_sign(session: WorkSession) -> datetime:
    """When something was last heard of a session."""
    return guess_end(session.started_at, session.entries.filter(struck_at=None).aggregate(last=Max("at"))["last"])


def stale(session: WorkSession, now: datetime | None = None) -> datetime | None:
    """When a session most likely ended that somebody forgot to stop; None when it is going on."""
    now = now or timezone.now()
    if not is_stale(session.started_at, now):
        return None  # whatever its lines say
    sign = last_sign(session)
    return sign if is_stale(sign, now) else None


def guess_start(build: Build, person: Person | None, now: datetime) -> datetime:
    """When work began that nobody started: the person's first move of parts lately, or now."""
    since = now - BEFORE_THE_FIRST_LINE
    last = build.sessions.aggregate(last=Max("ended_at"))["last"]
    moved = Batch.objects.filter(by=person, at__gt=max(filter(None, (since, last))), at__lt=now).order_by("at").first()
    return moved.at if moved else now


def lines(entries=None):
    """Entries with all a row shows of them, the newest first."""
    entries = Entry.objects.all() if entries is None else entries
    return (
        entries.select_related("by", "task", "batch__undone_by", "change", "became")
        .defer("change__rows", "change__whole")
        .prefetch_related(Prefetch("photos", Photo.objects.kept().in_order()))
        .order_by("-at", "-pk")
    )


def likely_task(session: WorkSession | None, person: Person, tasks: Sequence[Task]) -> int | None:
    """The task the next line is most likely about, among the unfinished ones of the build.

    The one this person wrote of or started last in the session; else, of those on the bench, the one touched last.
    """
    begun = {task.pk: task.started_at for task in tasks if task.status == Status.STARTED}
    if session:
        known = [_written_of_last(session, person, tasks), _started_last(session, person, begun)]
        if tonight := max(filter(None, known), default=None):
            return tonight[1]
    if len(begun) > 1:
        mine = Entry.objects.filter(by=person, struck_at=None, task__in=begun).order_by()
        lines = dict(mine.values("task").annotate(last=Max("at")).values_list("task", "last"))
        return max(begun, key=lambda task: max(filter(None, (begun[task], lines.get(task)))))
    return next(iter(begun), None)


def _written_of_last(session: WorkSession, person: Person, tasks: Sequence[Task]) -> tuple[datetime, int] | None:
    """What became of a task is no word about it: one that was put back is no guess."""
    mine = session.entries.filter(by=person, struck_at=None, task__isnull=False).exclude(kind=Kind.TASK)
    lately, unfinished = mine.order_by("-at", "-pk").values_list("at", "task")[:LATELY], {task.pk for task in tasks}
    return next(((at, task) for at, task in lately if task in unfinished), None)


def _started_last(session: WorkSession, person: Person, begun: Collection[int]) -> tuple[datetime, int] | None:
    """On Tonight or on the task's own page."""
    changes = Change.objects.filter(by=person, undone_at=None, at__gte=session.started_at)
    if session.ended_at:
        changes = changes.filter(at__lte=session.ended_at)
    for at, rows in changes.order_by("-at").values_list("at", "rows")[:LATELY] if begun else ():
        for row in rows:
            if row["task"] in begun and row["after"]["status"] == Status.STARTED:
                return at, row["task"]
    return None


def last_measure(person: Person) -> dict:
    """How the person measured last, in which unit, and to which part of an inch."""
    last = Entry.objects.filter(by=person, kind=Kind.MEASURE).order_by("-pk").values("how", "unit", "round_to").first()
    return last or {"how": "tape", "unit": "mm", "round_to": 32}


def total_time(build: Build) -> timedelta:
    spent = build.sessions.ended().aggregate(spent=Sum(F("ended_at") - F("started_at")))["spent"]
    return spent or timedelta(0)


def away() -> list[tuple]:
    """What waits to be fetched: [(place, kinds of part)] for each away place that holds something."""
    rows = Holding.objects.filter(location__away=True).exclude(location__kind="vehicle").select_related("location")
    counts: dict = {}
    for row in rows:
        counts[row.location] = counts.get(row.location, 0) + 1
    return list(counts.items())


def pickable_tasks(build: Build):
    """Unfinished tasks for a choice, started ones first."""
    return (
        Task.objects.of(build)
        .unfinished()
        .order_by(F("started_at").desc(nulls_last=True), F("area__order").asc(nulls_last=True), "order", "pk")
    )


def choosable_tasks(build: Build):
    """All tasks for a choice: the unfinished first, as in pickable_tasks, then the done, then the dropped."""
    over = Case(When(status=Status.DONE, then=1), When(status=Status.DROPPED, then=2), default=0)
    return Task.objects.of(build).order_by(over, F("started_at").desc(nulls_last=True), "title", "pk")


def minutes_of(task: Task) -> int:
    """How long the task has had of all sessions."""
    return task.times.aggregate(sum=Sum("minutes"))["sum"] or 0

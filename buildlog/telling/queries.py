"""Reads over stories: what a story takes from the log, and what has come since it was made."""

from collections.abc import Sequence
from datetime import datetime, time, timedelta

from django.db.models import Count, OuterRef, Prefetch, Q, Subquery
from django.utils import timezone

from buildlog.builds.models import Build
from buildlog.decisions.models import Decision
from buildlog.worklog.models import Entry, TaskTime, WorkSession
from inventory.photos.models import Photo

from .models import Piece, Shape, Story, Takes


def stories(build: Build):
    """With what their row shows: how many lines are told, and how many nights they are of."""
    told = Q(pieces__shape=Shape.LINE, pieces__left_out=False)
    return build.stories.newest_first().annotate(
        line_count=Count("pieces", filter=told, distinct=True),
        night_count=Count("pieces__entry__session", filter=told, distinct=True),
    )


def taken_by(story: Story):
    """Entries the story is about, the first first; crossed out ones are not told."""
    entries = Entry.objects.filter(session__build=story.build_id, struck_at=None).order_by("at", "pk")
    match story.takes:
        case Takes.NIGHTS:
            return entries.filter(session__in=story.sessions.all())
        case Takes.DATES:
            return entries.filter(session__in=sessions_between(story))
        case Takes.AREA:
            return entries.filter(task__area=story.area_id) if story.area_id else entries.none()
        case Takes.TASK:
            return entries.filter(task=story.task_id) if story.task_id else entries.none()
        case Takes.DONOR:
            if not story.donor_id:
                return entries.none()
            place = story.donor.location_id
            ours = Q(batch__moves__part__donor=place) | Q(batch__moves__source=place)
            return entries.filter(pk__in=Entry.objects.filter(ours).values("pk"))


def sessions_between(story: Story):
    """A session belongs to the day it began on, however late it went."""
    sessions = WorkSession.objects.filter(build=story.build_id)
    if story.since:
        sessions = sessions.filter(started_at__gte=_midnight(story.since))
    if story.until:
        sessions = sessions.filter(started_at__lt=_midnight(story.until + timedelta(days=1)))
    return sessions


def _midnight(day) -> datetime:
    return timezone.make_aware(datetime.combine(day, time.min))


def with_facts(entries):
    """Entries with all a story tells of them, in a fixed number of statements."""
    return entries.select_related(
        "session", "task__area", "batch__undone_by", "change", "became", "by"
    ).prefetch_related(
        Prefetch("photos", Photo.objects.kept().in_order()), "batch__moves__part__donor__donor",
        "batch__moves__part__pattern",
    )  # fmt: skip


def fresh(story: Story) -> list[Entry]:
    """What has come to the log since the story was made, and was not offered yet."""
    there = story.pieces.exclude(entry=None).values("entry")
    return list(with_facts(taken_by(story).exclude(pk__in=there)))


def pieces(story: Story) -> list[Piece]:
    """In order, each with its entry and photos."""
    entries = with_facts(Entry.objects.all())
    return list(
        story.pieces.select_related("before", "after", "session")
        .prefetch_related(Prefetch("entry", entries), "photos_out")
        .order_by("order", "pk")
    )


def times_of(story: Story, sessions: list[WorkSession]) -> list[TaskTime]:
    """How long each task had of these sessions, as far as the story is about it."""
    times = TaskTime.objects.filter(session__in=sessions).select_related("task__area", "session")
    if story.takes == Takes.AREA:
        times = times.filter(task__area=story.area_id)
    elif story.takes == Takes.TASK:
        times = times.filter(task=story.task_id)
    elif story.takes == Takes.DONOR:
        times = times.none()
    return list(times.order_by("session__started_at", "pk"))


def photos_told(build: Build) -> set:
    """Photos that were chosen for some story of the build: of lines that are told, and of pairs."""
    told = Piece.objects.filter(story__build=build, story__deleted_at=None, left_out=False)
    left = set(Piece.photos_out.through.objects.filter(piece__in=told).values_list("piece", "photo"))
    of_lines = set(told.exclude(entry__photos=None).values_list("pk", "entry__photos")) - left
    pairs = told.exclude(before=None).values_list("before", "after")
    return {photo for _, photo in of_lines} | {photo for pair in pairs for photo in pair if photo}


def tasks_kept_out(build: Build, sessions: Sequence[WorkSession] = ()) -> set[int]:
    """The tasks that only lines kept out of public speak of, or that some does in these sessions."""
    lines = Entry.objects.filter(session__build=build, task__isnull=False, struck_at=None).order_by()
    of_nights = set(lines.filter(session__in=sessions, private=True).values_list("task", flat=True))
    kept = set(lines.filter(private=True).values_list("task", flat=True))
    return of_nights | (kept - set(lines.filter(private=False, task__in=kept).values_list("task", flat=True)))


def decided(build: Build, *, with_private: bool = False):
    """What was decided, the first first; not that whose line in the log is kept out of public, or crossed out."""
    untold = Q(struck_at__isnull=False) if with_private else Q(struck_at__isnull=False) | Q(private=True)
    hidden = Entry.objects.filter(untold, session__build=build).exclude(decision=None).values("decision")
    found = Decision.objects.with_facts().filter(build=build).exclude(chosen=None).exclude(pk__in=hidden)
    return found.order_by("chosen_at", "pk")


def decided_in(build: Build, sessions: Sequence[WorkSession]) -> list[Decision]:
    """What was decided in these nights; what was decided between two belongs to the one before."""
    night = WorkSession.objects.filter(build=OuterRef("build")).begun_by(OuterRef("chosen_at")).values("pk")[:1]
    return list(decided(build).annotate(night=Subquery(night)).filter(night__in=[session.pk for session in sessions]))


def before(session: WorkSession) -> WorkSession | None:
    """The session of the build that came before this one."""
    return (
        WorkSession.objects.filter(build=session.build_id, started_at__lt=session.started_at)
        .exclude(pk=session.pk)
        .newest_first()
        .first()
    )

"""A session starts, gets its lines, and stops. Whatever arrives twice changes nothing."""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from buildlog.builds.models import Build
from buildlog.tasks.models import Task
from buildlog.tasks.queries import Plan, plan
from inventory.people.models import Person
from inventory.photos.models import Photo
from inventory.web.moment import done_at

from . import queries
from .calc.hours import Mark, share
from .drafts import Own, draft, own, sentences
from .models import Entry, Kind, TaskTime, WorkSession


def _next_number(build: Build) -> int:
    return (build.sessions.aggregate(last=Max("number"))["last"] or 0) + 1


@transaction.atomic(savepoint=False)
def start(*, build: Build, by: Person | None, at: datetime | None = None, guessed: bool = False) -> WorkSession:
    """The running session of the build, with this person in it; begun now if there is none.

    `guessed`: nobody said that it began; something was logged.

    One that somebody forgot to stop is ended first, at the time of its last line. A start that comes late, from a phone
    that had no signal, joins the night it fell in, over or not; that night began with who came first.
    """
    at = at or done_at()
    session = running = queries.running(build)
    if session and session.started_at <= at and queries.stale(session, at):
        stop_as_guessed(session=session)
        session = running = None
    if session is None or session.started_at > at:
        session = queries.night_of(build, at)
    if session is None and running:
        session = _over_with(build, at)
    elif session is None:
        session = WorkSession.objects.create(
            build=build, number=_next_number(build), started_at=at, start_guessed=guessed
        )
    elif session.started_at > at:
        session.started_at, session.start_guessed = at, guessed
        session.save(update_fields=["started_at", "start_guessed"])
    if by:
        session.people.add(by)
    return session


@transaction.atomic(savepoint=False)
def session_for(*, build: Build, by: Person | None, now: datetime) -> WorkSession:
    """The session a new line goes into. Where nobody started one, it began with the person's first move lately.

    A line that comes late, from a phone that had no signal, goes into the session of its own time; one that comes just
    after somebody stopped the night, into that one.
    """
    session = queries.running(build)
    if session is None or session.started_at > now:
        another_night = session and session.started_at > now + queries.BEFORE_THE_FIRST_LINE
        session = queries.ended_about(build, now) or (_over_with(build, now) if another_night else session)
    session = session or queries.just_stopped(build, now)
    if session is None or (session.is_running and queries.stale(session, now)):
        at = queries.guess_start(build, by, now) if session is None else now
        return start(build=build, by=by, at=at, guessed=True)
    if by:
        session.people.add(by)
    return session


def _over_with(build: Build, at: datetime) -> WorkSession:
    """A session for a line or a start of an earlier night, while a later one runs: over already, with its last line."""
    return WorkSession.objects.create(
        build=build, number=_next_number(build), started_at=at, start_guessed=True, ended_at=at, end_guessed=True
    )


@transaction.atomic(savepoint=False)
def log(
    *,
    by: Person | None,
    build: Build | None = None,
    session: WorkSession | None = None,
    uid: uuid.UUID | None = None,
    at: datetime | None = None,
    kind: str = Kind.NOTE,
    photos: Sequence[Photo] = (),
    **fields,
) -> Entry:
    """One line: into the given session, or into the one that runs on the build (begun if need be).

    A second arrival of the uid answers with the first entry and changes nothing.
    """
    if uid and (earlier := Entry.objects.filter(uid=uid)).exists():
        return earlier.get()
    now = done_at()
    at = min(at, now) if at else now
    given, session = session, session or session_for(build=build, by=by, now=now)
    if fields.get("task") and fields["task"].build_id != session.build_id:
        raise ValidationError("That task belongs to another build.")
    told = _told(session) if session.end_guessed and session.ended_at else None
    entry = Entry.objects.create(uid=uid or uuid.uuid4(), session=session, by=by, at=at, kind=kind, **fields)
    if photos:
        entry.photos.set(photos)
    if told:
        ended_at = session.ended_at if given else max(session.ended_at, now)
        _stop_by_its_log(session, ended_at, guessed=True, told=replace(told, entries=[*told.entries, entry]))
    return entry


@transaction.atomic
def stop(
    *,
    session: WorkSession,
    at: datetime,
    done: str = "",
    stopping_point: str = "",
    minutes: Mapping[Task, int] | None = None,
    bench_photo: Photo | None = None,
    guessed: bool = False,
) -> None:
    """The session is over, or what was said at its end is changed.

    `minutes`: how long each task had of it; the others keep what they have.
    """
    session.ended_at = max(at, session.started_at)
    session.end_guessed = guessed
    session.done, session.stopping_point = done.strip(), stopping_point.strip()
    if bench_photo:
        session.bench_photo = bench_photo
    session.save()
    if minutes is not None:
        _keep_minutes(session, minutes)


def _keep_minutes(session: WorkSession, minutes: Mapping[Task, int]) -> None:
    session.times.filter(task__in=minutes).delete()
    TaskTime.objects.bulk_create(
        [TaskTime(session=session, task=task, minutes=count) for task, count in minutes.items() if count]
    )


def stop_as_guessed(*, session: WorkSession) -> None:
    """Somebody forgot to stop: it ended with its last line."""
    _stop_by_its_log(session, queries.last_sign(session), guessed=True)


class NotNow(Exception):
    """The night can't be stopped as it was told; `session`: the one meant, if there was one."""

    def __init__(self, text: str, session: WorkSession | None = None):
        super().__init__(text)
        self.session = session


@transaction.atomic
def stop_from_afar(*, build: Build, words: str = "", at: datetime | None = None) -> WorkSession:
    """The session that was on at that moment is over, as told by a phone that knew no more of it than that.

    `words`: what first, next time; empty for what its log says. Raises NotNow where there was no session,
    where it went on after that moment, or where somebody has put down other words meanwhile.
    """
    at, words = at or done_at(), words.strip()
    session = queries.on_at(build, at)
    if session is None:
        raise NotNow("No session was running then. Log it under “Log an earlier night”.")
    after = session.entries.filter(at__gt=at, struck_at=None).order_by("-at").first() if session.is_running else None
    if after:
        when = timezone.localtime(after.at)
        raise NotNow(f"It went on after that: “{after}” at {when:%H:%M}. Stop it when it is over.", session)
    if session.is_running or session.end_guessed:
        _stop_by_its_log(session, at, words=words)
    elif words and words != session.stopping_point:
        if session.stopping_point:
            said = f"It was stopped already, with “{session.stopping_point}” to do first. Keep what holds of both."
            raise NotNow(said, session)
        session.stopping_point = words
        session.save(update_fields=["stopping_point"])
    return session


@dataclass(frozen=True, slots=True)
class _Told:
    """What a person has said of the end of a session, and what the rest of it is drafted from."""

    own: Own
    entries: Sequence[Entry]
    plan: Plan


def _told(session: WorkSession) -> _Told:
    entries, whole = list(queries.lines(session.entries)), plan(session.build)
    return _Told(own(session, entries, whole, session.ended_at or timezone.now()), entries, whole)


def _stop_by_its_log(
    session: WorkSession, at: datetime, *, words: str = "", guessed: bool = False, told: _Told | None = None
) -> None:
    """It ends at that moment; what was done, and how long each task took, comes of its log where no person said it.

    `told`: what a person had said of it before the log or the end was changed, with the log as it is now.
    """
    told = told or _told(session)
    offer, said = draft(session, told.entries, told.plan, at), told.own
    stop(
        session=session, at=at, done=said.done or offer.done, guessed=guessed,
        stopping_point=words or said.stopping_point or offer.stopping_point,
        minutes={task: said.minutes.get(task.pk, offer.minutes[task.pk]) for task in offer.tasks},
    )  # fmt: skip


@transaction.atomic
def reopen(*, session: WorkSession) -> None:
    """Not home yet: the session goes on, and what was drafted of its log will be so anew.

    Raises ValidationError when another one runs on the build, or has been since.
    """
    if queries.running(session.build):
        raise ValidationError("Another session is running. Stop that one first.")
    if session.build.sessions.filter(started_at__gt=session.started_at).exists():
        raise ValidationError("There was another night since. Add the lines to this one instead.")
    told = _told(session).own
    session.ended_at, session.end_guessed = None, False
    session.done, session.stopping_point = told.done, told.stopping_point
    session.save(update_fields=["ended_at", "end_guessed", "done", "stopping_point"])
    if not told.minutes:
        session.times.all().delete()


@transaction.atomic
def remember(
    *,
    build: Build,
    by: Person | None,
    started_at: datetime,
    ended_at: datetime,
    text: str,
    stopping_point: str = "",
    task: Task | None = None,
    people: Sequence[Person] = (),
    photos: Sequence[Photo] = (),
    uid: uuid.UUID | None = None,
) -> WorkSession:
    """A session written down afterwards, a line of text an entry, the photos with the first; the task had all of it.

    A repeat of the uid answers with the first.
    """
    uid = uid or uuid.uuid4()
    if earlier := Entry.objects.filter(uid=uuid.uuid5(uid, "0")).select_related("session").first():
        return earlier.session
    session = WorkSession.objects.create(
        build=build, number=_next_number(build), started_at=started_at, ended_at=ended_at, from_memory=True,
        done=sentences(text), stopping_point=stopping_point.strip(),
    )  # fmt: skip
    session.people.add(*(people or filter(None, [by])))
    if task:
        minutes = share(started_at, ended_at, [Mark(ended_at, task.pk)])[task.pk]
        TaskTime.objects.create(session=session, task=task, minutes=minutes)
    for number, line in enumerate(line.strip() for line in text.splitlines() if line.strip()):
        with_it = () if number else photos
        log(session=session, by=by, at=ended_at, uid=uuid.uuid5(uid, str(number)), text=line, task=task, photos=with_it)
    return session


@transaction.atomic
def put_right(
    *, session: WorkSession, started_at: datetime, people: Sequence[Person] = (), ended_at: datetime | None = None
) -> bool:
    """When it began and ended, and who was there. Times that somebody has looked at are no guess any more.

    The hours of its tasks follow where they are as they were shared out from the log. False where they are as a person
    said, and stay.
    """
    was, guessed = (session.started_at, session.ended_at), session.end_guessed
    told = _told(session) if session.ended_at else None
    session.started_at, session.start_guessed = started_at, False
    if ended_at:
        session.ended_at, session.end_guessed = ended_at, False
    session.save(update_fields=["started_at", "start_guessed", "ended_at", "end_guessed"])
    session.people.set(people)
    if told is None or was == (session.started_at, session.ended_at):
        return True
    if guessed:
        _stop_by_its_log(session, session.ended_at, guessed=session.end_guessed, told=told)
    elif not told.own.minutes:
        offer = draft(session, told.entries, told.plan, session.ended_at)
        _keep_minutes(session, {task: offer.minutes[task.pk] for task in offer.tasks})
    return not told.own.minutes

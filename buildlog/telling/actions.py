"""A story is made, filled from the log, arranged and shared."""

import secrets
from collections.abc import Iterable, Sequence

from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format

from buildlog.builds.models import Build
from buildlog.tasks.words import listed
from buildlog.worklog.models import Entry, WorkSession
from inventory.people.models import Person
from inventory.photos.models import Photo

from . import drafts, queries, sharing
from .models import NO_CLIP, Piece, Shape, Story, Takes
from .told import tell

MOST = 5  # nights that a title names one by one


def touch(story: Story) -> None:
    story.changed_at = timezone.now()
    Story.objects.filter(pk=story.pk).update(changed_at=story.changed_at)


@transaction.atomic
def make(*, build: Build, by: Person | None, takes: str, title: str = "", sessions: Sequence = (), **fields) -> Story:
    """A story with all the log has for it, each night under a heading of its own, between what was planned and what is
    next. `fields`: since and until, or area, task or donor."""
    story = Story(build=build, by=by, takes=takes, title=title or "Story", **fields)
    story.save()
    story.sessions.set(sessions)
    if not title:
        story.title = title_for(story, list(sessions))
        story.save(update_fields=["title"])
    rows = [Piece(story=story, shape=Shape.WORDS, drafts=key) for key in drafts.OPENING]
    rows += _from_the_log(story, queries.fresh(story), ())
    rows += [Piece(story=story, shape=Shape.WORDS, drafts=key) for key in drafts.CLOSING]
    for number, row in enumerate(rows):
        row.order = number
    Piece.objects.bulk_create(rows)
    return story


def title_for(story: Story, sessions: list[WorkSession]) -> str:
    """'Side hatch', 'Nights 3 to 5', 'Bakery van, 3 Nov to 9 Nov 2026'."""
    match story.takes:
        case Takes.AREA:
            return story.area.name
        case Takes.TASK:
            return story.task.title
        case Takes.DONOR:
            return f"Taking apart {story.donor}"[:160]
        case Takes.DATES:
            days = " to ".join(date_format(day, "j M Y") for day in (story.since, story.until) if day)
            return f"{story.build.name}, {days}" if days else story.build.name
    return ", ".join(filter(None, (story.build.name, nights_said([session.number for session in sessions]))))


def nights_said(numbers: Sequence[int]) -> str:
    """'night 4', 'nights 3 to 5', 'nights 6, 14 and 17', '12 nights'; none: ''."""
    if len(numbers) < 2:
        return f"night {numbers[0]}" if numbers else ""
    numbers = sorted(numbers)
    first, last = numbers[0], numbers[-1]
    if last - first == len(numbers) - 1:
        return f"nights {first} to {last}"
    return (
        f"nights {listed([str(number) for number in numbers], MOST)}"
        if len(numbers) <= MOST
        else f"{len(numbers)} nights"
    )


def night_title(session: WorkSession) -> str:
    return f"Night {session.number}, {date_format(timezone.localtime(session.started_at), 'l j F Y')}"


def _from_the_log(story: Story, entries: Iterable[Entry], opened: Iterable[int]) -> list[Piece]:
    """Pieces for entries; a night that has no heading yet (`opened`: those that have) gets one."""
    rows, seen = [], set(opened)
    for entry in entries:
        if entry.session_id not in seen:
            seen.add(entry.session_id)
            rows.append(Piece(story=story, shape=Shape.HEADING, session=entry.session, text=night_title(entry.session)))
        rows.append(Piece(story=story, shape=Shape.LINE, entry=entry))
    return rows


@transaction.atomic
def take_up(*, story: Story, entries: Sequence[Entry], leave_out: bool = False) -> int:
    """What has come to the log since: each line after the last of its night, a new night before the closing words.

    `leave_out`: they are noted as left out, and not offered again. A repeat adds nothing.
    """
    rows = list(story.pieces.select_related("entry").order_by("order", "pk"))
    there = {row.entry_id for row in rows if row.entry_id}
    for entry in entries:
        if entry.pk in there:
            continue
        night = [n for n, row in enumerate(rows) if _night_of(row) == entry.session_id]
        if night:
            rows.insert(night[-1] + 1, Piece(story=story, shape=Shape.LINE, entry=entry, left_out=leave_out))
            continue
        new = _from_the_log(story, [entry], ())
        for row in new:
            row.left_out = leave_out and row.shape == Shape.LINE
        at = _before_closing(rows)
        rows[at:at] = new
    added = [row for row in rows if row.pk is None]
    _keep_order(rows)
    touch(story)
    return len([row for row in added if row.shape == Shape.LINE])


def _night_of(row: Piece) -> int | None:
    return row.entry.session_id if row.entry else row.session_id


def _before_closing(rows: list[Piece]) -> int:
    return next((n for n, row in enumerate(rows) if row.drafts in drafts.CLOSING), len(rows))


def _keep_order(rows: list[Piece]) -> None:
    for number, row in enumerate(rows):
        row.order = number
    Piece.objects.bulk_update([row for row in rows if row.pk], ["order"])
    Piece.objects.bulk_create([row for row in rows if row.pk is None])


@transaction.atomic
def add_piece(*, story: Story, shape: str, behind: Piece | None = None, **fields) -> Piece:
    """A heading, words or a pair of pictures, behind a piece or at the end."""
    rows = list(story.pieces.order_by("order", "pk"))
    new = Piece(story=story, shape=shape, **fields)
    at = next((n + 1 for n, row in enumerate(rows) if behind and row.pk == behind.pk), len(rows))
    rows.insert(at, new)
    _keep_order(rows)
    touch(story)
    return new


def last_line(story: Story) -> Piece | None:
    return story.pieces.filter(shape=Shape.LINE).order_by("-order", "-pk").first()


@transaction.atomic
def shift(*, piece: Piece, by: int) -> None:
    """A piece goes so many places up or down."""
    rows = list(piece.story.pieces.order_by("order", "pk"))
    here = next(n for n, row in enumerate(rows) if row.pk == piece.pk)
    rows.insert(min(max(here + by, 0), len(rows) - 1), rows.pop(here))
    _keep_order(rows)
    touch(piece.story)


def leave(*, piece: Piece, out: bool) -> None:
    piece.left_out = out
    piece.save(update_fields=["left_out"])
    touch(piece.story)


def leave_photo(*, piece: Piece, photo: Photo, out: bool) -> None:
    (piece.photos_out.add if out else piece.photos_out.remove)(photo)
    touch(piece.story)


def write(*, piece: Piece, text: str) -> None:
    """Words of one's own in a piece; none, or the program's unchanged, leave it to the log or the draft."""
    text = text.replace("\r\n", "\n").strip()
    if piece.shape == Shape.HEADING:
        text = " ".join(text.split())[:160]
    if text and piece.drafts:
        given = drafts.source(piece.story, queries.pieces(piece.story))
        text = "" if text == drafts.words(piece.drafts, given) else text
    piece.text = text
    piece.save(update_fields=["text"])
    touch(piece.story)


def film(*, piece: Piece, clip: str, clip_in: str, clip_out: str, said: str) -> None:
    """The clip of a line in this story, whatever the log says, and the words over it; none: the line's own."""
    entry = piece.entry
    clip = clip.strip() or (NO_CLIP if entry.clip else "")
    as_logged = (clip, clip_in, clip_out) == (entry.clip, entry.clip_in, entry.clip_out)
    piece.clip, piece.clip_in, piece.clip_out = ("", "", "") if as_logged else (clip, clip_in, clip_out)
    piece.said = " ".join(said.split())
    piece.save(update_fields=["clip", "clip_in", "clip_out", "said"])
    touch(piece.story)


def start_chapter(*, piece: Piece, seconds: int | None) -> None:
    piece.starts = seconds
    piece.save(update_fields=["starts"])
    touch(piece.story)


def remove(*, piece: Piece) -> None:
    """Out of the story, and can be taken in again; only what says nothing goes for good."""
    if piece.entry_id or piece.text or piece.drafts or piece.before_id:
        leave(piece=piece, out=True)
        return
    piece.delete()
    touch(piece.story)


def share(*, story: Story) -> str:
    """The story as it is told now can be read by whoever has its address, which cannot be guessed. One that is shared
    already stays as it is. Answers the address's key."""
    if not story.share_key:
        told = tell(story)
        sharing.agree(story, told, seen=sharing.marks(told))
        story.share_key, story.shared_at = secrets.token_urlsafe(24), timezone.now()
        story.save(update_fields=["share_key", "shared_at"])
    return story.share_key


def delete(*, story: Story) -> None:
    """Out of sight, and no longer shared. It can be brought back, but not its address."""
    end_sharing(story=story)
    Story.objects.filter(pk=story.pk).update(deleted_at=timezone.now())


def bring_back(*, story: Story) -> None:
    Story.with_deleted.filter(pk=story.pk).update(deleted_at=None)


def end_sharing(*, story: Story) -> None:
    """The address leads nowhere from now on; sharing again makes another."""
    story.share_key, story.shared_at, story.agreed = "", None, []
    story.save(update_fields=["share_key", "shared_at", "agreed"])

"""Shots one after the other: when each begins, where chapters start, how fast what is said must be read.

Reading speed: at most 180 words a minute, and 2 lines of 37 letters at a time, as broadcasters' guidelines for
subtitles have it (from memory). A shot whose clip gives no length is as long as its words take at 150 a minute, at
least 3 s (common practice, no source). Times are whole milliseconds.
"""

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from .webvtt import Cue

SPOKEN, MOST_READ = 150, 180  # words a minute
LEAST = 3000  # of a shot without a length
LETTERS, LINES = 37, 2
_TIME = re.compile(r"(?:(?:(\d{1,3}):)?(\d{1,3}):)?(\d{1,5})(?:[.,](\d{1,3}))?")


class Unreadable(ValueError):
    """A typed time that is none."""


def read_time(text: str) -> int | None:
    """'1:10', '70', '1:02:03', '0:05.5' in milliseconds; None for nothing typed. Raises Unreadable."""
    text = text.strip()
    if not text:
        return None
    found = _TIME.fullmatch(text)
    if not found:
        raise Unreadable(text)
    hours, minutes, seconds, rest = found.groups()
    if minutes is not None and int(seconds) > 59 or hours is not None and int(minutes) > 59:
        raise Unreadable(text)
    whole = (int(hours or 0) * 60 + int(minutes or 0)) * 60 + int(seconds)
    return whole * 1000 + int((rest or "0").ljust(3, "0"))


def clock(ms: int) -> str:
    """'01:24', with hours when there are any: '1:01:24'. Down to the whole second."""
    seconds = ms // 1000
    hours = f"{seconds // 3600}:" if seconds >= 3600 else ""
    return f"{hours}{seconds // 60 % 60:02}:{seconds % 60:02}"


@dataclass(frozen=True, slots=True)
class Shot:
    """piece: its number. said: the narration. start: in the film. guessed: the clip gives no length.
    problem: '', 'time' (one can't be read) or 'order' (it ends before it begins)."""

    piece: int
    clip: str
    clip_in: str
    clip_out: str
    said: str
    length: int
    start: int = 0
    guessed: bool = False
    problem: str = ""

    @property
    def end(self) -> int:
        return self.start + self.length


def shot(piece: int, clip: str, clip_in: str, clip_out: str, said: str) -> Shot:
    try:
        begin, end = read_time(clip_in), read_time(clip_out)
    except Unreadable:
        return Shot(piece, clip, clip_in, clip_out, said, spoken(said), guessed=True, problem="time")
    if end is not None and end > (begin or 0):
        return Shot(piece, clip, clip_in, clip_out, said, end - (begin or 0))
    wrong = "order" if end is not None else ""
    return Shot(piece, clip, clip_in, clip_out, said, spoken(said), guessed=True, problem=wrong)


def spoken(text: str) -> int:
    """How long it takes to say, in whole seconds."""
    return max(LEAST, -(-len(text.split()) * 60 // SPOKEN) * 1000)


def in_a_row(shots: Sequence[Shot]) -> list[Shot]:
    """Each with its start in the film."""
    out, at = [], 0
    for one in shots:
        out.append(Shot(*(getattr(one, name) for name in ("piece", "clip", "clip_in", "clip_out", "said", "length")),
                        start=at, guessed=one.guessed, problem=one.problem))  # fmt: skip
        at += one.length
    return out


@dataclass(frozen=True, slots=True)
class Chapter:
    """number: of its heading. computed: where its first shot starts. start: where it was put, else the same."""

    number: int
    title: str
    start: int
    computed: int


def problems(chapters: Sequence[Chapter], total: int) -> list[tuple[int, str]]:
    """[(number of the heading, 'start' | 'rising' | 'end')]: the first starts at 0, each after the one before, none at
    or after the end."""
    found, before = [], -1
    for place, chapter in enumerate(chapters):
        if place == 0 and chapter.start != 0:
            found.append((chapter.number, "start"))
        elif chapter.start <= before:
            found.append((chapter.number, "rising"))
        elif chapter.start >= total > 0:
            found.append((chapter.number, "end"))
        before = max(before, chapter.start)
    return found


def as_lines(chapters: Sequence[Chapter]) -> str:
    """'00:00 Night 1', a line each."""
    return "".join(f"{clock(one.start)} {' '.join(one.title.split())}\n" for one in chapters)


def as_cues(chapters: Sequence[Chapter], total: int) -> list[Cue]:
    ends = [*(one.start for one in chapters[1:]), total]
    return [Cue(one.start, end, " ".join(one.title.split())) for one, end in zip(chapters, ends, strict=True)]


def captions(shots: Sequence[Shot]) -> list[Cue]:
    """What is said, in pieces that fit on a screen, over each shot by the share of its letters."""
    cues = []
    for one in shots:
        rows = textwrap.wrap(" ".join(one.said.split()), LETTERS)
        pieces = ["\n".join(rows[n : n + LINES]) for n in range(0, len(rows), LINES)]
        letters, done = sum(map(len, pieces)), 0
        for piece in pieces:
            begin = one.start + one.length * done // letters
            done += len(piece)
            end = one.start + one.length * done // letters
            if end > begin:
                cues.append(Cue(begin, end, piece))
    return cues


def too_fast(shots: Sequence[Shot]) -> list[tuple[Shot, int]]:
    """Shots whose words have to be read faster than people read, with the words a minute it would take."""
    found = []
    for one in shots:
        pace = round(len(one.said.split()) * 60_000 / one.length)
        if pace > MOST_READ:
            found.append((one, pace))
    return found

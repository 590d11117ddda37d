"""A story as a video: shots, chapters, captions, description, all from what may be told."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from .calc import timeline, webvtt
from .calc.commonmark import plain
from .calc.timeline import Chapter, Shot
from .told import Heading, Line, Told, Words

SHOT_LIST = ("Number", "Clip", "In", "Out", "Length", "In the film", "Said", "Why")
WRONG = {
    "start": "The first chapter has to start at 00:00.",
    "rising": "It has to start after the one before it.",
    "end": "The film is over by then.",
    "time": "A time can’t be read. Write it like 1:10.",
    "order": "It ends before it begins.",
}


@dataclass(frozen=True)
class Video:
    """rows: every told line, with its shot where it has a clip. why: the heading a shot stands under, by piece."""

    rows: list[tuple[Line, Shot | None]]
    shots: list[Shot]
    chapters: list[Chapter]
    why: dict[int, str]
    at: dict[int, datetime]

    @property
    def total(self) -> int:
        return self.shots[-1].end if self.shots else 0

    @property
    def problems(self) -> dict[int, str]:
        """By the number of a heading or of a line."""
        found = {number: WRONG[what] for number, what in timeline.problems(self.chapters, self.total)}
        return found | {shot.piece: WRONG[shot.problem] for shot in self.shots if shot.problem}

    @property
    def too_fast(self) -> list[tuple[Shot, int]]:
        return timeline.too_fast(self.shots)

    def chapter_lines(self) -> str:
        return timeline.as_lines(self.chapters)

    def chapters_vtt(self) -> str:
        return webvtt.write(timeline.as_cues(self.chapters, self.total))

    def captions_vtt(self) -> str:
        return webvtt.write(timeline.captions(self.shots))

    def shot_rows(self, *, as_filmed: bool) -> Iterator[tuple]:
        """In the order of the film, or as they were filmed: by when the line was logged, then by clip and time."""
        shots = list(enumerate(self.shots, 1))
        if as_filmed:
            shots.sort(key=lambda pair: (self.at[pair[1].piece], pair[1].clip, _ms(pair[1].clip_in)))
        for number, shot in shots:
            length = timeline.clock(shot.length) + (" (guessed)" if shot.guessed else "")
            yield (number, shot.clip, shot.clip_in, shot.clip_out, length, timeline.clock(shot.start), shot.said,
                   self.why.get(shot.piece, ""))  # fmt: skip


def _ms(text: str) -> int:
    try:
        return timeline.read_time(text) or 0
    except timeline.Unreadable:
        return 0


def video(told: Told, starts: dict[int, int]) -> Video:
    """`starts`: the seconds a chapter was put at by hand, by its heading's number."""
    lines, under, heads = [], {}, {}
    head: Heading | None = None
    for block in told.blocks:
        if isinstance(block, Heading):
            head = block
        elif isinstance(block, Line):
            lines.append(block)
            if head:
                under[block.piece], heads[head.number] = head.number, head.text
    clips = [line for line in lines if line.clip]
    shots = timeline.in_a_row(
        [timeline.shot(one.piece, one.clip, one.clip_in, one.clip_out, plain(one.said)) for one in clips]
    )
    chapters: list[Chapter] = []
    for shot in shots:
        number = under.get(shot.piece, 0)
        if number in (chapter.number for chapter in chapters):
            continue
        title = plain(heads.get(number, told.title)) or "Start"
        at = starts[number] * 1000 if number in starts else shot.start // 1000 * 1000
        chapters.append(Chapter(number, title, at, shot.start))
    by_piece = {shot.piece: shot for shot in shots}
    return Video(
        rows=[(line, by_piece.get(line.piece)) for line in lines],
        shots=shots,
        chapters=chapters,
        why={piece: heads[number] for piece, number in under.items()},
        at={line.piece: line.at for line in lines},
    )


DESCRIBED = ("Parts used", "Measured and made", "Decided")


def description(told: Told, film: Video) -> str:
    """Plain text for under a video: what it is, chapters, parts, measurements, sources."""
    parts = [told.title, told.summary] if told.summary != told.title else [told.title]
    if film.chapters and not film.problems:
        parts.append(film.chapter_lines().strip())
    blocks = told.blocks
    for head, words in zip(blocks, blocks[1:], strict=False):
        if isinstance(head, Heading) and head.text in DESCRIBED and isinstance(words, Words):
            parts.append(f"{head.text}\n{words.text}")
    if told.sources:
        parts.append("Where ideas came from\n" + "\n".join(f"- {one}" for one in told.sources))
    return plain("\n\n".join(parts)) + "\n"

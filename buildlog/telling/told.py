"""A story as it may be told: plain values, with whatever is held back already gone.

Every page, post, feed and file is made from a Told and from nothing else. What isn't in it can't leak from them.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime

from buildlog.worklog.models import Entry, Kind
from inventory.photos.models import Photo

from . import drafts, holding, queries
from .calc.held import Found, Known, hold_back
from .models import NO_CLIP, Piece, Shape, Story

ALT_LETTERS = 120
LEFT = re.compile(r" (?:[\d.]+ left|None left there)\.$")  # how many lie there still is nobody's business


@dataclass(frozen=True, slots=True)
class Picture:
    """`name`: its file in an export. `src`: where a page finds it."""

    photo: str
    name: str
    alt: str
    caption: str
    width: int
    height: int
    src: str


@dataclass(frozen=True, slots=True)
class Heading:
    number: int
    text: str
    shape = "heading"


@dataclass(frozen=True, slots=True)
class Words:
    """Paragraphs and lists: a line that begins with '- ' is one of a list."""

    text: str
    shape = "words"

    @property
    def parts(self) -> list[tuple[str, list[str]]]:
        """[('p', lines) or ('ul', items)]."""
        parts: list[tuple[str, list[str]]] = []
        for line in self.text.split("\n"):
            kind = "ul" if line.startswith("- ") else "p"
            if not line.strip():
                parts.append(("", []))
            elif parts and parts[-1][0] == kind:
                parts[-1][1].append(line.removeprefix("- ").strip())
            else:
                parts.append((kind, [line.removeprefix("- ").strip()]))
        return [part for part in parts if part[0]]


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the log. `size`: the measure in both systems and how it was taken. `said`: for a video."""

    piece: int
    kind: str
    text: str
    size: str
    who: str
    at: datetime
    pictures: tuple[Picture, ...]
    clip: str = ""
    clip_in: str = ""
    clip_out: str = ""
    said: str = ""
    shape = "line"


@dataclass(frozen=True, slots=True)
class Pair:
    """The same place before and after."""

    text: str
    before: Picture
    after: Picture
    shape = "pair"


Block = Heading | Words | Line | Pair


@dataclass
class Told:
    title: str
    build: str
    author: str
    blocks: list[Block]
    held: list[Found] = field(default_factory=list)
    nights: list[tuple[datetime, datetime | None]] = field(default_factory=list)
    updated: datetime | None = None
    sources: list[str] = field(default_factory=list)

    @property
    def pictures(self) -> list[Picture]:
        found: dict[str, Picture] = {}
        for block in self.blocks:
            some = block.pictures if isinstance(block, Line) else ()
            some = (block.before, block.after) if isinstance(block, Pair) else some
            found |= {picture.photo: picture for picture in some}
        return list(found.values())

    @property
    def held_said(self) -> list[tuple[str, list[str]]]:
        """[('2 prices', [what each was])] for who makes the story; never on a public page."""
        counts = Counter(one.kind for one in self.held)
        return [
            (holding.said(kind, counts[kind]), [one.words for one in self.held if one.kind == kind])
            for kind in holding.LABELS if counts[kind]
        ]  # fmt: skip

    @property
    def summary(self) -> str:
        """The first words of it."""
        first = next((block.text for block in self.blocks if isinstance(block, (Words, Line)) and block.text), "")
        return first.split("\n")[0].removeprefix("- ")[:300]


class Teller:
    """Goes over the pieces and notes what it holds back."""

    def __init__(self, keeps: frozenset[str], known: Known, src: Callable[[Photo], str]):
        self.keeps, self.known, self.src = keeps, known, src
        self.held: list[Found] = []
        self.numbers: dict[str, int] = {}

    def clean(self, text: str) -> str:
        text, found = hold_back(text.strip(), self.known, self.keeps)
        self.held += found
        return text.strip()

    def picture(self, photo: Photo | None, words: str = "") -> Picture | None:
        if photo is None or photo.deleted_at:
            return None
        if not photo.public and "private" not in self.keeps:
            self.held.append(Found("private", f"a photo: {photo}"))
            return None
        number = self.numbers.setdefault(photo.pk.hex, len(self.numbers) + 1)
        caption = self.clean(photo.caption) if photo.caption else ""
        alt = " ".join((caption or words or "Photo").split())[:ALT_LETTERS]
        name = f"{number:03}.webp"
        return Picture(photo.pk.hex, name, alt, caption, photo.width, photo.height, self.src(photo))

    def entry(self, entry: Entry, words: str = "", without: Iterable = ()) -> tuple | None:
        """(text, size, who, pictures) of a line of the log, in other words if there are some; None: it is not told."""
        if entry.struck_at or entry.taken_back:
            return None
        if entry.private and "private" not in self.keeps:
            self.held.append(Found("private", words or str(entry)))
            return None
        text, size = (self.clean(words), "") if words else self._of(entry)
        shown = (self.picture(photo, text) for photo in entry.photos.all() if photo.pk not in without)
        pictures = tuple(filter(None, shown))
        if not (text or size or pictures):
            return None
        return text, size, entry.by.name if entry.by and "person" in self.keeps else "", pictures

    def line(self, row: Piece) -> Line | None:
        entry = row.entry
        said = self.entry(entry, row.text, {photo.pk for photo in row.photos_out.all()})
        if said is None:
            return None
        text, size, who, pictures = said
        clipped = bool(row.clip or row.clip_in or row.clip_out)
        clip, *times = (row.clip, row.clip_in, row.clip_out) if clipped else (entry.clip, entry.clip_in, entry.clip_out)
        clip = "" if clip == NO_CLIP else clip
        own = row.said or ((reading := entry.reading) and reading.words)
        said = self.clean(own) if own else text
        return Line(row.pk, entry.kind, text, size, who, entry.at, pictures, self.clean(clip), *times, said)

    def _of(self, entry: Entry) -> tuple[str, str]:
        """The entry's own words, and its size."""
        if reading := entry.reading:
            if reading.label or reading.words == reading.own:
                sizes = f"{reading.own} ({reading.other})"
                return self.clean(reading.label), ", ".join(filter(None, (sizes, reading.known)))
            return self.clean(reading.words), ", ".join(filter(None, (reading.other, reading.known)))
        return self.clean(" ".join(filter(None, (self._says(entry), entry.text)))), ""

    def _says(self, entry: Entry) -> str:
        """What the program wrote, without where the parts lay: a place may be called by one letter."""
        if entry.kind != Kind.PART or not entry.batch_id:
            return entry.says
        says = LEFT.sub("", entry.says)
        if "address" not in self.keeps:
            moves = list(entry.batch.moves.all())
            for place in {place for move in moves for place in (move.source, move.target) if place}:
                for word in ("from", "to", "in"):
                    if f" {word} {place}" in says:
                        says = says.replace(f" {word} {place}", "")
                        if not place.is_vehicle:
                            self.held.append(Found("address", str(place)))
        return says


def own_words(entry: Entry) -> str:
    """What a line says while the story is arranged, with nothing held back."""
    if reading := entry.reading:
        return reading.words
    return str(entry)


def tell(story: Story, *, src: Callable[[Photo], str] = lambda photo: "", rows: Iterable[Piece] | None = None) -> Told:
    """The story with everything held back that is not ticked. A fixed number of statements, whatever its length."""
    rows = list(queries.pieces(story) if rows is None else rows)
    teller, given = Teller(story.keeps, holding.known(story.build), src), drafts.source(story, rows)
    blocks: list[Block] = []
    for row in rows:
        if row.left_out:
            continue
        if row.shape == Shape.LINE:
            block = teller.line(row)
        elif row.shape == Shape.HEADING:
            block = Heading(row.pk, teller.clean(row.text)) if row.text.strip() else None
        elif row.shape == Shape.PAIR:
            before, after = teller.picture(row.before), teller.picture(row.after)
            block = Pair(teller.clean(row.text), before, after) if before and after else None
        else:
            block = _words(row, teller, given)
            if row.drafts and block:
                blocks.append(Heading(row.pk, drafts.TITLES[row.drafts]))
        if block:
            blocks.append(block)
    return Told(
        title=teller.clean(story.title),
        build=teller.clean(story.build.name),
        author=story.by.name if story.by and "person" in story.keeps else teller.clean(story.build.name),
        blocks=without_empty(blocks),
        held=teller.held,
        nights=[(night.started_at, night.ended_at) for night in given.sessions],
        updated=story.changed_at,
        sources=[teller.clean(one) for one in drafts.sources(given)],
    )


def _words(row: Piece, teller: Teller, given: drafts.Source) -> Words | None:
    if row.drafts == "cost" and "price" not in teller.keeps:
        return None
    text = teller.clean(row.text or (drafts.words(row.drafts, given) if row.drafts else ""))
    return Words(text) if text else None


def without_empty(blocks: list[Block]) -> list[Block]:
    """Headings under which nothing is left are left out."""
    kept: list[Block] = []
    for block in blocks:
        if kept and isinstance(block, Heading) and isinstance(kept[-1], Heading):
            kept.pop()
        kept.append(block)
    if kept and isinstance(kept[-1], Heading):
        kept.pop()
    return kept

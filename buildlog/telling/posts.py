"""A story as files: CommonMark, a clean page, pictures; several as a folder of pages with a feed. In a zip."""

import dataclasses
import re
import tempfile
import unicodedata
import uuid
import zipfile
from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from django.conf import settings
from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.formats import date_format

from buildlog.builds.models import Build
from inventory.photos import files

from .calc import atom
from .calc import commonmark as md
from .models import Story
from .told import Heading, Line, Pair, Picture, Told, Words, tell

PICTURES = "pictures"
FEED = "feed.atom"
STYLE, SCRIPT = "story.css", "story.js"


def slug(title: str, number: int) -> str:
    """A folder or file name of letters, figures and dashes, whatever the title holds."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60] or f"story-{number}"


def told_for_files(story: Story, base: str = "") -> Told:
    """With pictures in a folder beside the page; `base`: an absolute address before it, for a feed."""
    told = tell(story)
    return with_sources(told, lambda picture: f"{base}{PICTURES}/{picture.name}")


def with_sources(told: Told, src) -> Told:
    """The same with the picture addresses of another place."""

    def one(picture: Picture) -> Picture:
        return dataclasses.replace(picture, src=src(picture))

    def moved(block):
        if isinstance(block, Line):
            return dataclasses.replace(block, pictures=tuple(map(one, block.pictures)))
        if isinstance(block, Pair):
            return dataclasses.replace(block, before=one(block.before), after=one(block.after))
        return block

    return dataclasses.replace(told, blocks=[moved(block) for block in told.blocks])


def when(told: Told) -> str:
    """'3 November 2025 to 7 November 2025'."""
    days = [date_format(timezone.localtime(begin), "j F Y") for begin, _ in told.nights]
    return " to ".join(dict.fromkeys((days[0], days[-1]))) if days else ""


def as_commonmark(told: Told) -> str:
    """The post. Nothing in it is markup but what is put there here."""
    parts = [md.heading(1, told.title)]
    if dates := when(told):
        parts.append(md.inline(f"{told.build}, {dates}"))
    for block in told.blocks:
        if isinstance(block, Heading):
            parts.append(md.heading(2, block.text))
        elif isinstance(block, Words):
            for kind, some in block.parts:
                parts.append("\n".join(map(md.bullet, some)) if kind == "ul" else md.lines("\n".join(some)))
        elif isinstance(block, Line):
            parts += _line(block)
        else:
            parts += [md.image(f"Before: {block.before.alt}", block.before.src), md.lines(block.before.caption)]
            parts += [md.image(f"After: {block.after.alt}", block.after.src), md.lines(block.after.caption)]
            parts.append(md.lines(block.text))
    return "\n\n".join(filter(None, parts)) + "\n"


def _line(block: Line) -> Iterable[str]:
    words = md.lines(block.text)
    if block.size:
        words = f"{words} **{md.inline(block.size)}**".strip()
    if block.kind == "snag" and words:
        words = f"**Snag.** {words}"
    if block.who:
        words = f"{words} ({md.inline(block.who)})"
    yield words
    for picture in block.pictures:
        yield md.image(picture.alt, picture.src)
        yield md.lines(picture.caption)


def as_page(told: Told, *, up: str = "", feed: str = "") -> str:
    """A whole HTML page that needs nothing but the files beside it. `up`: the way to the style from there."""
    context = {"told": told, "when": when(told), "style": f"{up}{STYLE}", "script": f"{up}{SCRIPT}", "feed": feed}
    return md.plain(render_to_string("buildlog/telling/page.html", context))


def as_fragment(told: Told) -> str:
    """The story's body alone, for the content of a feed."""
    return md.plain(render_to_string("buildlog/telling/_told.html", {"told": told})).strip()


class Archive:
    """A zip on the disk: pictures of any number go through it one at a time."""

    def __init__(self):
        folder = Path(settings.DATA_DIR)
        folder.mkdir(parents=True, exist_ok=True)
        self.file: BinaryIO = tempfile.TemporaryFile(dir=folder)  # noqa: SIM115  the answer closes it
        self.zip = zipfile.ZipFile(self.file, "w", zipfile.ZIP_DEFLATED)

    def text(self, name: str, text: str) -> None:
        self.zip.writestr(name, text.encode())

    def pictures(self, folder: str, told: Told) -> None:
        """Web sizes as the shop keeps them: at most 1600 pixels, and nothing of where they were taken."""
        for picture in told.pictures:
            try:
                data = files.path_of(uuid.UUID(picture.photo), "large").read_bytes()
            except OSError:
                continue
            entry = zipfile.ZipInfo(f"{folder}{PICTURES}/{picture.name}", timezone.localtime().timetuple()[:6])
            self.zip.writestr(entry, data, zipfile.ZIP_STORED)

    def dress(self, folder: str = "") -> None:
        for name in (STYLE, SCRIPT):
            kind = name.rpartition(".")[2]
            self.text(f"{folder}{name}", Path(finders.find(f"{kind}/{name}")).read_text())

    def done(self) -> BinaryIO:
        self.zip.close()
        self.file.seek(0)
        return self.file


def post(story: Story) -> BinaryIO:
    """story.md, story.html and pictures/ in one folder."""
    told, archive = told_for_files(story), Archive()
    folder = f"{slug(told.title, story.pk)}/"
    archive.text(f"{folder}story.md", as_commonmark(told))
    archive.text(f"{folder}story.html", as_page(told))
    archive.dress(folder)
    archive.pictures(folder, told)
    return archive.done()


def site(build: Build, stories: Sequence[Story], base: str) -> BinaryIO:
    """A folder of pages that any web host can serve: a list, a page a story, a feed. `base`: where it will be."""
    archive, rows, base = Archive(), [], f"{base.rstrip('/')}/"
    taken: set[str] = set()
    for story in stories:
        told = told_for_files(story)
        name = slug(told.title, story.pk)
        name = f"{name}-{story.pk}" if name in taken else name
        taken.add(name)
        archive.text(f"{name}/index.html", as_page(told, up="../", feed=f"../{FEED}"))
        archive.pictures(f"{name}/", told)
        rows.append((story, told, name))
    archive.text("index.html", _front(_name(build, rows), rows))
    archive.text(FEED, feed_of(build, rows, base))
    archive.dress()
    return archive.done()


def _name(build: Build, rows) -> str:
    """The build's name as the most careful of the stories says it: the front page is read beside each of them."""
    return next((told.build for _, told, _ in rows if told.build != build.name), build.name)


def _front(name: str, rows) -> str:
    listed = [(told, f"{folder}/index.html", when(told)) for _, told, folder in rows]
    context = {"build": name, "rows": listed, "style": STYLE, "feed": FEED}
    return md.plain(render_to_string("buildlog/telling/front.html", context))


def feed_of(build: Build, rows: Sequence[tuple[Story, Told, str]], base: str) -> str:
    entries = [
        atom.Entry(
            id=story.uid.urn,
            title=md.plain(told.title),
            updated=story.changed_at,
            published=story.at,
            author=md.plain(told.author),
            summary=md.plain(told.summary),
            content=as_fragment(
                with_sources(told, lambda picture, name=name: f"{base}{name}/{PICTURES}/{picture.name}")
            ),
            link=f"{base}{name}/",
        )
        for story, told, name in sorted(rows, key=lambda row: row[0].changed_at, reverse=True)
    ]
    name = md.plain(_name(build, rows))
    return atom.feed(
        id=_feed_id(build), title=name, author=name, home=base, itself=f"{base}{FEED}", entries=entries,
        empty=build.created_at,
    )  # fmt: skip


def _feed_id(build: Build) -> str:
    """The same for ever: made of when the build was added, which never changes."""
    made: datetime = build.created_at
    return uuid.uuid5(uuid.NAMESPACE_OID, f"gusset build {made.isoformat()}").urn

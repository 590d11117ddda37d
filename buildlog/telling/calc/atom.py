"""An Atom feed (RFC 4287): one id, title and updated for the feed and for each entry, an author, content, links.

Ids are permanent (section 4.2.6): they don't change when a story is edited or put elsewhere. Times are RFC 3339.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from xml.etree import ElementTree as xml

ATOM = "http://www.w3.org/2005/Atom"
MEDIA_TYPE = "application/atom+xml"


@dataclass(frozen=True, slots=True)
class Entry:
    """content: HTML as text. link: where the story is read, absolute."""

    id: str
    title: str
    updated: datetime
    published: datetime
    author: str
    summary: str
    content: str
    link: str


def stamp(moment: datetime) -> str:
    """RFC 3339 in UTC with whole seconds: 2026-11-25T09:00:00Z. Raises ValueError for a time without a zone."""
    if moment.tzinfo is None:
        raise ValueError(moment)
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def feed(*, id: str, title: str, author: str, home: str, itself: str, entries: Sequence[Entry], empty: datetime) -> str:
    """The document. home, itself: absolute addresses of the pages and of the feed. empty: when nothing is in it."""
    xml.register_namespace("", ATOM)
    root = xml.Element(f"{{{ATOM}}}feed")

    def add(parent, name: str, text: str = "", **attributes):
        element = xml.SubElement(parent, f"{{{ATOM}}}{name}", attributes)
        element.text = text or None
        return element

    add(root, "id", id)
    add(root, "title", title)
    add(root, "updated", stamp(max((entry.updated for entry in entries), default=empty)))
    add(add(root, "author"), "name", author)
    add(root, "link", rel="alternate", type="text/html", href=home)
    add(root, "link", rel="self", type=MEDIA_TYPE, href=itself)
    for entry in entries:
        one = add(root, "entry")
        add(one, "id", entry.id)
        add(one, "title", entry.title)
        add(one, "updated", stamp(entry.updated))
        add(one, "published", stamp(entry.published))
        add(add(one, "author"), "name", entry.author)
        add(one, "link", rel="alternate", type="text/html", href=entry.link)
        if entry.summary:
            add(one, "summary", entry.summary, type="text")
        add(one, "content", entry.content, type="html")
    return '<?xml version="1.0" encoding="utf-8"?>\n' + xml.tostring(root, encoding="unicode")

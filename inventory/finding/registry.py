"""What can be found. A feature puts its own kind of thing here when the apps load; finding knows none by name.

An upper app adds, say, log entries:

    registry.add(Source(kind="entry", ids=..., documents=..., cards=..., template="buildlog/.../found.html",
                        watches=(Watch("buildlog_entry", "INSERT", "SELECT 'entry', NEW.id"), ...)))

and a feature that gives things codes (labels) adds those to the codes a thing is found by:

    registry.add_codes("place", provider, watches)      provider(ids) -> {id: [code, ...]}
"""

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Watch:
    """A change of a table after which documents must be written anew.

    `on`: INSERT, DELETE or UPDATE OF columns. `marks`: a SELECT of (kind, id) of what to write anew, with NEW and OLD
    as in a trigger. `when`: the trigger's condition. All plain SQL that SQLite and PostgreSQL both read.
    """

    table: str
    on: str
    marks: str
    when: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """A document to be written: the folded fields by name, and for places the way down."""

    ref: int
    fields: dict[str, str]
    way: str = ""


@dataclass(frozen=True, slots=True)
class Source:
    """A kind of thing: all its ids, its documents, what a page shows of some, the template of one answer.

    `listing`: (words on a button, name of an address) of a page of its own that takes ?q= and shows more of them.
    """

    kind: str
    ids: Callable[[], Iterable[int]]
    documents: Callable[[Collection[int]], Iterable[Entry]]
    cards: Callable[[Collection[int]], dict[int, Any]]
    template: str
    watches: tuple[Watch, ...] = ()
    listing: tuple[str, str] = ("", "")


_sources: dict[str, Source] = {}
_codes: dict[str, list[tuple[Callable, tuple[Watch, ...]]]] = {}


def add(source: Source) -> None:
    _sources[source.kind] = source


def add_codes(kind: str, provider: Callable[[Collection[int]], dict[int, list[str]]], watches=()) -> None:
    """More codes by which things of this kind are found, before their names."""
    if all(known is not provider for known, _ in _codes.get(kind, [])):
        _codes.setdefault(kind, []).append((provider, tuple(watches)))


def sources() -> dict[str, Source]:
    return dict(_sources)


def listings() -> list[tuple[str, str]]:
    return [source.listing for source in _sources.values() if source.listing[1]]


def codes_of(kind: str, ids: Collection[int]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    for provider, _ in _codes.get(kind, []):
        for number, codes in provider(ids).items():
            found.setdefault(number, []).extend(codes)
    return found


def watches() -> list[Watch]:
    """Every watch there is, in the order things were added."""
    found = [watch for source in _sources.values() for watch in source.watches]
    return found + [watch for several in _codes.values() for _, some in several for watch in some]

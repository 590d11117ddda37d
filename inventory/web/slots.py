"""Slots: places where a lower page shows, or reckons with, facts that an upper feature knows.

A feature fills a slot when the apps load; the page that offers the slot knows nothing of who fills it.

Pages:   fill("part_page", provider)      provider(request, part) -> list of Panel
Numbers: fill("spoken_for", provider)     provider(part_ids) -> {part_id: Decimal}
"""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

_filled: dict[str, list[Callable]] = defaultdict(list)

# Every slot there is, and what its provider is called with.
SLOTS = {
    "part_page": "(request, part) -> list[Panel]",
    "place_page": "(request, location) -> list[Panel]",
    "in_cells": "(holder) -> {place_id: Inside}: what the drawers of a cabinet hold, in short",
    "scan_page": "(request, None) -> list[Panel]",
    "pictures": "(kind, ids) -> {id: Picture}, kind is 'part' or 'place'",
    "photo_page": "(request, photo) -> list[Panel]",
    "spoken_for": "(part_ids) -> {part_id: Decimal}",
    "wanted": "() -> list[Wish]: parts that open tasks use and nobody has on hand",
    "taken_out": "(batch, line) -> None: after something left a place, in the same transaction",
    "undone": "(batch) -> None, or a sentence that says what of it stays: after it was undone, in the same transaction",
    "merged": "(keep, drop) -> None: after two parts turned out to be one, in the same transaction",
    "decided": "(decision, by) -> None, or a sentence to say to it: a question was decided or opened again",
    "marked": "(task, verb, change, words) -> None: a task was started, finished and so on, in the same transaction",
    "front_page": "(request) -> address or None: where / leads",
    "task_page": "(request, task) -> list[Panel]",
    "every_page": "() -> template: what it adds to the head of each page",
    "demo": "(owner) -> None: adds its part of the demo shop",
    "demo_remove": "() -> None: takes it away again, before the things it stands on",
}


@dataclass(frozen=True, slots=True)
class Panel:
    """A heading and a template for a page's slot."""

    title: str
    template: str
    context: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Inside:
    """What a drawer holds, a line a thing; `low` where what belongs in it runs out, `there` when it has any."""

    lines: tuple[str, ...]
    low: bool = False
    there: bool = True


@dataclass(frozen=True, slots=True)
class Wish:
    """So many of something that is wanted and not on hand; `part_id` where the list of parts knows it."""

    what: str
    quantity: Decimal
    why: str = ""
    side: str = ""
    part_id: int | None = None


def fill(slot: str, provider: Callable) -> None:
    if slot not in SLOTS:
        raise LookupError(f"No slot called {slot}; there are {', '.join(SLOTS)}.")
    if provider not in _filled[slot]:
        _filled[slot].append(provider)


def providers(slot: str) -> list[Callable]:
    return list(_filled[slot])


def tell(slot: str, *news) -> list[str]:
    """Call whoever filled the slot. Answers what they had to say to it."""
    return [said for provider in _filled[slot] if (said := provider(*news))]


def wanted() -> list[Wish]:
    """What open tasks are short of."""
    return [wish for provider in _filled["wanted"] for wish in provider()]


def heads() -> list[str]:
    """Templates for the head of every page."""
    return [provider() for provider in _filled["every_page"]]


def panels(slot: str, request, thing) -> list[Panel]:
    return [panel for provider in _filled[slot] for panel in provider(request, thing)]


def spoken_for(part_ids) -> dict[int, Decimal]:
    """How many of each part open tasks have claimed; a part nobody claims is not in it."""
    total: dict[int, Decimal] = defaultdict(Decimal)
    for provider in _filled["spoken_for"]:
        for part_id, quantity in provider(part_ids).items():
            total[part_id] += quantity
    return dict(total)


def in_cells(holder) -> dict[int, Inside]:
    return {number: inside for provider in _filled["in_cells"] for number, inside in provider(holder).items()}


def pictures(kind: str, ids) -> dict[int, Any]:
    """The cover picture of each part or place that has one."""
    found: dict[int, Any] = {}
    for provider in _filled["pictures"]:
        found.update(provider(kind, ids))
    return found

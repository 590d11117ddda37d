"""Reads that the pages of bringing a list in share."""

from dataclasses import replace

from django.db.models import Count, Max

from inventory.parts.models import Batch, Part
from inventory.places.models import Location

from .calc.columns import Column
from .models import HeadingMemory, Import, key_of


def earlier():
    """Lists that are in, or wait, the newest first."""
    return Import.objects.select_related("batch", "batch__undone_by", "by")


def remembered(headings) -> list[str] | None:
    """What the columns under these headings held the last time. A list without headings is not remembered."""
    memory = HeadingMemory.objects.filter(key=key_of(headings)).first() if any(headings) else None
    return memory.columns if memory and len(memory.columns) == len(headings) else None


def when_remembered(headings):
    memory = HeadingMemory.objects.filter(key=key_of(headings)).first() if any(headings) else None
    return memory.at if memory else None


def with_kept(guessed: tuple[Column, ...], kept: list[str]) -> tuple[Column, ...]:
    """The columns with what was said of them before, instead of what was guessed."""
    if len(kept) != len(guessed):
        return guessed
    return tuple(replace(column, field=field) for column, field in zip(guessed, kept, strict=True))


def newest() -> tuple:
    """Changes whenever a part, a place or a move comes into the shop."""
    parts = Part.objects.current().aggregate(n=Count("pk"), last=Max("pk"))
    places = Location.objects.current().aggregate(n=Count("pk"), last=Max("pk"))
    return (*parts.values(), *places.values(), Batch.objects.count())

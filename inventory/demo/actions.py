"""The demo shop: a yard, a container, two cabinets, two donors, a van being built, and some 300 parts. In and out."""

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from itertools import cycle
from random import Random

from django.db import models, transaction
from django.utils import timezone

from inventory.labels import actions as labels
from inventory.parts.actions import ARRIVES_AS
from inventory.parts.ledger import Line, record
from inventory.parts.models import Batch, Counted, Holding, Move, Origin, Part, Unit
from inventory.people.models import Person
from inventory.photos import actions as photos
from inventory.places.models import Location, LocationChange
from inventory.web import slots

from . import contents, pictures
from .models import DemoThing
from .places import Places, make_places

UNITS = {"metres": Unit.METRES, "litres": Unit.LITRES, "kilograms": Unit.KILOGRAMS}


class NotEmpty(Exception):
    """The demo shop is only loaded into an empty one."""


def is_loaded() -> bool:
    return DemoThing.objects.exists()


def is_empty() -> bool:
    return not (Location.objects.exists() or Part.objects.exists())


@transaction.atomic
def load(*, owner: Person | None) -> int:
    """Fill an empty shop with the demo. Returns how many parts it has. Raises NotEmpty."""
    if not is_empty():
        raise NotEmpty
    places = make_places()
    DemoThing.mark(*places.all)
    stock = list(_stock(places))
    Part.objects.bulk_create([part for part, *_ in stock])
    DemoThing.mark(*(part for part, *_ in stock))
    _receive(stock, owner)
    _take_pictures([part for part, *_ in stock], owner)
    for provider in slots.providers("demo"):
        provider(owner)
    return Part.objects.count()


def _stock(places: Places) -> Iterator[tuple[Part, Decimal, Location]]:
    """Every part of the demo, unsaved, with how many and where."""
    chance = Random(1964)  # noqa: S311 (the same shop each time; nothing secret)
    bins = cycle(places.bins)
    for _, lines in contents.AREAS:
        home = next(bins)
        for number, line in enumerate(filter(None, map(str.strip, lines.splitlines()))):
            if number % 4 == 3:
                home = next(bins)
            for part, quantity in _from_line(line, places, chance):
                yield part, quantity, home
    drawers = iter(places.drawers)
    for name, other, quantity in _hardware(chance):
        yield Part(name=name, other_names=other, origin=Origin.BOUGHT, keep_at_least=12), quantity, next(drawers)
    for donor, name, other, quantity in contents.ON_DONORS:
        vehicle = places.donors[donor]
        yield Part(name=name, other_names=other, origin=Origin.PULLED, donor=vehicle), Decimal(quantity), vehicle


def _from_line(line: str, places: Places, chance: Random) -> Iterator[tuple[Part, Decimal]]:
    name, other, number, quantity, condition, origin, note = (piece.strip() for piece in line.split("|"))
    unit = UNITS.get(note, Unit.PIECES)
    for side in ("left", "right") if name.endswith(" L/R") else ("",):
        part = Part(
            name=f"{name.removesuffix(' L/R')}, {side}" if side else name,
            side=side,
            other_names=other,
            part_numbers=f"{number}-{side[0].upper()}" if number and side else number,
            condition=condition or "good",
            origin=origin or Origin.FOUND,
            donor=chance.choice(list(places.donors.values())) if origin == Origin.PULLED else None,
            unit=unit,
            note="" if unit != Unit.PIECES else note,
            keep_at_least=Decimal(2) if name in {"Gas strut", "Wire 2.5 mm2, red"} else Decimal(0),
        )
        yield part, Decimal(quantity or "1")


def _hardware(chance: Random) -> Iterator[tuple[str, str, Decimal]]:
    for size, length in contents.METRIC:
        yield f"{size}×{length} hex bolt, 8.8 zinc", "screw", Decimal(chance.randint(4, 60))
    for size, length in contents.INCH:
        yield f"{size} × {length} hex bolt, grade 5", "screw", Decimal(chance.randint(4, 40))
    for pattern, sizes in contents.SMALL:
        for size in sizes:
            yield pattern.format(size), "", Decimal(chance.randint(10, 120))


def _receive(stock, owner: Person | None) -> None:
    """The parts arrive in batches over the last two winters, a few each night."""
    now = timezone.now()
    there = [row for row in stock if row[1]]
    for start in range(0, len(there), 12):
        some = there[start : start + 12]
        lines = [Line(part, quantity, None, place, ARRIVES_AS[Origin(part.origin)]) for part, quantity, place in some]
        record(
            lines=lines,
            what=f"Put {len(lines)} kinds of part away",
            by=owner,
            at=now - timedelta(days=700) + timedelta(days=2 * start),
        )


def _take_pictures(parts: list[Part], owner: Person | None) -> None:
    """The odd parts were photographed when they came in; their pictures go with them."""
    drawn = {motif: pictures.draw(motif) for motif in pictures.MOTIFS}
    for part in parts:
        if motif := pictures.motif_of(part.name):
            photos.add(data=drawn[motif], by=owner, part=part, name=f"{part.name}.jpg")


@transaction.atomic
def remove() -> None:
    """Take the demo away. What the shop added itself stays, with the places it lies in."""
    for provider in slots.providers("demo_remove"):
        provider()
    parts = DemoThing.numbers(Part)
    Holding.objects.filter(part__in=parts).delete()
    moves = Move.objects.filter(part__in=parts)
    moves.exclude(reverses=None).delete()
    moves.delete()
    Counted.objects.filter(part__in=parts).delete()
    emptied = Batch.objects.filter(moves=None, counted=None)
    _delete_free(emptied.exclude(undoes=None))
    _delete_free(emptied)
    _take_away(Part.objects.filter(pk__in=parts, merged_from=None))
    places = Location.objects.filter(pk__in=DemoThing.numbers(Location))
    LocationChange.objects.filter(location__in=places).delete()
    # From the leaves up: a place goes when nothing of the shop's own stands in it or ever passed through it.
    while _take_away(places.filter(_nothing_there())):
        pass
    DemoThing.objects.all().delete()


def _take_away(things: models.QuerySet) -> int:
    """Photos and labels were tried on the demo: those photos go with it, and those stickers are blank again."""
    gone = things.model.objects.filter(pk__in=list(things.values_list("pk", flat=True)))
    photos.let_go(things=gone)
    labels.let_go(things=gone)
    return _delete_free(gone)


def _delete_free(rows: models.QuerySet) -> int:
    """Deletes the rows, but for those that something of the shop's own stands on. Returns how many went."""
    while True:
        try:
            with transaction.atomic():
                return rows.delete()[0]
        except models.ProtectedError as kept:
            held = {
                getattr(row, field.attname)
                for row in kept.protected_objects
                for field in row._meta.concrete_fields
                if field.related_model is rows.model
            }
            rows = rows.exclude(pk__in=held - {None})


def _nothing_there() -> models.Q:
    return models.Q(children=None, moves_in=None, moves_out=None, parts_from_here=None)

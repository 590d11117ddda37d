"""Shops of 1 k, 10 k and 100 k parts to measure in: made once, kept under the data folder."""

import sys
import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from random import Random

from django.conf import settings
from django.core.management import call_command
from django.db import connection, connections
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from inventory.finding import index
from inventory.parts import audit
from inventory.parts.models import Batch, Move, Part
from inventory.people.models import Person
from inventory.places.actions import add_place
from inventory.places.models import Location

WORDS = """hinge bracket panel seal strap clip lamp hose cable pump rail frame plate cover spring lever catch gasket
    arm rod bush pin shaft drum shoe pipe valve switch coil motor glass handle lock runner bolt nut washer trim
    badge wheel""".split()  # noqa: SIM905 (a column of words reads better than a column of quotes)
OF = """hatch door bonnet cab rear front floor roof wing brake clutch heater radiator fuel seat window oven
    counter""".split()  # noqa: SIM905
MOVES_A_PART = 5
OWNER, PASSWORD = "Olga", "a long cold barn night"  # of invented shops that hold nothing


@dataclass
class Shop:
    """A filled shop and a browser that is signed in to it."""

    parts: int
    client: Client
    owner: Person


def file_of(parts: int) -> Path:
    return Path(settings.DATA_DIR) / "bench" / f"shop-{parts}.sqlite3"


def open_shop(parts: int, say: Callable[[str], object] = sys.stderr.write) -> Shop:
    """The shop of this size, made now when it isn't there yet; signed in to as people are, on a device of theirs."""
    path = file_of(parts)
    path.parent.mkdir(parents=True, exist_ok=True)
    connection.close()
    connections.databases["default"]["NAME"] = str(path)
    connections["default"].settings_dict["NAME"] = str(path)
    call_command("migrate", verbosity=0)
    if Part.objects.count() < parts:
        say(f"making a shop of {parts:,} parts …\n")
        _fill(parts)
    owner = Person.objects.get(name=OWNER)
    client = Client()
    client.post(reverse("inventory:people_login"), {"username": OWNER, "password": PASSWORD})
    return Shop(parts, client, owner)


def _fill(parts: int) -> None:
    chance = Random(parts)  # noqa: S311
    owner = Person.objects.create_user(OWNER, PASSWORD, role="owner")
    bins = list(_bins(max(1, parts // 400)))
    now = timezone.now()
    for start in range(0, parts, 5000):
        made = Part.objects.bulk_create(
            [
                Part(
                    name=f"{chance.choice(OF).capitalize()} {chance.choice(WORDS)} {number}",
                    part_numbers=f"{chance.randint(10, 99)}-{chance.randint(1000, 9999)}-{number % 10}",
                    side=chance.choice(["", "", "left", "right"]),
                    origin=chance.choice(["bought", "made", "pulled", "found"]),
                    condition=chance.choice(["good", "good", "repairable", "pattern"]),
                )
                for number in range(start, min(start + 5000, parts))
            ]
        )
        _moves(made, bins, owner, now, chance)
    audit.rebuild()
    index.rebuild()
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")  # so that no measure reads through a log as large as the shop


def _bins(racks: int) -> Iterator[Location]:
    """Racks of 3 shelves of 8 bins, in containers of 4 racks."""
    container = None
    for number in range(racks):
        if number % 4 == 0:
            container = add_place(kind="container", name=f"Container {number // 4 + 1}", short=f"C{number // 4 + 1}")
        rack = add_place(kind="rack", short="LRBF"[number % 4], parent=container, rows=3, cols=1)
        for shelf in range(3):
            row = add_place(kind="shelf", short=str(shelf + 1), parent=rack, row=shelf, col=0, rows=1, cols=8)
            for col in range(8):
                yield add_place(kind="bin", short=f"{shelf * 8 + col + 1:02}", parent=row, row=0, col=col)


def _moves(parts: list[Part], bins: list[Location], owner: Person, now, chance: Random) -> None:
    batches, moves = [], []
    for part in parts:
        where = None
        for turn in range(MOVES_A_PART):
            target = chance.choice([place for place in chance.sample(bins, min(3, len(bins))) if place != where])
            at = now - timedelta(days=chance.randint(0, 700), hours=turn)
            batch = Batch(id=uuid.UUID(int=chance.getrandbits(128)), what=f"Moved {part.name}", by=owner, at=at)
            batches.append(batch)
            moves.append(
                Move(batch=batch, part=part, quantity=Decimal(4), source=where, target=target, by=owner, at=at,
                     reason="moved" if where else "received")
            )  # fmt: skip
            where = target
    Batch.objects.bulk_create(batches, batch_size=2000)
    Move.objects.bulk_create(moves, batch_size=2000)

"""A log of many nights to measure in: sessions, lines and photos in bulk, made once in a shop of its own."""

import sys
import uuid
from datetime import timedelta
from random import Random

from django.utils import timezone

from buildlog.builds.actions import add_area, add_build
from buildlog.builds.models import Build
from buildlog.tasks.models import Task
from buildlog.worklog.models import Entry, TaskTime, WorkSession
from inventory.finding import index
from inventory.people.models import Person
from inventory.photos.models import Photo

from .shop import OF, WORDS, Shop, open_shop

LINES_A_NIGHT, PHOTOS_A_NIGHT, TASKS = 30, 10, 130
MEASURE = {"kind": "measure", "measured": "43 5/16", "unit": "in", "how": "tape"}
PARTS = {2000: 40, 3: 41}  # nights: how many parts the shop of that many nights has, by which its file is known


def open_log(nights: int) -> Shop:
    """A shop with so many nights of 30 lines and 10 photos each, the last one running."""
    shop = open_shop(PARTS[nights])
    if not Build.objects.exists():
        sys.stderr.write(f"making a log of {nights:,} nights …\n")
        _fill(nights, shop.owner)
        index.refresh()
    running = WorkSession.objects.running().first()
    # As if it had been going on until now; a night of last week would be offered to be stopped.
    WorkSession.objects.filter(pk=running.pk).update(started_at=timezone.now() - timedelta(hours=2))
    running.entries.update(at=timezone.now() - timedelta(minutes=5))
    return shop


def _fill(nights: int, owner: Person) -> None:
    chance = Random(nights)  # noqa: S311
    build = add_build(code="HB-64", name="Bakery van")
    areas = [add_area(build=build, name=f"{name.capitalize()} area") for name in OF[:8]]
    tasks = Task.objects.bulk_create(
        [
            Task(build=build, area=areas[n % 8], title=f"{_words(chance, 3)} {n}".capitalize(), order=n)
            for n in range(TASKS)
        ]
    )
    first = timezone.now() - timedelta(days=nights)
    sessions = WorkSession.objects.bulk_create(
        [
            WorkSession(
                build=build, number=n + 1, started_at=first + timedelta(days=n), stopping_point=_words(chance, 8),
                ended_at=first + timedelta(days=n, hours=3) if n + 1 < nights else None,
            )
            for n in range(nights)
        ]
    )  # fmt: skip
    WorkSession.people.through.objects.bulk_create(
        [WorkSession.people.through(worksession=session, person=owner) for session in sessions], batch_size=400
    )
    TaskTime.objects.bulk_create(
        [TaskTime(session=session, task=task, minutes=60) for session in sessions for task in chance.sample(tasks, 3)],
        batch_size=400,
    )
    entries = Entry.objects.bulk_create(
        [
            Entry(session=session, by=owner, task=chance.choice(tasks), text=_words(chance, 14),
                  at=session.started_at + timedelta(minutes=6 * n), **(MEASURE if n % 6 == 5 else {}))
            for session in sessions
            for n in range(LINES_A_NIGHT)
        ],
        batch_size=400,
    )  # fmt: skip
    photos = Photo.objects.bulk_create(
        [Photo(id=uuid.UUID(int=chance.getrandbits(128)), width=1600, height=1200, sha256="", by=owner)
         for _ in range(nights * PHOTOS_A_NIGHT)],
        batch_size=400,
    )  # fmt: skip
    shown = zip(entries[:: LINES_A_NIGHT // PHOTOS_A_NIGHT], photos, strict=True)
    Entry.photos.through.objects.bulk_create(
        [Entry.photos.through(entry=entry, photo=photo) for entry, photo in shown], batch_size=400
    )


def _words(chance: Random, count: int) -> str:
    return " ".join(chance.choice(OF if n % 2 else WORDS) for n in range(count))

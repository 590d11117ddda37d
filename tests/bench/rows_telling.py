"""The record of a build of 200 nights and 800 photos: how much memory and how large a file, beside what they may be."""

import multiprocessing
import resource
import shutil
import tempfile
import time
from datetime import timedelta
from pathlib import Path
from random import Random

from django.conf import settings
from django.db import connection, transaction
from django.test.utils import override_settings
from django.utils import timezone
from PIL import Image

from buildlog.builds.actions import add_build
from buildlog.builds.models import Build
from buildlog.telling import record_pdf
from buildlog.telling.models import RecordRun
from buildlog.worklog.models import Entry, WorkSession
from inventory.photos import files
from inventory.photos.models import Photo

from .rows import Row, row

NIGHTS, PHOTOS, LINES = 200, 800, 8
MOST_MEMORY, MOST_FILE = 1000, 80  # MB
WORDS = ("shim", "the left hinge", "weld", "after", "the last pass", "frame", "square", "one millimetre", "now", "dry")


@row("record", once=True)
def whole_record(shop):
    """In a process of its own, so that the memory is the record's."""
    folder = tempfile.mkdtemp(dir=settings.DATA_DIR, prefix="bench-")
    with override_settings(MEDIA_ROOT=Path(folder, "media"), DATA_DIR=Path(folder)):
        build = nights(NIGHTS, PHOTOS)
        run = RecordRun.objects.create(build=build)
        connection.close()
        forked = multiprocessing.get_context("fork")
        answers = forked.Queue()
        process = forked.Process(target=_made, args=(run.pk, answers))
        process.start()
        seconds, memory = answers.get(timeout=1800)
        process.join()
        size = record_pdf.file_of(run).stat().st_size / 1e6
        _forget(build)
    shutil.rmtree(folder)
    yield Row(f"record of {NIGHTS} nights, {PHOTOS} photos, MB of memory", memory, MOST_MEMORY, 1)
    yield Row(f"record of {NIGHTS} nights, {PHOTOS} photos, MB of file", size, MOST_FILE, 1)
    yield Row(f"record of {NIGHTS} nights, {PHOTOS} photos, s of CPU", seconds, 120, 1)


def _made(number, answers) -> None:
    began = time.process_time()
    record_pdf.make(RecordRun.objects.select_related("build").get(pk=number))
    answers.put((time.process_time() - began, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024))


@transaction.atomic
def nights(count: int, photos: int) -> Build:
    """A build whose log has so many nights, with pictures as grainy as a phone's."""
    chance = Random(64)  # noqa: S311
    build = add_build(code="BENCH", name="Bench van")
    shown = [_photo(chance, number) for number in range(photos)]
    Photo.objects.bulk_create(shown)
    began = timezone.now() - timedelta(days=3 * count)
    for number in range(count):
        at = began + timedelta(days=3 * number)
        session = WorkSession.objects.create(
            build=build, number=number + 1, started_at=at, ended_at=at + timedelta(hours=3), stopping_point="Go on"
        )
        entries = Entry.objects.bulk_create(
            [
                Entry(session=session, at=at + timedelta(minutes=9 * line), text=" ".join(chance.choices(WORDS, k=12)))
                for line in range(LINES)
            ]
        )
        for line, photo in enumerate(shown[number::count]):
            entries[line % LINES].photos.add(photo)
    return build


def _photo(chance: Random, number: int) -> Photo:
    """1600 by 1200; eight different ones, since only what is in them costs, not that they differ."""
    photo = Photo(width=1600, height=1200, sha256=f"{number:064x}", caption=f"Picture {number}")
    path = files.path_of(photo.pk, "large")
    path.parent.mkdir(parents=True, exist_ok=True)
    same = files.root() / f"bench-{number % 8}.webp"
    if not same.exists():
        soft = Image.effect_mandelbrot((400, 300), (-2, -1.5, 1, 1.5), 20 + number).resize((1600, 1200))
        grain = Image.effect_noise((1600, 1200), 24)
        Image.merge("RGB", (Image.blend(soft, grain, 0.3), Image.blend(soft, grain, 0.2), soft)).save(same, quality=80)
    path.hardlink_to(same)
    return photo


def _forget(build: Build) -> None:
    photos = Photo.objects.filter(
        pk__in=Entry.photos.through.objects.filter(entry__session__build=build).values("photo")
    )
    numbers = list(photos.values_list("pk", flat=True))
    vehicle = build.vehicle
    build.delete()
    vehicle.delete()
    Photo.objects.filter(pk__in=numbers).delete()

"""Files without a row, rows without a file, and deleted photos whose time is over."""

from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from django.utils import timezone

from . import files
from .models import Photo

KEEP_DELETED = timedelta(days=30)
KEEP_STRAY = timedelta(hours=1)  # a file is written before its row: a young one may be about to get one


@dataclass(frozen=True, slots=True)
class State:
    stray: list[Path]  # files that no photo owns
    missing: list[Photo]  # photos whose file is gone


def state() -> State:
    known = {photo.pk.hex: photo for photo in Photo.objects.all()}
    now = timezone.now().timestamp()
    stray, seen = [], set()
    for path, name in files.on_disk():
        if name in known:
            seen.add(path)
        elif now - path.stat().st_mtime > KEEP_STRAY.total_seconds():
            stray.append(path)
    missing = [
        photo for photo in known.values() if any(files.path_of(photo.pk, size) not in seen for size in files.SIZES)
    ]
    return State(stray, missing)


def sweep() -> int:
    """Remove stray files, and photos deleted more than a month ago. Answers how many files went."""
    gone = 0
    for path in state().stray:
        path.unlink(missing_ok=True)
        gone += 1
    for photo in Photo.objects.filter(deleted_at__lt=timezone.now() - KEEP_DELETED):
        number = photo.pk
        photo.delete()
        files.remove(number)
        gone += len(files.SIZES)
    return gone

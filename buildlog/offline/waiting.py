"""Photos that a phone sends ahead of the form they belong to, one request each: an abort loses one, not all.

The picture work is done as they come, outside any transaction. They wait beside the media, by the phone's number for
each, and are handed to the form's view as if they had come with it.
"""

import hashlib
import json
import time
import uuid
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from inventory.people.models import Person
from inventory.photos import files
from inventory.photos.imaging import Picture, Prepared, read_picture

KEPT = 30 * 24 * 3600  # seconds until one whose form never came goes


class Missing(Exception):
    """Photos that are not here (any more): the phone still has them and sends them again."""

    def __init__(self, numbers: list[uuid.UUID]):
        super().__init__("Some of its photos have not arrived.")
        self.numbers = numbers


class WaitingPhoto(SimpleUploadedFile):
    """Reads as what photos.actions.add takes for a picture that is done."""

    def __init__(self, name: str, prepared: Prepared):
        super().__init__(name, prepared, "image/webp")
        self.prepared = prepared

    def read(self, *args) -> Prepared:
        return self.prepared


def _folder() -> Path:
    return Path(settings.DATA_DIR) / "waiting"


def _path(number: uuid.UUID, suffix: str) -> Path:
    return _folder() / f"{number.hex}.{suffix}"


def keep(*, number: uuid.UUID, data: bytes, name: str, taken_at: datetime | None, by: Person) -> None:
    """Read the picture and let it wait. A repeat changes nothing. Raises NotAPicture."""
    if _path(number, "json").exists():
        return
    _tidy()
    picture = read_picture(data, declared=name)
    taken_at = picture.taken_at or (taken_at and timezone.make_naive(taken_at))
    said = {
        "by": by.pk,
        "name": name,
        "sha256": hashlib.sha256(data).hexdigest(),
        "width": picture.width,
        "height": picture.height,
        "taken_at": taken_at and taken_at.isoformat(),
    }
    files.write(_path(number, "large"), picture.large)
    files.write(_path(number, "small"), picture.small)
    files.write(_path(number, "json"), json.dumps(said).encode())  # last: with it the photo is whole


def fetch(numbers: list[uuid.UUID], by: Person) -> list[WaitingPhoto]:
    """The photos of these numbers. Raises Missing."""
    missing = [number for number in numbers if _read(number, by) is None]
    if missing:
        raise Missing(missing)
    return [_read(number, by) for number in numbers]


def _read(number: uuid.UUID, by: Person) -> WaitingPhoto | None:
    try:
        said = json.loads(_path(number, "json").read_bytes())
        large, small = (_path(number, size).read_bytes() for size in files.SIZES)
    except FileNotFoundError:
        return None
    if said["by"] != by.pk:
        return None
    taken_at = datetime.fromisoformat(said["taken_at"]) if said["taken_at"] else None
    picture = Picture(large, small, said["width"], said["height"], taken_at)
    return WaitingPhoto(said["name"] or "photo.jpg", Prepared(said["sha256"], picture))


def let_go(numbers: list[uuid.UUID]) -> None:
    for number in numbers:
        for suffix in ("json", *files.SIZES):
            _path(number, suffix).unlink(missing_ok=True)


def _tidy() -> None:
    old = time.time() - KEPT
    for path in _folder().glob("*.json"):
        if path.stat().st_mtime < old:
            let_go([uuid.UUID(path.stem)])

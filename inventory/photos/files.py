"""Where the files of photos lie, and how they get there so that no power cut loses an acknowledged one."""

import os
import uuid
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings

SIZES = ("large", "small")  # every photo has these
WHOLE = "whole"  # as large as it was taken, of photos whose original followed


def root() -> Path:
    return Path(settings.MEDIA_ROOT) / "photos"


def path_of(number: uuid.UUID, size: str) -> Path:
    """The file of a photo. Its name is made of nothing but the number, whatever the sender called it."""
    if size not in (*SIZES, WHOLE):
        raise ValueError(size)
    name = uuid.UUID(str(number)).hex
    return root() / name[:2] / f"{name}-{size}.webp"


def write(path: Path, data: bytes) -> None:
    """All of it or nothing: written aside, flushed to the disk, then given its name, and the folder flushed too."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    aside = path.with_suffix(f".{uuid.uuid4().hex[:8]}.part")
    try:
        with aside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        aside.replace(path)
    except BaseException:
        aside.unlink(missing_ok=True)
        raise
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)


def remove(number: uuid.UUID) -> None:
    for size in (*SIZES, WHOLE):
        path_of(number, size).unlink(missing_ok=True)


def on_disk() -> Iterator[tuple[Path, str]]:
    """Every file there is, with the photo's number in hex ('' for one that is no photo's)."""
    for path in root().glob("*/*"):
        name, _, size = path.stem.partition("-")
        yield path, name if path.suffix == ".webp" and size in (*SIZES, WHOLE) and len(name) == 32 else ""

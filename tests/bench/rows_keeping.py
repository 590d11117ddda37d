"""A backup beside the same bytes copied."""

import os
import random
import shutil
import tempfile
from pathlib import Path

from django.conf import settings
from django.test.utils import override_settings

from buildlog.keeping import actions
from buildlog.keeping.snapshot import database_file

from .rows import Row, row, side_by_side

PHOTOS, PHOTO_BYTES = 200, 150_000  # what 200 photos of 1600 pixels come to


@row("backup")
def backup(shop):
    """Ours copies at one instant, leaves out what lets somebody in, sums each file; the floor is a flushed copy."""
    with tempfile.TemporaryDirectory(dir=settings.DATA_DIR, prefix="bench-") as folder:
        media, aside = Path(folder, "media"), Path(folder, "copy")
        media.mkdir()
        chance = random.Random(1)  # noqa: S311
        for number in range(PHOTOS):
            (media / f"{number}.webp").write_bytes(chance.randbytes(PHOTO_BYTES))
        files = [database_file(), *sorted(media.iterdir())]
        mb = sum(path.stat().st_size for path in files) / 1e6
        with override_settings(MEDIA_ROOT=media):
            ours, floor = side_by_side(
                lambda: actions.make(target=Path(folder, "backup.tar")), lambda: _copy(files, aside), rounds=5
            )
    yield Row(f"backup of {mb:.0f} MB, {shop.parts:,} parts, MB/s", mb * 1000 / ours, mb * 1000 / floor, 4, speed=True)


def _copy(files: list[Path], target: Path) -> None:
    with target.open("wb") as out:
        for path in files:
            with path.open("rb") as file:
                shutil.copyfileobj(file, out, 1024 * 1024)
        out.flush()
        os.fsync(out.fileno())

"""Before serving: the data folder, the database brought up to date (with a snapshot first), the static files."""

import hashlib
import os
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from buildlog.keeping import snapshot as keeping

SNAPSHOTS_KEPT = 10
OURS = ("inventory", "buildlog")


def data_folder() -> None:
    """Ours alone: the database in it holds people's password hashes."""
    try:
        settings.DATA_DIR.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise CommandError(
            f"The data folder {settings.DATA_DIR} can't be made: {error.strerror}. "
            "Set DATA_DIR to a folder you may write to."
        ) from error


def database(say=print) -> None:
    """Apply pending migrations, after a snapshot of what is there. A newer shop's data is refused."""
    executor = MigrationExecutor(connection)
    known, applied = set(executor.loader.disk_migrations), set(executor.loader.applied_migrations)
    if newer := sorted(one for one in applied - known if one[0] in OURS):
        raise CommandError(
            f"This shop's data was written by a newer Gusset (it has {newer[0][0]}.{newer[0][1]}). "
            "Update the program, or bring back a backup from before that: manage.py restore FILE --replace"
        )
    pending = executor.migration_plan(executor.loader.graph.leaf_nodes())
    if not pending:
        return
    if applied:
        first = pending[0][0]
        say(f"Snapshot before the update: {snapshot(f'before-{first.app_label}-{first.name}')}")
    call_command("migrate", interactive=False, verbosity=0)


def snapshot(name: str) -> Path:
    """A copy of the database in one step, right also while others write. The ten newest are kept."""
    folder = settings.DATA_DIR / "snapshots"
    folder.mkdir(mode=0o700, exist_ok=True)
    target = folder / f"{datetime.now():%Y-%m-%d-%H%M%S}-{name}.sqlite3"
    keeping.snapshot(target)
    for old in sorted(folder.glob("*.sqlite3"))[:-SNAPSHOTS_KEPT]:
        old.unlink()
    return target


def static_files() -> bool:
    """Collect, hash and compress the static files if any has changed since. True when there was work."""
    stamp = settings.STATIC_ROOT / "made-from.txt"
    now = _fingerprint()
    if stamp.exists() and stamp.read_text() == now:
        return False
    settings.STATIC_ROOT.mkdir(parents=True, exist_ok=True)
    call_command("collectstatic", interactive=False, clear=True, verbosity=0)
    stamp.write_text(now)
    return True


def _fingerprint() -> str:
    """Of every file's name, size and time: reading them all would cost more than it saves."""
    seen = hashlib.sha256()
    for finder in get_finders():
        for name, storage in finder.list([]):
            found = os.stat(storage.path(name))  # noqa: PTH116
            seen.update(f"{name}|{found.st_size}|{found.st_mtime_ns}\n".encode())
    return seen.hexdigest()

"""A copy of the living database: whole, at one instant, while others write."""

import os
import sqlite3
from pathlib import Path

from django.conf import settings

# What lets somebody in: never in a backup, unless asked for.
SECRET_TABLES = ("django_session", "inventory_pairing", "inventory_device")


def database_file() -> Path:
    return Path(settings.DATABASES["default"]["NAME"])


def snapshot(target: Path, *, source: Path | None = None) -> Path:
    """Copy the database in one step, flushed to the disk, readable by its owner only.

    One step, because a copy in portions starts again at each write and may never end (measured).
    """
    target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    target.unlink(missing_ok=True)
    target.touch(mode=0o600)
    with _open(source or database_file()) as living, _open(target) as copy:
        living.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")
    _flush(target)
    return target


def in_use(path: Path) -> bool:
    """Whether another process has the database open: only the last one may end the write-ahead log."""
    try:
        with _open(path, patience=0) as living:
            living.execute("PRAGMA journal_mode=DELETE")
    except sqlite3.OperationalError as error:
        return "locked" in str(error)
    except sqlite3.DatabaseError:  # too damaged to say; that is what a restore is for
        return False
    return False


def without_secrets(path: Path) -> None:
    """Take signed-in sessions and invitations out of a copy, also from its unused pages."""
    with _open(path) as copy:
        copy.execute("PRAGMA secure_delete=ON")
        there = {name for (name,) in copy.execute("SELECT name FROM sqlite_master WHERE type='table'")}
        for table in SECRET_TABLES:
            if table in there:
                copy.execute(f"DELETE FROM {table}")  # noqa: S608 (names are the constants above)
        copy.commit()
        copy.execute("VACUUM")
    _flush(path)


def is_sound(path: Path) -> list[str]:
    """What SQLite itself finds wrong with a database file."""
    with _open(path) as copy:
        found = [text for (text,) in copy.execute("PRAGMA integrity_check") if text != "ok"]
        found += [
            f"{row[0]} row {row[1]} points to a missing {row[2]}" for row in copy.execute("PRAGMA foreign_key_check")
        ]
    return found


def migration_heads(path: Path) -> dict[str, str]:
    """The newest migration of each of our apps in a database file."""
    with _open(path) as copy:
        rows = copy.execute("SELECT app, max(name) FROM django_migrations GROUP BY app")
        return {app: name for app, name in rows if app in ("inventory", "buildlog")}


def counts(path: Path) -> dict[str, int]:
    """How many rows each table of ours has."""
    with _open(path) as copy:
        names = [
            name
            for (name,) in copy.execute("SELECT name FROM sqlite_master WHERE type='table' ORDER BY name")
            if name.startswith(("inventory_", "buildlog_")) and name not in SECRET_TABLES
        ]
        return {name: copy.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in names}  # noqa: S608


class _open:  # noqa: N801 (used as a function)
    """sqlite3's own context manager commits but does not close."""

    def __init__(self, path: Path, patience: float = 30):
        self.connection = sqlite3.connect(path, timeout=patience)

    def __enter__(self) -> sqlite3.Connection:
        return self.connection

    def __exit__(self, *error) -> None:
        self.connection.close()


def _flush(path: Path) -> None:
    with path.open("rb") as file:
        os.fsync(file.fileno())

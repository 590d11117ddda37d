"""Make a backup, prove one, bring one back."""

import contextlib
import logging
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import connections
from django.db.migrations.loader import MigrationLoader
from django.utils import timezone

from . import across, archive, snapshot
from .archive import BadBackup, Manifest, Tell
from .calc.thinning import to_keep

log = logging.getLogger("gusset.keeping")
PREFIX, STAMP = "gusset-", "%Y%m%d-%H%M%S"
BEFORE = "before-restore-"
SECRETS = ("secret_key", "tls")
LEFT_OVER = 24 * 3600  # seconds


def quiet(done: int, total: int) -> None:
    pass


def folder() -> Path:
    return Path(settings.DATA_DIR) / "backups"


def backups(where: Path | None = None) -> list[tuple[datetime, Path]]:
    """The backups in the folder, the newest first."""
    found = []
    for path in (where or folder()).glob(f"{PREFIX}*.tar"):
        try:
            at = datetime.strptime(path.stem.removeprefix(PREFIX), STAMP)  # noqa: DTZ007 (made aware below)
        except ValueError:
            continue
        found.append((timezone.make_aware(at), path))
    return sorted(found, reverse=True)


def make(*, target: Path | None = None, with_secrets: bool = False, tell: Tell = quiet, thin: bool = False) -> Path:
    """One backup file of the whole shop. The database first, then the photos: a row's file is there for certain.

    `target` is a file or a folder; by default the shop's own backup folder. With `thin` older ones are let go by rule.
    """
    now = timezone.localtime()
    target = target or folder()
    if target.suffix != ".tar":
        target.mkdir(parents=True, exist_ok=True, mode=0o700)
        name = now
        # Two in one second: neither replaces the other.
        while (target / f"{PREFIX}{name.strftime(STAMP)}.tar").exists():
            name += timedelta(seconds=1)
        target = target / f"{PREFIX}{name.strftime(STAMP)}.tar"
    data = Path(settings.DATA_DIR)
    with _aside("backup-") as aside:
        database = snapshot.snapshot(aside / archive.DATABASE)
        if not with_secrets:
            snapshot.without_secrets(database)
        media = Path(settings.MEDIA_ROOT)
        files = [(archive.DATABASE, database)]
        named = [(f"media/{path.relative_to(media)}", path) for path in _files_in(media)]
        # What somebody else left in the folder is no photo, and would be refused when the backup is brought back.
        files += [(name, path) for name, path in named if archive.ALLOWED.fullmatch(name)]
        if with_secrets:
            files += [(f"secrets/{path.relative_to(data)}", path) for path in _secret_files(data)]
        manifest = Manifest(
            version="1",
            made_at=now.isoformat(timespec="seconds"),
            migrations=snapshot.migration_heads(database),
            counts=snapshot.counts(database),
            secrets=with_secrets,
        )
        archive.write(target, manifest, files, tell)
    if thin:
        let_go(target.parent)
    return target


@contextlib.contextmanager
def _aside(prefix: str) -> Iterator[Path]:
    """A folder beside the shop's data for what is half done. What a power cut left goes after a day."""
    data = Path(settings.DATA_DIR)
    for left in data.glob(f"{prefix}*"):
        if left.is_dir() and time.time() - left.stat().st_mtime > LEFT_OVER:
            shutil.rmtree(left, ignore_errors=True)
    with tempfile.TemporaryDirectory(dir=data, prefix=prefix) as aside:
        yield Path(aside)


def _files_in(root: Path) -> list[Path]:
    return sorted(path for path in root.rglob("*") if path.is_file() and path.suffix != ".part")


def _secret_files(data: Path) -> list[Path]:
    found = []
    for name in SECRETS:
        path = data / name
        found += _files_in(path) if path.is_dir() else [path] if path.is_file() else []
    return found


def copy_to(path: Path, where: Path) -> Path:
    """A second copy in another folder (a mounted disk), whole or not at all, thinned out by the same rule."""
    if not where.is_dir():
        raise OSError(f"{where} is not there. Is the disk mounted?")
    aside = where / f"{path.name}.part"
    try:
        shutil.copyfile(path, aside)
        aside.chmod(0o600)
        aside.replace(where / path.name)
    except OSError:
        aside.unlink(missing_ok=True)
        raise
    let_go(where)
    return where / path.name


def let_go(where: Path) -> list[Path]:
    """Remove the backups that the rule does not keep."""
    there = dict(backups(where))
    gone = [there[at] for at in there.keys() - to_keep(there)]
    for path in gone:
        path.unlink()
    return gone


def verify(path: Path, *, tell: Tell = quiet) -> Manifest:
    """Unpack a backup aside and prove it: every sum, the database's own checks, the counts. Raises BadBackup."""
    with tempfile.TemporaryDirectory(prefix="gusset-verify-") as aside:
        return _proven(path, Path(aside), tell)


def _proven(path: Path, into: Path, tell: Tell) -> Manifest:
    manifest = archive.unpack(path, into, tell)
    database = into / archive.DATABASE
    if wrong := snapshot.is_sound(database):
        raise BadBackup(f"The database in the backup is damaged: {wrong[0]}")
    if snapshot.counts(database) != manifest.counts:
        raise BadBackup("The database in the backup does not have the rows its manifest says.")
    known = {name for app, name in MigrationLoader(None).disk_migrations if app in ("inventory", "buildlog")}
    if unknown := set(manifest.migrations.values()) - known:
        raise BadBackup(f"The backup is of a newer version ({', '.join(sorted(unknown))}). Update the program first.")
    return manifest


class ShopIsThere(Exception):
    """Restoring would replace a shop that has people in it."""


class ShopIsUp(Exception):
    """The shop is running: what it wrote from now on would go into the files that are put aside."""


def restore(
    path: Path, *, replace: bool = False, keep_before: bool = True, tell: Tell = quiet,
    say: Callable[[str], None] = lambda text: None,
) -> Manifest:  # fmt: skip
    """Put a proven backup in the place of the shop's data, then bring its tables up to date.

    What was there before is kept beside it, unless a backup of it was made (`keep_before`). Raises BadBackup,
    ShopIsThere or ShopIsUp, and then nothing changed.
    """
    data, database = Path(settings.DATA_DIR), snapshot.database_file()
    if not replace and database.exists() and snapshot.counts(database).get("inventory_person"):
        raise ShopIsThere
    data.mkdir(parents=True, exist_ok=True, mode=0o700)
    with _aside("restore-") as fresh:
        manifest = _proven(path, fresh, tell)
        connections.close_all()
        if database.exists() and snapshot.in_use(database):
            raise ShopIsUp
        carried = [(one.after, one.read(database)) for one in across.CARRIED] if database.exists() else []
        before = data / f"{BEFORE}{timezone.localtime().strftime(STAMP)}"
        media = Path(settings.MEDIA_ROOT)
        living = [path for path in (database, Path(f"{database}-wal"), Path(f"{database}-shm"), media) if path.exists()]
        for path in living:
            before.mkdir(exist_ok=True, mode=0o700)
            path.replace(before / path.name)
        (fresh / archive.DATABASE).replace(database)
        if (fresh / "media").exists():
            media.parent.mkdir(parents=True, exist_ok=True)
            (fresh / "media").replace(media)
        try:
            call_command("migrate", verbosity=0)
            for after, known in carried:
                after(known)
            _put_secrets(fresh / "secrets", data, aside=before)
        except OSError:
            _put_back(living, before, fresh)
            raise
        except Exception as error:  # whatever a migration raises: the shop must be what it was before
            log.exception("the tables of the backup could not be brought up to date")
            _put_back(living, before, fresh)
            raise BadBackup(f"Its tables could not be brought up to date ({error}).") from error
        if before.exists() and not keep_before:
            shutil.rmtree(before, ignore_errors=True)
        elif before.exists():
            say(f"What was there before is in {before}. Delete that folder when you no longer need it.")
    return manifest


def _put_secrets(fresh: Path, data: Path, *, aside: Path) -> None:
    """Those there were go aside with the rest of the shop, to be put back with it."""
    for secret in _files_in(fresh) if fresh.exists() else []:
        target, old = data / secret.relative_to(fresh), aside / "secrets" / secret.relative_to(fresh)
        target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        if target.exists():
            old.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            target.replace(old)
        shutil.move(secret, target)
        target.chmod(0o600)


def _put_back(living: list[Path], before: Path, fresh: Path) -> None:
    """The shop as it was: what took its place goes with `fresh`, what was put aside comes again."""
    connections.close_all()
    database, media = snapshot.database_file(), Path(settings.MEDIA_ROOT)
    refused = fresh / "refused"
    refused.mkdir()
    for path in (database, Path(f"{database}-wal"), Path(f"{database}-shm"), media):
        if path.exists():
            path.replace(refused / path.name)
    for path in living:
        (before / path.name).replace(path)
    for secret in _files_in(before / "secrets") if (before / "secrets").exists() else []:
        secret.replace(Path(settings.DATA_DIR) / secret.relative_to(before / "secrets"))
    shutil.rmtree(before, ignore_errors=True)

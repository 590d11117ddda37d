"""Is the shop well? Each check answers in a sentence, and with what mends it."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from cryptography import x509
from django.conf import settings
from django.utils import timezone

from inventory.donors import sweep as papers_sweep
from inventory.finding import index
from inventory.parts import audit
from inventory.parts.models import Holding
from inventory.photos import sweep

from . import actions, snapshot

GOOD, LOOK, BAD = "good", "look", "bad"
LOW_DISK = 2 * 1024**3
OLD_BACKUP = timedelta(days=8)


@dataclass(frozen=True, slots=True)
class Finding:
    level: str
    text: str
    mend: str = ""


def examine() -> list[Finding]:
    return [finding for check in CHECKS for finding in check()]


def database() -> Iterator[Finding]:
    wrong = snapshot.is_sound(snapshot.database_file())
    for text in wrong[:10]:
        yield Finding(BAD, f"The database: {text}.", "Restore the last good backup: manage.py restore FILE --replace")
    if not wrong:
        yield Finding(GOOD, "The database is whole, and every row points to one that is there.")


def ledger() -> Iterator[Finding]:
    found = audit.differences()
    if found:
        yield Finding(BAD, f"{len(found)} holdings differ from their moves.", "manage.py ledger --rebuild")
    else:
        yield Finding(GOOD, "The ledger balances: every holding is the sum of its moves.")


def lost_things() -> Iterator[Finding]:
    """Things in a place that is out of use can't be found by going there."""
    lost = Holding.objects.filter(location__retired_at__isnull=False).select_related("part", "location")
    for row in lost[:5]:
        yield Finding(
            BAD, f"{row.part} is in {row.location}, which is out of use.", "Bring the place back, or move it."
        )


def find_index() -> Iterator[Finding]:
    if wrong := index.check():
        yield Finding(BAD, f"The find index: {wrong[0]}", "manage.py find --rebuild")
    else:
        yield Finding(GOOD, "The find index has everything in it.")


def photos() -> Iterator[Finding]:
    state = sweep.state()
    if state.missing:
        yield Finding(BAD, f"{len(state.missing)} photos have lost their file.", "Restore them from a backup.")
    if state.stray:
        yield Finding(LOOK, f"{len(state.stray)} files belong to no photo.", "manage.py doctor --sweep")
    if not (state.missing or state.stray):
        yield Finding(GOOD, "Every photo has its file, and every file its photo.")


def papers() -> Iterator[Finding]:
    state = papers_sweep.state()
    if state.missing:
        yield Finding(BAD, f"{len(state.missing)} papers of donors have lost their PDF.", "Restore them from a backup.")
    if state.stray:
        yield Finding(LOOK, f"{len(state.stray)} PDF files belong to no paper.", "manage.py doctor --sweep")
    if not (state.missing or state.stray):
        yield Finding(GOOD, "Every paper of a donor has its PDF, and every PDF its paper.")


def sweep_files() -> int:
    """Remove files that belong to nothing, and photos and papers deleted a month ago. Answers how many files went."""
    return sweep.sweep() + papers_sweep.sweep()


def sqlite() -> Iterator[Finding]:
    """A rare corruption race of the write-ahead log was mended in 3.51.3, and in 3.50.7 and 3.44.6 of older lines."""
    version = sqlite3.sqlite_version_info
    mended = version >= (3, 51, 3) or (3, 50, 7) <= version < (3, 51) or (3, 44, 6) <= version < (3, 45)
    if mended:
        yield Finding(GOOD, f"SQLite {sqlite3.sqlite_version} has the known repairs.")
    else:
        yield Finding(
            LOOK,
            f"SQLite {sqlite3.sqlite_version} may have a rare fault of its log, unless the system has it mended.",
            "Update the system’s SQLite to 3.51.3 or later when it comes. Keep backups meanwhile.",
        )


def disk() -> Iterator[Finding]:
    free = shutil.disk_usage(settings.DATA_DIR).free
    text = f"{free / 1024**3:.1f} GB are free where the shop’s data is."
    yield (
        Finding(GOOD, text) if free > LOW_DISK else Finding(BAD, text, "Make room, or move DATA_DIR to a larger disk.")
    )


def put_aside() -> Iterator[Finding]:
    """What `restore` put aside is a whole shop with its photos: it fills the disk, and only its owner may let it go."""
    for folder in sorted(Path(settings.DATA_DIR).glob(f"{actions.BEFORE}*")):
        size = sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())
        text = f"The shop from before a restore is still in {folder} ({size / 1024**3:.1f} GB)."
        yield Finding(LOOK, text, "Delete that folder when you no longer need it.")


def certificate() -> Iterator[Finding]:
    for path in sorted(Path(settings.DATA_DIR, "tls").glob("*.crt")):
        try:
            left = x509.load_pem_x509_certificate(path.read_bytes()).not_valid_after_utc - timezone.now()
        except ValueError:
            continue
        text = f"The certificate {path.name} is good for {left.days} days."
        yield (
            Finding(GOOD, text) if left.days >= 14 else Finding(BAD, text, "Start the shop again: it makes a new one.")
        )


def backup_age() -> Iterator[Finding]:
    found = actions.backups()
    if not found:
        yield Finding(BAD, "There is no backup.", "manage.py backup, or the Shop page under Kept safe.")
        return
    age = timezone.now() - found[0][0]
    text = f"The last backup is {age.days} days old." if age.days else "The last backup is from today."
    yield Finding(GOOD, text) if age < OLD_BACKUP else Finding(LOOK, text, "manage.py backup")


CHECKS: list[Callable[[], Iterator[Finding]]] = [
    database,
    ledger,
    lost_things,
    find_index,
    photos,
    papers,
    sqlite,
    disk,
    put_aside,
    certificate,
    backup_age,
]

"""What is brought back is what was there, byte for byte, also when others wrote meanwhile."""

import io
import json
import sqlite3
import stat
import subprocess
import sys
import tarfile
import threading
from decimal import Decimal
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection

from buildlog.keeping import actions, archive, snapshot
from buildlog.keeping.archive import BadBackup
from inventory.parts.actions import put_in
from inventory.photos.actions import add
from tests.factories import make_part, make_person, make_place
from tests.inventory.photos.hostile import image

ROOT = Path(__file__).resolve().parents[3]
pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def shop(tmp_path, settings):
    """A shop with a person, parts and photos; its media in a folder of its own."""
    settings.MEDIA_ROOT = tmp_path / "media"
    make_person(name="Sven")
    tub = make_place()
    for number in range(5):
        add(data=image(colour=number * 50), part=make_part(holds={tub: number + 1}), by=None)
    return tub


def rows(path: Path) -> dict[str, list]:
    """Every row of every table of ours in a database file."""
    with sqlite3.connect(path) as database:
        names = [name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type='table' ORDER BY 1")]
        ours = [name for name in names if name.startswith(("inventory_", "buildlog_"))]
        return {name: database.execute(f'SELECT * FROM "{name}" ORDER BY 1').fetchall() for name in ours}


def restored(backup: Path, into: Path, *more: str) -> subprocess.CompletedProcess:
    """`manage.py restore` on a machine that has nothing yet."""
    environment = {"DATA_DIR": str(into), "PATH": "/usr/bin:/bin", "DJANGO_SETTINGS_MODULE": "buildlog.config.settings"}
    command = [sys.executable, "manage.py", "restore", str(backup), *more]
    return subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)


def test_an_empty_machine_gets_every_row_and_every_file_back(shop, tmp_path):
    backup = actions.make(target=tmp_path / "b.tar")
    there = tmp_path / "elsewhere"
    answer = restored(backup, there)
    assert answer.returncode == 0, answer.stderr
    before, after = rows(Path(connection.settings_dict["NAME"])), rows(there / "shop.sqlite3")
    for table in snapshot.SECRET_TABLES:
        before.pop(table, None), after.pop(table, None)
    assert after == before
    media = Path(settings.MEDIA_ROOT)
    originals = {path.relative_to(media): path.read_bytes() for path in media.rglob("*.webp")}
    assert len(originals) == 10
    assert {
        path.relative_to(there / "media"): path.read_bytes() for path in (there / "media").rglob("*.webp")
    } == originals


def test_a_backup_taken_while_others_write_is_whole_and_balances(shop, tmp_path):
    part, stop = make_part(), threading.Event()

    def write():
        try:
            while not stop.is_set():
                put_in(part=part, quantity=Decimal(1), target=shop, by=None)
        finally:
            connection.close()

    writers = [threading.Thread(target=write) for _ in range(3)]
    for writer in writers:
        writer.start()
    try:
        backup = actions.make(target=tmp_path / "b.tar")
    finally:
        stop.set()
        for writer in writers:
            writer.join()
    actions.verify(backup)
    there = tmp_path / "elsewhere"
    assert restored(backup, there).returncode == 0
    with sqlite3.connect(there / "shop.sqlite3") as database:
        moved = database.execute("SELECT sum(quantity) FROM inventory_move WHERE part_id=?", [part.pk]).fetchone()
        held = database.execute("SELECT quantity FROM inventory_holding WHERE part_id=?", [part.pk]).fetchone()
    assert moved == (held or (None,))


def test_a_backup_is_its_owners_only_and_lets_nobody_in(shop, as_owner, tmp_path):
    as_owner.get("/shop/")
    backup = actions.make(target=tmp_path / "b.tar")
    assert stat.S_IMODE(backup.stat().st_mode) == 0o600
    into = tmp_path / "open"
    archive.unpack(backup, into)
    assert not (into / "secrets").exists()
    data = (into / "shop.sqlite3").read_bytes()
    assert as_owner.session.session_key.encode() not in data
    with sqlite3.connect(into / "shop.sqlite3") as database:
        assert database.execute("SELECT count(*) FROM django_session").fetchone() == (0,)


def test_with_secrets_it_takes_the_key_along(shop, tmp_path):
    key = Path(settings.DATA_DIR, "secret_key")
    key.write_text("the key")
    backup = actions.make(target=tmp_path / "b.tar", with_secrets=True)
    there = tmp_path / "elsewhere"
    assert restored(backup, there).returncode == 0
    assert (there / "secret_key").read_text() == "the key"
    assert stat.S_IMODE((there / "secret_key").stat().st_mode) == 0o600


def test_a_shop_that_is_there_is_not_replaced_unasked_and_then_kept_aside(shop, tmp_path):
    backup = actions.make(target=tmp_path / "b.tar")
    there = tmp_path / "elsewhere"
    assert restored(backup, there).returncode == 0
    again = restored(backup, there)
    assert again.returncode == 1
    assert "There is a shop here already" in again.stderr
    answer = restored(backup, there, "--replace")
    assert answer.returncode == 0, answer.stderr
    [aside] = there.glob("before-restore-*")
    assert (aside / "shop.sqlite3").exists()


def test_a_running_shop_is_not_replaced_under_its_feet(shop, tmp_path):
    backup = actions.make(target=tmp_path / "b.tar")
    there = tmp_path / "elsewhere"
    assert restored(backup, there).returncode == 0
    with sqlite3.connect(there / "shop.sqlite3") as running:
        running.execute("PRAGMA journal_mode=WAL")
        people = running.execute("SELECT count(*) FROM inventory_person").fetchone()
        answer = restored(backup, there, "--replace")
        assert answer.returncode == 1
        assert "The shop is running." in answer.stderr
        assert not list(there.glob("before-restore-*"))
        assert running.execute("SELECT count(*) FROM inventory_person").fetchone() == people
    running.close()
    assert restored(backup, there, "--replace").returncode == 0


def test_what_somebody_else_left_among_the_photos_keeps_no_backup_from_coming_back(shop, tmp_path):
    stray = Path(settings.MEDIA_ROOT) / "photos" / "holiday in the sun (1).jpg"
    stray.write_bytes(b"not ours")
    manifest = actions.verify(actions.make(target=tmp_path / "b.tar"))
    assert not any("holiday" in name for name in manifest.files)
    assert sum(name.startswith("media/") for name in manifest.files) == 10


def tampered(backup: Path, change) -> Path:
    """A copy of a backup whose members were changed: change(name, data) -> data, or None to leave it out."""
    target = backup.with_name("tampered.tar")
    with tarfile.open(backup) as old, tarfile.open(target, "w") as new:
        for info in old:
            data = change(info.name, old.extractfile(info).read())
            if data is not None:
                info.size = len(data)
                new.addfile(info, io.BytesIO(data))
    return target


def newer(name: str, data: bytes) -> bytes:
    if name != archive.MANIFEST:
        return data
    manifest = json.loads(data)
    manifest["migrations"]["inventory"] = "9999_from_next_year"
    return json.dumps(manifest).encode()


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda name, data: data[:-1] + b"x" if name.endswith("-large.webp") else data, "is damaged or missing"),
        (lambda name, data: None if name.endswith("-small.webp") else data, "is damaged or missing"),
        (lambda name, data: None if name == "manifest.json" else data, "has no manifest"),
        (lambda name, data: b"{" if name == "manifest.json" else data, "manifest of this backup can’t be read"),
        (newer, "of a newer version"),
    ],
)
def test_a_tampered_or_newer_backup_is_refused_with_its_reason(shop, tmp_path, change, message):
    backup = tampered(actions.make(target=tmp_path / "b.tar"), change)
    with pytest.raises(BadBackup, match=message):
        actions.verify(backup)
    there = tmp_path / "elsewhere"
    answer = restored(backup, there)
    assert answer.returncode == 1
    assert "Nothing was changed." in answer.stderr
    assert not (there / "shop.sqlite3").exists()


@pytest.mark.parametrize("name", ["../evil", "/etc/passwd", "media/../../evil", "other.txt", "media/a b"])
def test_a_file_that_would_climb_out_is_refused(tmp_path, name):
    target = tmp_path / "evil.tar"
    with tarfile.open(target, "w") as tar:
        tar.addfile(tarfile.TarInfo(name))
    with pytest.raises(BadBackup, match="does not belong"):
        archive.unpack(target, tmp_path / "into")


def test_a_link_in_a_backup_is_refused(tmp_path):
    target = tmp_path / "evil.tar"
    with tarfile.open(target, "w") as tar:
        info = tarfile.TarInfo("media/x")
        info.type, info.linkname = tarfile.SYMTYPE, "/etc/passwd"
        tar.addfile(info)
    with pytest.raises(BadBackup, match="does not belong"):
        archive.unpack(target, tmp_path / "into")


def test_half_a_backup_is_refused(shop, tmp_path):
    backup = actions.make(target=tmp_path / "b.tar")
    half = tmp_path / "half.tar"
    half.write_bytes(backup.read_bytes()[: backup.stat().st_size // 2])
    with pytest.raises(CommandError, match="cut short|damaged or missing|no manifest"):
        call_command("verify", half)


def test_a_file_that_is_not_there_is_named_in_plain_words(shop, tmp_path):
    gone = tmp_path / "gone.tar"
    with pytest.raises(CommandError, match=f"{gone}: There is no such file."):
        call_command("verify", gone)


def test_the_verify_command_takes_the_newest(shop, capsys):
    for path in actions.folder().glob("*.tar"):
        path.unlink()
    with pytest.raises(CommandError, match="There is no backup yet"):
        call_command("verify")
    call_command("backup")
    call_command("verify")
    assert " is good: " in capsys.readouterr().out

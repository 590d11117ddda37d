"""A backup is checked and brought back from the page; what the shop was before is one more backup."""

import json
import os
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from buildlog.keeping import actions, checking, coming_back, running
from tests.factories import make_part, make_person, make_place

ROOT = Path(__file__).resolve().parents[3]
pytestmark = pytest.mark.django_db(transaction=True)
SETTLE = "import django; django.setup(); from buildlog.keeping import coming_back; coming_back.settle(print)"


@pytest.fixture(autouse=True)
def empty_folder():
    for path in [*actions.folder().glob("*"), coming_back._asked_file(), coming_back._outcome_file()]:
        path.unlink(missing_ok=True)


def run(there: Path, *words: str) -> str:
    environment = {
        "DATA_DIR": str(there),
        "PATH": "/usr/bin:/bin",
        "DJANGO_SETTINGS_MODULE": "buildlog.config.settings",
    }
    return subprocess.run([sys.executable, *words], cwd=ROOT, env=environment, capture_output=True, text=True).stdout


def names(database: Path) -> set[str]:
    with closing(sqlite3.connect(database)) as opened:
        return {name for (name,) in opened.execute("SELECT name FROM inventory_part")}


@pytest.fixture
def elsewhere(tmp_path):
    """A shop in a folder of its own, with a backup from before "Lid" came in, and that backup's name."""
    make_person(name="Sven")
    make_part("Hinge", holds={make_place(): 2})
    backup = actions.make(target=tmp_path / "first.tar")
    there = tmp_path / "shop"
    run(there, "manage.py", "restore", str(backup))
    run(there, "manage.py", "backup")
    [made] = (there / "backups").glob("*.tar")
    named = made.rename(made.with_name("gusset-20260101-040000.tar"))
    with closing(sqlite3.connect(there / "shop.sqlite3")) as opened, opened:
        opened.execute("UPDATE inventory_part SET name = 'Lid'")
    return there, named.name


def test_the_shop_becomes_what_it_was_and_what_it_is_now_can_come_back(elsewhere):
    there, name = elsewhere
    (there / "bring-back.json").write_text(json.dumps({"name": name}))
    assert f"{name} is back." in run(there, "-c", SETTLE)
    assert names(there / "shop.sqlite3") == {"Hinge"}
    outcome = json.loads((there / "brought-back.json").read_text())
    assert not outcome["trouble"]
    assert not [*there.glob("before-restore-*")], "the backup of it is enough"
    (there / "bring-back.json").write_text(json.dumps({"name": outcome["before"]}))
    run(there, "-c", SETTLE)
    assert names(there / "shop.sqlite3") == {"Lid"}
    assert not (there / "bring-back.json").exists()


def test_it_comes_back_also_where_the_schedule_has_looked_before(elsewhere):
    there, name = elsewhere
    looked = (
        "import django; django.setup()\nimport threading, time\nfrom buildlog.keeping import coming_back, schedule\n"
        "threading.Thread(target=schedule.watch, args=[threading.Event(), 0.2], daemon=True).start()\ntime.sleep(1.5)\n"
        f"coming_back.ask(coming_back.actions.folder() / '{name}')\ntime.sleep(0.5)\ncoming_back.settle(print)"
    )
    assert f"{name} is back." in run(there, "-c", looked)
    assert names(there / "shop.sqlite3") == {"Hinge"}


def test_a_damaged_backup_changes_nothing_and_is_not_tried_again(elsewhere):
    there, name = elsewhere
    backup = there / "backups" / name
    backup.write_bytes(backup.read_bytes()[: backup.stat().st_size // 2])
    (there / "bring-back.json").write_text(json.dumps({"name": name}))
    run(there, "-c", SETTLE)
    assert names(there / "shop.sqlite3") == {"Lid"}
    assert json.loads((there / "brought-back.json").read_text())["trouble"]
    assert not (there / "bring-back.json").exists()


def test_tables_that_can_not_be_brought_up_to_date_leave_the_shop_as_it_was(elsewhere):
    there, name = elsewhere
    photo = there / "media" / "photos" / "left.jpg"
    photo.parent.mkdir(parents=True, exist_ok=True)
    photo.write_bytes(b"not in the backup")
    (there / "bring-back.json").write_text(json.dumps({"name": name}))
    broken = (
        "import django; django.setup()\nfrom django.db.migrations.executor import MigrationExecutor\n"
        "def fail(*args, **kwargs): raise RuntimeError('no such column')\nMigrationExecutor.migrate = fail\n"
        "from buildlog.keeping import coming_back; coming_back.settle(print)"
    )
    assert "no such column" in run(there, "-c", broken)
    assert names(there / "shop.sqlite3") == {"Lid"}
    assert photo.read_bytes() == b"not in the backup"
    assert "no such column" in json.loads((there / "brought-back.json").read_text())["trouble"]
    assert not (there / "bring-back.json").exists()
    assert not [*there.glob("before-restore-*")]


def test_a_backup_refused_on_an_empty_machine_leaves_it_empty(elsewhere, tmp_path):
    there, name = elsewhere
    empty = tmp_path / "empty"
    broken = (
        "import django; django.setup()\nfrom django.db.migrations.executor import MigrationExecutor\n"
        "def fail(*args, **kwargs): raise RuntimeError('no such column')\nMigrationExecutor.migrate = fail\n"
        f"from django.core.management import call_command; call_command('restore', '{there / 'backups' / name}')"
    )
    said = subprocess.run(
        [sys.executable, "-c", broken], cwd=ROOT, capture_output=True, text=True,
        env={"DATA_DIR": str(empty), "PATH": "/usr/bin:/bin", "DJANGO_SETTINGS_MODULE": "buildlog.config.settings"},
    )  # fmt: skip
    assert "no such column" in said.stderr
    assert {path.name for path in empty.glob("*")} <= {"secret_key"}


def test_a_restore_that_breaks_off_at_the_keys_puts_the_old_keys_back(elsewhere, tmp_path):
    there, _ = elsewhere
    run(there, "manage.py", "backup", "--with-secrets", str(tmp_path / "all.tar"))
    key = there / "secret_key"
    key.write_text("the key of today, which is as long as such a key has to be and then some")
    broken = (
        "import django; django.setup()\nfrom buildlog.keeping import actions\nput = actions._put_secrets\n"
        "def fail(*args, **more): put(*args, **more); raise OSError('no room')\nactions._put_secrets = fail\n"
        "from pathlib import Path\n"
        f"try: actions.restore(Path('{tmp_path / 'all.tar'}'), replace=True)\nexcept OSError as error: print(error)"
    )
    assert "no room" in run(there, "-c", broken)
    assert key.read_text().startswith("the key of today")
    assert names(there / "shop.sqlite3") == {"Lid"}


def test_an_address_that_was_ended_since_the_backup_stays_ended(elsewhere):
    there, name = elsewhere
    script = (
        "import django; django.setup()\nfrom django.utils import timezone\n"
        "from buildlog.builds.actions import add_build\nfrom buildlog.telling.models import Story\n"
        "from buildlog.keeping import actions, coming_back\n"
        "build = add_build(code='HB-64', name='Bakery van')\n"
        "for key in ('ended', 'alive'):\n"
        "    Story.objects.create(build=build, title=key, share_key=key, shared_at=timezone.now())\n"
        "made = actions.make()\n"
        "Story.objects.filter(title='ended').update(share_key='', shared_at=None)\n"
        "coming_back.ask(made)\ncoming_back.settle(print)\n"
        "print('shared:', [*Story.objects.shared().values_list('title', flat=True)])"
    )
    assert "shared: ['alive']" in run(there, "-c", script)


def test_a_wish_from_another_day_has_gone_by(elsewhere):
    there, name = elsewhere
    asked = there / "bring-back.json"
    asked.write_text(json.dumps({"name": name}))
    os.utime(asked, (time.time() - 13 * 3600,) * 2)
    run(there, "-c", SETTLE)
    assert names(there / "shop.sqlite3") == {"Lid"}
    assert not asked.exists()


def test_the_page_says_what_is_in_a_backup_and_asks_for_it(as_owner, as_hand):
    make_part("Hinge", holds={make_place(): 2})
    name = actions.make().name
    shown = as_owner.get(f"/shop/kept-safe/{name}/")
    assert "<dt>parts</dt><dd>1</dd>" in shown.text
    assert as_hand.post(f"/shop/kept-safe/{name}/bring-back/").status_code == 403
    assert coming_back.asked() is None
    waiting = as_owner.post(f"/shop/kept-safe/{name}/bring-back/", follow=True)
    assert "takes the shop’s place when it is started next" in waiting.text
    assert coming_back.asked().name == name
    as_owner.post("/shop/kept-safe/coming-back/")
    assert coming_back.asked() is None


def test_a_backup_is_checked_and_the_list_says_how_it_is(as_owner):
    good, bad = actions.make(), actions.folder() / "gusset-20260101-040000.tar"
    bad.write_bytes(good.read_bytes()[: good.stat().st_size // 2])
    checking.check(bad)
    as_owner.post(f"/shop/kept-safe/{good.name}/check/")
    for _ in range(200):
        if good.name in checking.checks() and not running.progress():
            break
        time.sleep(0.05)
    shown = as_owner.get("/shop/kept-safe/").text
    assert "good</span>" in shown
    assert "damaged: " in shown


def test_two_backups_of_one_second_are_both_kept():
    assert len({actions.make() for _ in range(3)}) == 3


def test_what_a_power_cut_left_half_done_goes_after_a_day(settings):
    data = Path(settings.DATA_DIR)
    old, new = data / "backup-old1", data / "restore-new1"
    for folder in (old, new):
        folder.mkdir(exist_ok=True)
    os.utime(old, (0, 0))
    actions.make()
    assert not old.exists()
    assert new.exists()
    new.rmdir()


def test_a_dead_process_leaves_no_lock_behind():
    hold = (
        "import django; django.setup(); import os; from buildlog.keeping import running\n"
        "with running.only_one() as mine: running.tell(1, 2); print(mine, flush=True); os._exit(9)"
    )
    environment = {"DATA_DIR": str(actions.folder().parent), "DJANGO_SETTINGS_MODULE": "buildlog.config.settings"}
    done = subprocess.run([sys.executable, "-c", hold], cwd=ROOT, env=environment, capture_output=True, text=True)
    assert done.stdout == "True\n", done.stderr
    assert running.progress_file().exists()
    assert running.progress() is None
    with running.only_one() as mine:
        assert mine

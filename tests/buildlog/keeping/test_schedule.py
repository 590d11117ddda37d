from datetime import datetime, timedelta
from pathlib import Path

import pytest
from django.utils import timezone

from buildlog.keeping import actions, running, schedule
from buildlog.keeping.models import KeepingPlan

UTC = timezone.get_default_timezone()


@pytest.mark.parametrize(
    ("every", "last", "now", "due"),
    [
        ("never", None, "2026-11-25 04:30", False),
        ("day", None, "2026-11-25 01:00", True),
        ("day", "2026-11-24 04:10", "2026-11-25 03:59", False),
        ("day", "2026-11-24 04:10", "2026-11-25 04:00", True),
        ("day", "2026-11-25 04:00", "2026-11-25 12:00", False),
        ("day", "2026-11-22 04:00", "2026-11-25 01:00", True),
        ("week", "2026-11-20 04:00", "2026-11-25 05:00", False),
        ("week", "2026-11-18 04:10", "2026-11-25 05:00", True),
    ],
)
def test_a_backup_is_due_when_the_last_is_old_enough_and_its_hour_has_come(every, last, now, due):
    def at(text):
        return text and datetime.fromisoformat(text).replace(tzinfo=UTC)

    assert schedule.is_due(KeepingPlan(every=every, hour=4), at(last), at(now)) is due


@pytest.fixture
def empty_folder(transactional_db):
    for path in actions.folder().glob("*"):
        path.unlink()


def test_the_schedule_makes_one_a_second_copy_and_then_rests(empty_folder, tmp_path):
    plan = KeepingPlan.current()
    plan.copy_to = str(tmp_path)
    plan.save()
    path = schedule.run_if_due()
    assert (tmp_path / path.name).read_bytes() == path.read_bytes()
    assert schedule.run_if_due() is None
    assert running.progress() is None


def test_a_disk_that_is_not_mounted_is_said_on_the_page(empty_folder, as_owner, tmp_path):
    KeepingPlan.current()
    KeepingPlan.objects.update(copy_to=str(tmp_path / "gone"))
    schedule.run_if_due()
    assert "Is the disk mounted?" in as_owner.get("/shop/kept-safe/").text


def test_the_page_that_waits_for_a_backup_is_shown_anew_when_it_is_made(empty_folder, as_owner):
    with running.only_one():
        running.tell(1, 2)
        waiting = as_owner.get("/shop/kept-safe/", headers={"HX-Request": "true"})
    assert 'hx-trigger="every 1s"' in waiting.text
    actions.make()
    for _ in range(3):  # a slow phone asks again before it shows the new page
        over = as_owner.get("/shop/kept-safe/?for=backup", headers={"HX-Request": "true"})
    assert (over.status_code, over.headers["HX-Redirect"]) == (204, "/shop/kept-safe/?made=1")
    shown = as_owner.get("/shop/kept-safe/?made=1").text
    assert shown.count("Backed up.") == 1
    assert "just now" in shown
    assert "Backed up." not in as_owner.get("/shop/kept-safe/").text


def test_old_backups_are_let_go_by_the_rule(empty_folder):
    actions.folder().mkdir(exist_ok=True)
    now = timezone.localtime()
    for days in range(40):
        stamp = (now - timedelta(days=days)).strftime(actions.STAMP)
        Path(actions.folder(), f"gusset-{stamp}.tar").write_bytes(b"")
    actions.let_go(actions.folder())
    assert 7 <= len(actions.backups()) <= 7 + 4 + 2


def test_a_second_backup_waits_while_one_runs(empty_folder):
    with running.only_one() as first, running.only_one() as second:
        assert (first, second) == (True, False)


def test_the_owner_downloads_a_backup_and_nobody_else_does(empty_folder, as_owner, as_hand):
    path = actions.make()
    response = as_owner.get(f"/shop/kept-safe/{path.name}")
    assert b"".join(response.streaming_content) == path.read_bytes()
    assert response.headers["Content-Disposition"] == f'attachment; filename="{path.name}"'
    assert as_hand.get(f"/shop/kept-safe/{path.name}").status_code == 403
    assert as_owner.get("/shop/kept-safe/gusset-20200101-000000.tar").status_code == 404


def test_a_folder_that_is_not_there_is_refused_at_the_field(as_owner):
    response = as_owner.post("/shop/kept-safe/", {"every": "day", "hour": "4", "copy_to": "/no/such/folder"})
    assert response.status_code == 422
    assert "That folder is not there. Is the disk mounted?" in response.text

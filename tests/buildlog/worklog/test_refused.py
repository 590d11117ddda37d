"""What Tonight can't take stays on the page, with the reason at its field and the way to where it is put right."""

import uuid
from datetime import timedelta

import pytest
from bs4 import BeautifulSoup
from django.utils import timezone

from buildlog.tasks.models import Status, Task
from buildlog.worklog import actions
from buildlog.worklog.models import Entry, WorkSession
from tests.factories import make_build, make_part, make_place, make_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(db):
    return make_build()


def main(answer):
    assert answer.status_code == 422
    return BeautifulSoup(answer.content, "html.parser").select_one("#main")


@pytest.mark.parametrize("words", ["", "  ", "Gas. " * 41])
def test_a_hold_says_at_its_field_what_is_wrong_and_keeps_what_was_typed(as_hand, build, words):
    task = make_task("Weld", build=build, status=Status.STARTED)
    page = main(as_hand.post(f"/tonight/task/{task.pk}/hold/", {"words": words}))
    box = page.select_one("[name=words]")  # the first of them, at the head of the page
    error = page.find(id=f"{box['id']}_error")
    assert (error.get_text() == "Say what the task waits for.") == (not words.strip())
    assert box.get("value", "").strip() == words.strip()
    assert box["aria-invalid"] == "true"
    assert (Task.objects.get().on_hold, Entry.objects.count()) == ("", 0)
    action = box.find_parent("form")["action"]
    assert as_hand.post(action, {"words": "Gas"}).headers["Location"] == "/tonight/#said"
    assert Task.objects.get().on_hold == "Gas"


@pytest.mark.parametrize("verb", ["start", "hold"])
def test_a_task_that_is_over_leads_to_its_page(as_hand, build, verb):
    task = make_task("Weld", build=build, status=Status.DONE, finished_at=timezone.now() - timedelta(hours=1))
    page = main(as_hand.post(f"/tonight/task/{task.pk}/{verb}/", {"words": "Gas"}))
    assert "reopen it on its own page" in page.select_one(".error").get_text()
    assert page.find("a", string="Open the task’s page")["href"] == f"/tasks/{task.pk}/"


def test_a_stop_with_nothing_to_stop_leads_to_the_night_from_memory(as_hand, build):
    page = main(as_hand.post("/tonight/stop/", {"words": "Prime"}))
    assert page.select_one("#stop-here .btn")["href"] == "/sessions/remember/"
    assert page.select_one("#stop-here-words").get_text().strip() == "Prime"


def test_a_stop_that_another_had_words_for_leads_to_the_end_of_that_night(as_hand, build):
    now = timezone.now()
    session = actions.start(build=build, by=None, at=now - timedelta(hours=2))
    actions.stop(session=session, at=now + timedelta(minutes=1), stopping_point="Grind it")
    page = main(as_hand.post("/tonight/stop/", {"words": "Prime"}))
    assert page.select_one("#stop-here .btn")["href"] == f"/sessions/{session.pk}/stop/"


def test_a_part_that_is_not_there_leads_to_the_place(as_hand, build):
    tub = make_place("bin")
    part = make_part(holds={tub: 1})
    fields = {"uid": str(uuid.uuid4()), "kind": "part", "part": str(part.pk), "quantity": "5", "happened": "used"}
    page = main(as_hand.post("/tonight/log/", fields))
    assert page.find("a", string=f"Look at {tub}")["href"] == tub.get_absolute_url()


def test_a_login_in_between_leads_to_where_it_can_be_said_again(as_hand, build):
    task = make_task("Weld", build=build)
    for path, to in (
        (f"/tonight/task/{task.pk}/hold/", f"/tasks/{task.pk}/"),
        (f"/tasks/{task.pk}/mark/hold/", f"/tasks/{task.pk}/"),
        ("/tonight/stop/", "/tonight/"),
        ("/tonight/start/", "/tonight/"),
    ):
        assert as_hand.get(path).headers["Location"] == to
    assert not WorkSession.objects.exists()
    assert Task.objects.get().is_open

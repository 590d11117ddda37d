"""Tasks typed one a line, as a person meets them."""

import uuid
from decimal import Decimal

import pytest
from bs4 import BeautifulSoup

from buildlog.tasks.models import Need
from tests.factories import make_build, make_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def build():
    return make_build("HB-64", areas=("Side hatch", "Floor"))


def test_typed_tasks_arrive_with_areas_and_needs_and_leave_again_with_undo(as_hand, build):
    make_task("Saw blocks", build=build)
    text = "Doors:\nHang the door 1-2-3h\n  Weld hinges after: saw blocks\nSide hatch:\nPaint it"
    address = f"/plan/add/?build={build.code}"
    uid = str(uuid.uuid4())
    page = as_hand.post(address, {"text": text, "uid": uid}, follow=True)
    as_hand.post(address, {"text": text, "uid": uid})  # a second tap
    assert [(task.area and task.area.name, task.title, task.hours_high) for task in build.tasks.in_order()] == [
        ("Side hatch", "Paint it", None),
        ("Doors", "Hang the door", Decimal(3)),
        ("Doors", "Weld hinges", None),
        (None, "Saw blocks", None),
    ]
    assert set(Need.objects.values_list("task__title", "need__title")) == {
        ("Hang the door", "Weld hinges"),
        ("Weld hinges", "Saw blocks"),
    }
    as_hand.post(BeautifulSoup(page.content, "html.parser").select_one(".flash form")["action"])
    assert [task.title for task in build.tasks.all()] == ["Saw blocks"]
    assert [area.name for area in build.areas.all()] == ["Side hatch", "Floor"]


def test_undoing_added_tasks_leaves_an_area_that_is_used_by_now(as_hand, build):
    typed = {"text": "Doors:\nHang the door\nBumpers:\nStraighten it", "uid": str(uuid.uuid4())}
    page = as_hand.post(f"/plan/add/?build={build.code}", typed, follow=True)
    make_task("Grease the hinges", build=build, area=build.areas.get(name="Doors"))
    as_hand.post(BeautifulSoup(page.content, "html.parser").select_one(".flash form")["action"])
    assert [area.name for area in build.areas.all()] == ["Side hatch", "Floor", "Doors"]


def test_typed_tasks_that_cannot_be_read_come_back_with_the_line_and_the_reason(as_hand, build):
    text = "Hang\n  Weld after: Hang\nPaint after: Nobody"
    page = as_hand.post(f"/plan/add/?build={build.code}", {"text": text, "uid": str(uuid.uuid4())})
    assert page.status_code == 422
    soup = BeautifulSoup(page.content, "html.parser")
    assert [error.get_text() for error in soup.select(".error")] == [
        "Line 1: these go round in a circle: “Hang” needs “Weld”, which needs “Hang”.",
        "Line 3: there is no task called “Nobody” here or in the plan.",
    ]
    assert soup.select_one("textarea").get_text().strip() == text
    assert build.tasks.count() == 0


def test_typing_a_task_again_is_taken_and_said(as_hand, build):
    make_task("Saw blocks", build=build)
    typed = {"text": "Saw blocks\nPaint it", "uid": str(uuid.uuid4())}
    page = as_hand.post(f"/plan/add/?build={build.code}", typed, follow=True)
    assert "Added 2 tasks. “Saw blocks” stands in the plan twice now." in page.text
    assert build.tasks.count() == 3

"""The plan on a phone, by touch: type tasks, start one, finish it and see what can go on."""

import pytest

from buildlog.tasks.models import Need, Task
from tests.factories import make_build

from .conftest import signed_in

pytestmark = pytest.mark.django_db


def test_tasks_are_typed_tied_finished_and_free_the_next_by_touch(visit, owner):
    make_build("HB-64")
    phone = signed_in(visit.window("phone"))
    phone.get_by_role("link", name="Plan").tap()
    phone.get_by_role("link", name="Add tasks").tap()
    phone.get_by_label("Tasks, one a line").fill("Side hatch:\nHang the hatch 2h\n    Weld hinges\nPaint it")
    phone.get_by_role("button", name="Add them").tap()
    phone.get_by_text("Added 3 tasks.").wait_for()

    # One more need, by a few letters of its title.
    phone.get_by_role("link", name="Paint it").tap()
    phone.get_by_role("link", name="Add what must come first").tap()
    phone.get_by_label("What must be done before it").press_sequentially("hang")
    phone.locator(".pick-one", has_text="Hang the hatch").tap()
    phone.get_by_role("button", name="It comes after this").tap()
    phone.get_by_text("“Paint it” comes after “Hang the hatch” now.").wait_for()
    assert Need.objects.filter(task__title="Paint it", need__title="Hang the hatch").exists()

    # The other way round would be a circle.
    phone.get_by_role("link", name="Hang the hatch").first.tap()
    phone.get_by_role("link", name="Add what must come first").tap()
    phone.get_by_label("What must be done before it").press_sequentially("paint")
    phone.locator(".pick-one", has_text="Paint it").tap()
    phone.get_by_role("button", name="It comes after this").tap()
    phone.get_by_text("“Hang the hatch” needs “Paint it”, which needs “Hang the hatch”.").wait_for()

    phone.get_by_role("link", name="Hang the hatch").first.tap()
    phone.locator(".reasons a", has_text="Weld hinges").tap()
    phone.get_by_role("button", name="Start", exact=True).tap()
    phone.get_by_role("button", name="Finish", exact=True).tap()
    phone.get_by_text("Finished “Weld hinges”. Hang the hatch can go on.").wait_for()
    phone.get_by_role("button", name="Undo").tap()
    phone.get_by_text("Undone: Finished Weld hinges.").wait_for()
    assert Task.objects.get(title="Weld hinges").status == "started"

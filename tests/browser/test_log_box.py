"""The box of Tonight under a finger and at the desk: where the caret is, what comes back of a draft or a refusal."""

import pytest
from playwright.sync_api import expect

from buildlog.worklog.models import Entry
from inventory.parts.models import Holding, Move
from tests.factories import make_build, make_part, make_place, make_task

from .conftest import signed_in

pytestmark = pytest.mark.django_db
BOX = "What just happened?"


def part_box(page):
    return page.get_by_role("textbox", name="Part", exact=True)


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_after_a_save_the_caret_is_in_the_box_and_the_box_in_sight(visit, owner, size):
    build = make_build("HB-64")
    for number in range(12):
        make_task(f"Task {number}", build=build)
    page = signed_in(visit.window(size))
    box = page.get_by_label(BOX)
    long = "\n".join(f"Line {number}" for number in range(40))
    for words, more in (("The first begins the session", ""), ("The second", long), ("The third", "")):
        box.fill(words + more)
        page.get_by_role("button", name="Save to log").click()
        page.locator("#so-far li", has_text=words).wait_for()
        expect(box).to_be_focused()
        expect(box).to_be_in_viewport(ratio=1)
    page.keyboard.type("By the keyboard alone")
    page.keyboard.press("Control+Enter")
    page.locator("#so-far li", has_text="By the keyboard alone").wait_for()
    assert Entry.objects.count() == 4


def test_a_long_word_never_widens_the_page(visit, owner):
    make_build("HB-64")
    page = signed_in(visit.window("phone"))
    page.locator(".kinds label", has_text="Snag").tap()
    page.get_by_label(BOX).fill("Z" * 150)
    page.get_by_role("button", name="Save to log").tap()
    page.get_by_role("button", name="Make it a task").tap()
    page.get_by_text("Became a task").wait_for()
    assert page.evaluate("[document.documentElement.scrollWidth, innerWidth]") == [390, 390]


def test_a_draft_of_a_part_has_its_list_and_the_part_that_was_picked(visit, owner):
    make_build("HB-64")
    make_place("bench", short="W1")
    drawer = make_place("drawer", short="B3")
    make_part("M6 hex bolt", holds={drawer: 7})
    make_part("M8 hex bolt", holds={drawer: 15})
    make_part("Clip", holds={drawer: 2})
    page = signed_in(visit.window("phone"))
    page.locator(".kinds label", has_text="Part").tap()
    part_box(page).press_sequentially("hex bolt")
    expect(page.locator(".pick-one :checked")).to_have_count(0)  # two are meant: haste takes neither
    page.locator(".pick-one", has_text="15 there").tap()
    context = page.context
    page.close()
    page = context.new_page()
    page.goto("/tonight/")
    page.get_by_text("Not saved yet").wait_for()
    expect(part_box(page)).to_have_value("hex bolt")
    expect(page.locator(".pick-one", has_text="15 there").locator("input")).to_be_checked()
    expect(page.locator(".pick-one", has_text="Clip")).to_have_count(0)
    page.get_by_role("button", name="Save to log").tap()
    page.locator("#so-far li", has_text="Took 1 × M8 hex bolt from B3. 14 left.").wait_for()
    expect(page.get_by_text("Not saved yet")).to_be_hidden()


def test_a_refused_part_stays_picked_and_is_not_taken_again_by_the_next_line(visit, owner):
    make_build("HB-64")
    make_place("bench", short="W1")
    drawer = make_place("drawer", short="B3")
    bolts = make_part("M8 hex bolt", holds={drawer: 15})
    make_part("M6 hex bolt", holds={drawer: 7})
    page = signed_in(visit.window("phone"))
    page.locator(".kinds label", has_text="Part").tap()
    part_box(page).press_sequentially("hex bolt")
    page.locator(".pick-one", has_text="15 there").tap()
    page.get_by_label("How many").fill("999")
    page.get_by_role("button", name="Save to log").tap()
    page.get_by_text("There are only 15 of").wait_for()
    expect(page.locator(".pick-one", has_text="15 there").locator("input")).to_be_checked()
    page.get_by_label("How many").fill("2")
    page.get_by_role("button", name="Save to log").tap()
    page.locator("#so-far li", has_text="Took 2 × M8 hex bolt from B3. 13 left.").wait_for()
    page.locator(".kinds label", has_text="Part").tap()
    expect(page.locator(".if-part .pick-one :checked")).to_have_count(0)
    assert Holding.objects.get(part=bolts, location=drawer).quantity == 13
    assert Move.objects.filter(reason="moved").count() == 1


def test_an_empty_file_is_refused_at_its_field_and_the_line_waits(visit, owner):
    make_build("HB-64")
    page = signed_in(visit.window("phone"))
    page.get_by_label(BOX).fill("With its picture")
    page.locator("input[type=file][name=photos]").set_input_files(
        {"name": "empty.jpg", "mimeType": "image/jpeg", "buffer": b""}
    )
    page.get_by_role("button", name="Save to log").tap()
    page.locator("#log .error", has_text="The file is empty. Take the picture again.").wait_for()
    assert page.get_by_label(BOX).input_value() == "With its picture"
    assert not Entry.objects.exists()


def test_where_no_script_has_run_what_a_tap_at_the_bench_did_is_in_sight(visit, owner):
    build = make_build("HB-64")
    tasks = [make_task(f"Task {number}", build=build) for number in range(6)]
    page = signed_in(visit.window("phone", java_script_enabled=False))
    page.get_by_role("button", name=f"Start {tasks[4]}").tap()
    told = page.locator(".flash", has_text="Started “")
    expect(told).to_be_in_viewport(ratio=1)
    expect(told.get_by_role("button", name="Undo")).to_be_in_viewport(ratio=1)

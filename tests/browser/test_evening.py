"""A whole evening on a phone, by touch: start, notes, a measure, a photo, bolts, a task done, a closed tab, stop."""

import io
from time import perf_counter

import pytest
from PIL import Image
from playwright.sync_api import expect

from buildlog.worklog.models import Entry, WorkSession
from inventory.parts.models import Holding
from tests.factories import make_build, make_part, make_place, make_task

from .conftest import axe, signed_in

pytestmark = pytest.mark.django_db
MOST_TAPS, MOST_SECONDS = 4, 10


class Finger:
    """Taps, and counts them."""

    def __init__(self, page):
        self.page, self.taps = page, 0

    def tap(self, target):
        target.tap()
        self.taps += 1

    def button(self, name, **options):
        self.tap(self.page.get_by_role("button", name=name, **options))

    def kind(self, name):
        self.tap(self.page.locator(".kinds label", has_text=name))

    def type(self, text):
        self.tap(self.page.get_by_label("What just happened?"))
        self.page.keyboard.type(text)

    def save(self, shows):
        self.button("Save to log")
        self.page.locator("#so-far li", has_text=shows).first.wait_for()


def picture() -> dict:
    out = io.BytesIO()
    Image.effect_noise((2600, 1900), 60).convert("RGB").save(out, "JPEG")
    return {"name": "hinge.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def test_a_whole_evening_by_touch(visit, owner):
    build = make_build("HB-64", areas=("Side hatch",))
    hinges = make_task("Weld hatch hinges", build=build, area=build.areas.get())
    make_task("Hang the hatch", build=build, needs=[hinges])
    drawer = make_place("drawer", short="B3")
    make_place("bench", short="W1", name="Workbench")
    bolts = make_part("M8×25 hex bolt", holds={drawer: 15})
    page = signed_in(visit.window("phone"))
    finger = Finger(page)

    # Start, and the first note.
    began = perf_counter()
    finger.button("Start the session")
    page.get_by_text("Running").wait_for()
    assert page.evaluate("document.activeElement.name") == "text"  # the cursor is in the box
    finger.type("Left hinge binds when bolted up dry")
    finger.save("Left hinge binds")
    first = perf_counter() - began
    print(f"\nstart to first saved note: {first:.1f} s, {finger.taps} taps")
    assert first < MOST_SECONDS

    finger.button("Start Weld hatch hinges")
    page.locator("#so-far", has_text="Started “Weld hatch hinges”").wait_for()

    # A note with a photo.
    finger.taps = 0
    finger.type("Shimmed it 1 mm")
    with page.expect_file_chooser() as chooser:
        finger.tap(page.locator("label.btn", has_text="Photo"))
    chooser.value.set_files(picture())
    page.get_by_text("1 photo").wait_for()
    finger.save("Shimmed it 1 mm")
    print(f"note with a photo: {finger.taps} taps")
    assert finger.taps <= MOST_TAPS
    assert page.locator("#so-far img").count() == 1

    # A measure, in both systems.
    finger.kind("Measure")
    finger.type("hatch opening 43 5/16 x 43 3/16")
    finger.save("1100.1 mm × 1097 mm")

    # Bolts from a drawer.
    finger.taps = 0
    finger.kind("Part")
    finger.tap(page.get_by_label("Part", exact=True))
    page.get_by_role("textbox", name="Part", exact=True).press_sequentially("m8")
    finger.tap(page.locator(".pick-one", has_text="15 there"))
    page.get_by_label("How many").fill("6")
    finger.save("Took 6 × M8×25 hex bolt from B3. 9 left.")
    print(f"bolts from a drawer: {finger.taps} taps")
    assert Holding.objects.get(part=bolts, location=drawer).quantity == 9

    # A task is done, and what that frees is said.
    finger.button("✓ Finished Weld hatch hinges")
    page.locator("#so-far", has_text="1 task can go on: Hang the hatch.").wait_for()
    told = page.locator(".flash", has_text="1 task can go on: Hang the hatch.")
    expect(told).to_be_in_viewport()  # though the button stood further down
    expect(told.get_by_role("button", name="Undo")).to_be_in_viewport()

    # The tab is closed in the middle of a word, and opened again.
    finger.kind("Snag")
    finger.type("Pin is worn ov")
    context = page.context
    page.close()
    page = context.new_page()
    page.goto("/tonight/")
    finger.page = page
    assert page.get_by_label("What just happened?").input_value() == "Pin is worn ov"
    page.get_by_text("Not saved yet").wait_for()
    page.get_by_label("What just happened?").press("End")
    page.keyboard.type("al")
    finger.save("Pin is worn oval")
    assert Entry.objects.get(text="Pin is worn oval").kind == "snag"
    page.reload()
    assert page.get_by_label("What just happened?").input_value() == ""

    # Stop for the night, taking what it offers.
    finger.taps = 0
    began = perf_counter()
    finger.tap(page.get_by_role("link", name="Stop for the night"))
    expect(page.get_by_role("button", name="Good night")).to_be_in_viewport(ratio=1)  # one tap, as it stands
    finger.button("A quarter hour more: Weld hatch hinges")
    assert page.get_by_label("Weld hatch hinges", exact=True).input_value() == "0:15"
    assert axe(page) == []
    finger.button("Good night")
    page.get_by_text("Good night. Next time").wait_for()
    print(f"stop for the night: {finger.taps} taps, {perf_counter() - began:.1f} s")
    session = WorkSession.objects.get()
    assert session.stopping_point == "Hang the hatch."
    assert session.times.get().minutes == 15
    page.get_by_role("link", name="Tonight").tap()
    page.get_by_text("Where you stopped").wait_for()


def test_a_line_survives_a_login_that_ran_out_and_is_saved_once(visit, owner):
    make_build("HB-64")
    page = signed_in(visit.window("phone"))
    page.get_by_label("What just happened?").fill("Typed before the login ran out")
    page.context.clear_cookies(name="sessionid")
    page.get_by_role("button", name="Save to log").tap()
    expect(page.get_by_label("What just happened?")).to_have_value("")  # what the phone has kept is no draft any more
    page.get_by_role("link", name="Sign in to send.").tap()
    signed_in_again(page)
    page.locator("#so-far li", has_text="Typed before").wait_for()
    assert Entry.objects.count() == 1


def test_a_page_that_can_not_be_had_anew_stays_while_somebody_writes(visit, owner):
    make_build("HB-64")
    page = signed_in(visit.window("phone", service_workers="block"))
    page.evaluate("window.stayed = true")
    broken = []

    def once(route):
        if route.request.resource_type != "fetch" or broken:
            return route.continue_()
        broken.append(route.request.url)
        return route.fulfill(status=502, body="not now")

    page.route("**/tonight/", once)
    page.get_by_role("button", name="Start the session").tap()
    page.get_by_label("What just happened?").tap()
    page.keyboard.type("Left hinge binds")
    page.get_by_text("Running").wait_for()
    assert broken
    assert page.evaluate("window.stayed")
    assert page.get_by_label("What just happened?").input_value() == "Left hinge binds"
    visit.complaints.clear()  # the browser notes the answer that was broken, and the worker that was kept away


def test_where_no_script_has_run_a_line_is_posted_plainly_and_lands_on_tonight(visit, owner):
    make_build("HB-64")
    page = signed_in(visit.window("phone", java_script_enabled=False))
    page.get_by_role("button", name="Start the session").tap()
    page.get_by_text("Running").wait_for()
    page.get_by_label("What just happened?").fill("Left hinge binds")
    page.get_by_role("button", name="Save to log").tap()
    page.locator("#so-far li", has_text="Left hinge binds").wait_for()
    assert page.url.endswith("/tonight/#log")
    assert Entry.objects.count() == WorkSession.objects.count() == 1


def signed_in_again(page):
    from tests.factories import PASSWORD

    page.get_by_label("Name").fill("Olga")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Come in").click()

"""Bolts, phone in hand: a cabinet is filled from a list, a found bolt named, one chosen, one kind counted by weight."""

import pytest

from inventory.parts.models import Holding, Part
from inventory.places.actions_grid import organizer_places, set_up
from inventory.places.calc.grid import Numbering

from .conftest import axe, signed_in

LIST = (
    "A1 M8x25 hex 8.8, 40\nB1 M8 hex 8.8, lengths 30 to 40\nA2 M8 washer, 200\nA2 M8 nyloc, 50\nA3 M8x1x25 hex 8.8, 9"
)


@pytest.fixture
def cabinet(db):
    """Two rows of three drawers, 60 mm wide and 40 high."""
    places = organizer_places(
        parent=None, name="Bolts", short="H1", rows=2, cols=3, numbering=Numbering(style="letters", restart=True),
        cell_width=60, cell_height=40,
    )  # fmt: skip
    return set_up(places=places, by=None)


def test_bolts_are_put_in_drawers_named_chosen_and_weighed_from_the_phone(phone, visit, cabinet):
    # Filled from a typed list, after it has said what it understood.
    phone.goto(cabinet.get_absolute_url())
    phone.get_by_role("link", name="Fill from a list").tap()
    phone.get_by_label("A drawer a line").fill(LIST)
    phone.get_by_role("button", name="See what it means").tap()
    phone.get_by_text("6 drawers, 7 things new to the list.").wait_for()
    phone.get_by_role("button", name="Fill them so").tap()
    phone.get_by_role("status").get_by_text("Filled 6 drawers of H1").wait_for()
    said = [drawer.get_attribute("aria-label") for drawer in phone.locator(".cabinet a").all()]
    assert said[:4] == ["A1, M8×25", "A2, M8 lock nut, M8 washer", "A3, M8×1×25", "B1, M8×30, none there"]
    assert axe(phone) == []

    # What is this? A caliper, a gauge, and on to what is known of it and what the shop has.
    phone.goto("/fasteners/what-is-this/")
    phone.get_by_label("Across the thread").fill("7.9")
    phone.get_by_label("Pitch by a metric gauge").fill("1.25")
    phone.get_by_text("What its head says").tap()
    phone.get_by_label("Across the flats").fill("12.9")
    phone.get_by_label("On its head stands").select_option("8.8")
    phone.get_by_role("button", name="Say which").tap()
    first = phone.locator(".rows li").first
    first.get_by_text("M8×1.25, coarse").wait_for()
    assert first.get_by_text("fits").is_visible()
    assert axe(phone) == []
    first.get_by_role("link").tap()
    phone.get_by_text("about 25 N·m").wait_for()
    assert phone.locator(".figures").get_by_text("6.8 mm").is_visible()
    phone.get_by_label("Under the head and on the thread").select_option("lubricated")
    phone.get_by_role("button", name="Reckon with that").tap()
    phone.get_by_text("about 23 N·m").wait_for()

    # Will something here do? The nearest, and why the others won't.
    phone.get_by_role("link", name="Will something here do?").tap()
    phone.get_by_label("What is wanted").fill("M8 x 22 hex 8.8")
    phone.get_by_label("How many").fill("6")
    phone.get_by_role("button", name="Look what is here").tap()
    phone.get_by_text("3 mm too long: 2 flat washers under the head").wait_for()
    assert phone.get_by_text("another pitch, 1 mm: it does not screw in").is_visible()
    assert axe(phone) == []

    # Counted by weight: 10 weigh 120 g, the lot 456 g.
    phone.goto(Part.objects.get(fastener_key__startswith="m8×1.25×25").get_absolute_url())
    phone.get_by_role("link", name="Correct").tap()
    phone.get_by_role("link", name="Count by weight").tap()
    phone.get_by_label("They weigh, g").fill("120")
    phone.get_by_label("All of them weigh, g").fill("456")
    phone.get_by_role("button", name="How many are there?").tap()
    phone.get_by_role("link", name="Correct the number to 38").tap()
    phone.get_by_role("button", name="That is how many there are").tap()
    phone.get_by_role("status").first.wait_for()
    assert Holding.objects.get(location__short="A1").quantity == 38


def test_the_cabinet_is_drawn_to_scale_whole_on_a_desk_and_pushed_sideways_on_a_phone(visit, owner, cabinet):
    for size, scheme in (("desk", "dark"), ("narrow", "light")):
        page = signed_in(visit.window(size, scheme=scheme))
        page.goto(cabinet.get_absolute_url())
        box = page.locator(".cabinet .cell rect").first.bounding_box()
        assert (box["width"] + 3) / (box["height"] + 3) == pytest.approx(60 / 40, rel=0.02)
        assert box["height"] >= 44
        overflow = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert overflow <= 0
        assert axe(page) == []
        last, frame = page.locator(".cabinet a").last, page.locator(".cabinet-front")
        hint = page.get_by_text("Push it sideways: 3 drawers across")
        assert hint.is_visible() is (size == "narrow")
        edge = page.locator("figure.cabinet").bounding_box()
        assert (edge["x"], edge["x"] + edge["width"]) == (0, 320) or size == "desk"  # all the width there is
        assert (frame.evaluate("box => box.scrollWidth > box.clientWidth")) is (size == "narrow")
        last.scroll_into_view_if_needed()
        right = last.bounding_box()["x"] + last.bounding_box()["width"]
        assert right <= page.viewport_size["width"] + 1

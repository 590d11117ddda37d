"""A box for picking without signal: typed words and a tapped choice never say two things."""

import pytest
from playwright.sync_api import expect

from .test_outbox import arrived, held


@pytest.fixture
def take_out(phone, signal, shop):
    """The form to take bolts out of a bin, open when the signal goes."""
    phone.goto(f"/move/take-out/?place={shop.other.pk}&part={shop.bolt.pk}")
    expect(phone.get_by_role("radio").first).to_be_visible()
    signal.cut()
    return phone


def test_a_tap_after_typing_puts_the_typed_words_away(take_out, signal, shop):
    take_out.evaluate("() => { Gusset.index.load = async () => null; }")  # a phone that has no list of things yet
    take_out.get_by_label("Where to", exact=True).press_sequentially(shop.bin.address)
    expect(take_out.get_by_text("The list of things isn’t on this phone yet")).to_be_visible()
    assert take_out.get_by_role("radio", checked=True).count() == 0
    take_out.get_by_role("radio", name="B1").check()
    expect(take_out.get_by_label("Where to", exact=True)).to_have_value("")
    take_out.get_by_role("button", name="Take out").click()
    expect(take_out.get_by_text("out of 15 to Bench B1. Not in the shop yet")).to_be_visible()
    signal.mend()
    take_out.goto("/find/")
    arrived(1, take_out)
    assert held(shop.bolt, shop.bench) == 1


def test_typing_after_a_tap_is_what_is_meant_and_what_it_is_called(take_out, signal, shop):
    take_out.get_by_role("radio", name="B1").check()
    take_out.get_by_label("Where to", exact=True).press_sequentially(shop.bin.address)
    take_out.get_by_role("button", name="Take out").click()
    expect(take_out.get_by_text(f"out of 15 to {shop.bin.address}. Not in the shop yet")).to_be_visible()
    before = held(shop.bolt, shop.bin)
    signal.mend()
    take_out.goto("/find/")
    arrived(1, take_out)
    assert held(shop.bolt, shop.bin) == before + 1


def test_a_choice_of_those_that_were_answered_leaves_the_words(phone, shop):
    phone.goto(f"/move/take-out/?place={shop.other.pk}&part={shop.bolt.pk}")
    box = phone.get_by_label("Where to", exact=True)
    with phone.expect_response("**/pick/place/**"):
        box.press_sequentially("bench")
    expect(box).to_have_attribute("data-answered", "bench")
    phone.get_by_role("radio", name="B1").check()
    expect(box).to_have_value("bench")


def test_a_tap_before_the_answer_stays_ticked(phone, shop):
    phone.goto(f"/move/take-out/?place={shop.other.pk}&part={shop.bolt.pk}")
    box = phone.get_by_label("Where to", exact=True)
    box.press_sequentially("bin")
    phone.get_by_role("radio", name="B1").check()
    phone.wait_for_timeout(600)  # what was asked would have been answered
    expect(box).to_have_value("")
    expect(phone.get_by_role("radio", name="B1")).to_be_checked()


def test_an_emptied_box_keeps_nothing_of_what_was_answered(phone, shop):
    phone.goto(f"/move/take-out/?place={shop.other.pk}&part={shop.bolt.pk}")
    box = phone.get_by_label("Where to", exact=True)
    box.press_sequentially(shop.bin.address)
    expect(box).to_have_attribute("data-answered", shop.bin.address)
    box.fill("")
    phone.wait_for_timeout(600)  # what was asked would have been answered
    assert phone.locator(".picks :checked").count() == 0

"""The Scan page without signal, for a code the phone has not heard of: a sound one and a misread one are told apart."""

import pytest
from playwright.sync_api import expect

from inventory.labels.actions import labels_for, make_blank
from inventory.labels.models import Label

from ..conftest import axe
from .conftest import take_along
from .test_outbox import arrived


@pytest.fixture
def away(phone, signal, shop):
    """The phone without signal, and a label of bin 15 it knows."""
    known = labels_for(things=[shop.other], by=None)[0]
    phone.goto("/scan/")
    take_along(phone)
    return known


def scan(page, text: str):
    page.goto("/scan/")
    page.get_by_role("textbox").first.fill(text)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="On this phone")).to_be_visible()


def slipped(code: str) -> str:
    return code[:-1] + ("3" if code[-1] != "3" else "4")


def test_a_sound_code_is_said_to_be_one_and_its_label_can_be_put_to_use(phone, signal, shop, away):
    blank = make_blank(count=1)[0]
    signal.cut()
    scan(phone, blank.code.lower())
    expect(phone.get_by_text("is a sound code that this phone doesn’t know: printed since")).to_be_visible()
    assert axe(phone) == []
    phone.get_by_role("link", name="Say what it is on").click()
    phone.get_by_label("What is it on?").fill("Door strap")
    phone.get_by_role("button", name="A new part: Door strap").click()
    expect(phone.get_by_text(": Door strap", exact=False).last).to_be_visible()
    signal.mend()
    phone.goto("/find/")
    arrived(1, phone)
    assert Label.objects.get(code=blank.code).part.name == "Door strap"


def test_a_sound_code_is_looked_for_again_when_there_is_signal(phone, signal, shop, away):
    late = labels_for(things=[shop.bin], by=None)[0]
    signal.cut()
    scan(phone, late.code)
    signal.mend()
    phone.locator("main").get_by_role("link", name="Look again").click()
    expect(phone).to_have_url(f"{signal.url}{shop.bin.get_absolute_url()}")


def test_a_misread_code_is_said_to_be_none_and_the_one_a_slip_away_is_offered(phone, signal, shop, away):
    signal.cut()
    scan(phone, slipped(away.code))
    expect(phone.get_by_text("is not a label’s code: check it again")).to_be_visible()
    expect(phone.get_by_role("heading", name="Is it this one?")).to_be_visible()
    expect(phone.locator("main .rows li").first).to_contain_text("15")
    expect(phone.get_by_role("link", name="Say what it is on")).to_have_count(0)


def test_what_is_no_code_is_looked_for_as_words(phone, signal, shop, away):
    signal.cut()
    scan(phone, "hatch bolt")
    expect(phone.locator("main .rows li").first).to_contain_text("Hatch bolt")
    scan(phone, "winch")
    expect(phone.get_by_text("Nothing found for “winch”")).to_be_visible()

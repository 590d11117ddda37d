"""Coming in, as a person does it: set the shop up on a phone, and let a second phone in from the first."""

import re

import pytest
from playwright.sync_api import expect

from inventory.people import setup_code
from tests.factories import PASSWORD

from .conftest import axe, signed_in


@pytest.fixture
def code(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    return setup_code.issue()


def test_an_empty_shop_is_set_up_by_touch_with_the_code_from_the_terminal(visit, code):
    page = visit.window("phone")
    page.goto("/parts/")
    expect(page).to_have_url(re.compile("/setup/$"))
    assert axe(page) == []
    page.get_by_label("Code from the terminal").fill(code)
    page.get_by_label("Your name").fill("Olga")
    page.get_by_label("A password").fill(PASSWORD)
    show = page.get_by_role("button", name="Show the password")
    show.tap()
    expect(page.get_by_label("A password")).to_have_attribute("type", "text")
    expect(show).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="Open the shop").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("First steps")
    page.get_by_role("link", name="Make a place").tap()
    expect(page).to_have_url(re.compile("/places/new/$"))
    page.goto("/setup/")
    expect(page).not_to_have_url(re.compile("/setup/"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_second_phone_is_let_in_by_one_button_and_the_first_says_so(visit, owner, scheme):
    first, second = signed_in(visit.window("phone", scheme=scheme)), visit.window("phone", scheme=scheme)
    first.goto("/me/")
    first.get_by_role("button", name="Let a phone in").tap()
    expect(first.locator(".qr")).to_be_visible()
    assert axe(first) == []
    first.get_by_text("No camera").tap()
    token = first.locator(".code.sheet").inner_text().replace("-", "")
    seen = []
    second.on("request", lambda request: seen.append(request.url))
    second.goto(f"/pair/#{token}")
    expect(second.get_by_label("Code from the other screen")).to_be_hidden()
    assert axe(second) == []
    second.get_by_role("button", name="Let this phone in").tap()
    expect(second.get_by_text("Hello Olga.")).to_be_visible()
    # A fragment is never sent (RFC 3986, 3.5); nothing of ours puts it into an address either.
    assert not [url for url in seen if token in url.partition("#")[0]]
    expect(first.get_by_text("Chrome on Linux is in")).to_be_visible()
    expect(first.locator(".qr")).to_have_count(0)
    assert axe(first) == []
    first.goto("/me/")
    expect(first.get_by_text("● this one")).to_have_count(1)
    first.get_by_role("button", name="Sign out all but this one").tap()
    expect(first.get_by_text("Signed out: 1 other device.")).to_be_visible()
    second.goto("/me/")
    expect(second).to_have_url(re.compile(r"/login/\?next=/me/"))


def test_without_a_scanned_code_there_is_a_box_to_type_it(visit, owner):
    page = visit.window("narrow")
    page.goto("/pair/")
    expect(page.get_by_label("Code from the other screen")).to_be_visible()
    page.get_by_label("Code from the other screen").fill("AAAAA-AAAAA")
    page.get_by_role("button", name="Let this phone in").tap()
    expect(page.get_by_text("That code is used or has run out.")).to_be_visible()
    assert axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 320

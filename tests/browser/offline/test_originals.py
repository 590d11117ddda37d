"""Original photos: only where the owner wants them, after the small ones, over Wi-Fi or by hand."""

import pytest
from playwright.sync_api import expect

from buildlog.worklog.models import Entry
from inventory.photos import imaging
from inventory.photos.models import Photo

from ..conftest import axe
from .conftest import until
from .test_outbox import arrived, log, picture

WAIT = "async count => window.Gusset && Gusset.originals && (await Gusset.originals.mine()).length === count"
# What the browser says of its connection; a phone on a contract, one on Wi-Fi, and one that says nothing.
LINES = {
    "paid by the byte": "{type: 'cellular', saveData: false}",
    "saving data": "{type: 'wifi', saveData: true}",
    "unsaid": "undefined",
    "wifi": "{type: 'wifi', saveData: false}",
}


def on_a_line(page, line: str) -> None:
    said = f"{{value: {LINES[line]}, configurable: true}}"
    page.add_init_script(f"Object.defineProperty(navigator, 'connection', {said})")


def wants_originals(page) -> None:
    page.goto("/phone/")
    page.get_by_label("Send the originals too").check()
    page.goto("/tonight/")


def whole() -> list[int]:
    return [photo.whole_size for photo in Photo.objects.all()]


def test_no_original_waits_where_nobody_asked_for_them(phone, signal, shop):
    phone.goto("/phone/")
    expect(phone.get_by_label("Send the originals too")).not_to_be_checked()
    expect(phone.get_by_text("At most 500 MB wait here")).to_be_visible()
    phone.goto("/tonight/")
    log(phone, "Look", picture())
    arrived(1, phone)
    phone.goto("/phone/")
    assert phone.evaluate("() => Gusset.originals.mine()") == []


def test_on_wifi_the_original_follows_the_small_one_by_itself(phone, signal, shop):
    on_a_line(phone, "wifi")
    wants_originals(phone)
    signal.cut()
    log(phone, "Look", picture())
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    until(phone, WAIT, 1)
    phone.goto("/phone/")
    expect(phone.get_by_text("1 waits here")).to_be_visible()
    assert axe(phone) == []
    signal.mend()
    phone.goto("/tonight/")
    arrived(1, phone)
    until(phone, WAIT, 0)
    photo = Entry.objects.get().photos.get()
    assert (photo.width, photo.whole_size > 0) == (1600, True)


@pytest.mark.parametrize("line", ["paid by the byte", "saving data", "unsaid"])
def test_anywhere_else_it_waits_until_it_is_sent_by_hand(phone, shop, line):
    on_a_line(phone, line)
    wants_originals(phone)
    log(phone, "Look", picture())
    arrived(1, phone)
    phone.evaluate("() => Gusset.originals.send()")
    assert whole() == [0]
    phone.goto("/phone/")
    phone.get_by_role("button", name="Send originals now").click()
    expect(phone.get_by_text("None waits here.")).to_be_visible()
    assert all(whole())


def test_sending_by_hand_sends_first_what_the_originals_are_of(phone, shop):
    """The shop has it, its answer was lost: the small one still waits here when the button is pressed."""
    on_a_line(phone, "paid by the byte")
    wants_originals(phone)

    def lose(route):
        route.fetch()
        route.abort()

    phone.route("**/tonight/log/", lose)
    log(phone, "Look", picture())
    arrived(1, phone)
    phone.goto("/phone/")
    phone.unroute("**/tonight/log/")
    expect(phone.get_by_text("1 waits here")).to_be_visible()
    phone.get_by_role("button", name="Send originals now").click()
    expect(phone.get_by_text("None waits here.")).to_be_visible()
    assert all(whole())


def test_an_original_the_shop_refuses_is_named_with_the_reason(phone, shop, monkeypatch):
    monkeypatch.setattr(imaging, "MOST_PIXELS", 4_000_000)  # 2400 x 1800 is more; made smaller, it is not
    on_a_line(phone, "unsaid")
    wants_originals(phone)
    log(phone, "Look", picture())
    arrived(1, phone)
    phone.goto("/phone/")
    phone.get_by_role("button", name="Send originals now").click()
    said = phone.locator("[data-originals-say]")
    expect(said).to_contain_text("✕ “b.jpg” was not taken: The picture has more than 4 million pixels.")
    phone.reload()
    expect(said).to_contain_text("None waits here. ✕ “b.jpg”")
    expect(phone.get_by_role("button", name="Send originals now")).to_be_hidden()
    assert whole() == [0]
    phone.get_by_role("button", name="Let them go").click()
    expect(said).to_have_text("None waits here.")


def test_originals_that_wait_can_be_let_go(phone, shop):
    on_a_line(phone, "unsaid")
    wants_originals(phone)
    log(phone, "Look", picture())
    until(phone, WAIT, 1)
    phone.goto("/phone/")
    phone.get_by_label("Send the originals too").uncheck()
    phone.get_by_role("button", name="Let them go").click()
    expect(phone.get_by_role("button", name="Send originals now")).to_have_count(0)
    assert phone.evaluate("() => Gusset.originals.mine()") == []

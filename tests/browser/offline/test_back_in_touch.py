"""The signal comes back: what a page of the phone says gives way to what is so in the shop."""

from playwright.sync_api import expect

from tests.factories import make_task

from ..conftest import axe
from .test_outbox import log


def test_what_was_said_of_a_task_stands_at_it_until_the_shop_has_it(phone, signal, shop):
    page = f"/tasks/{shop.task.pk}/"
    phone.goto(page)
    phone.goto("/tonight/")
    signal.cut()
    phone.goto("/tonight/")
    phone.get_by_role("button", name="Start Cut the floor").click()
    expect(phone.get_by_text("▲ Started on this phone at")).to_be_visible()
    expect(phone.get_by_role("button", name="Start Cut the floor")).to_have_count(0)
    phone.goto("/tonight/")
    expect(phone.get_by_text("▲ Started on this phone at")).to_be_visible()
    expect(phone.get_by_role("button", name="Start Cut the floor")).to_have_count(0)
    assert axe(phone) == []
    phone.get_by_role("button", name="Finished Cut the floor").click()
    for path in ("/tonight/", page):
        phone.goto(path)
        expect(phone.get_by_text("✓ Finished on this phone at")).to_be_visible()
        expect(phone.get_by_role("button", name="Finish")).to_have_count(0)
        expect(phone.get_by_role("button", name="Start", exact=True)).to_have_count(0)
    assert axe(phone) == []
    phone.get_by_role("button", name="Take back").click()
    expect(phone.get_by_text("▲ Started on this phone at")).to_be_visible()
    phone.goto("/tonight/")
    expect(phone.get_by_text("▲ Started on this phone at")).to_be_visible()
    signal.mend()
    phone.evaluate("() => { dispatchEvent(new Event('online')); }")
    expect(phone.get_by_role("button", name="Put back Cut the floor")).to_be_visible()
    expect(phone.get_by_text("on this phone at")).to_have_count(0)


def test_what_was_said_of_a_task_when_the_signal_went_gives_way_too(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    phone.get_by_role("button", name="Start Cut the floor").click()
    expect(phone.get_by_text("▲ Started on this phone at")).to_be_visible()
    signal.mend()
    phone.evaluate("() => { Gusset.outbox.flush(true); }")
    expect(phone.get_by_role("button", name="Put back Cut the floor")).to_be_visible()
    expect(phone.get_by_text("on this phone at")).to_have_count(0)


def test_a_kept_page_is_as_the_shop_has_it_once_there_is_signal(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    phone.goto("/tonight/")
    expect(phone.get_by_text("No signal. This page is as it was at")).to_be_visible()
    phone.get_by_role("button", name="Start the session").click()
    log(phone, "Cut it")
    phone.get_by_label("What just happened?").fill("And the si")
    signal.mend()
    phone.evaluate("() => { dispatchEvent(new Event('online')); }")
    expect(phone.get_by_text("No signal.")).to_have_count(0)
    expect(phone.locator("#so-far")).to_contain_text("Cut it")
    expect(phone.get_by_role("link", name="Stop for the night")).to_be_visible()
    expect(phone.get_by_role("button", name="Start the session")).to_have_count(0)
    expect(phone.get_by_label("What just happened?")).to_have_value("And the si")
    expect(phone.locator("#waiting-lines li")).to_have_count(0)


def test_a_kept_page_with_something_typed_in_it_stays_and_says_that_there_is_signal(phone, signal, shop):
    for path in (shop.take_path, "/plan/"):
        phone.goto(path)
    signal.cut()
    phone.goto("/plan/")
    expect(phone.get_by_text("No signal.")).to_be_visible()
    make_task("Hang the hatch", build=shop.build)
    signal.mend()
    phone.evaluate("() => { dispatchEvent(new Event('online')); }")
    expect(phone.get_by_text("Hang the hatch").first).to_be_visible()
    expect(phone.get_by_text("No signal.")).to_have_count(0)
    signal.cut()
    phone.goto(shop.take_path)
    phone.get_by_label("Note").fill("for the hatch")
    signal.mend()
    phone.evaluate("() => { dispatchEvent(new Event('online')); }")
    expect(phone.get_by_text("The shop answers again. This page, with what you typed, is still")).to_be_visible()
    expect(phone.get_by_label("Note")).to_have_value("for the hatch")

"""One phone, several people: whose it is what waits, and who sends it."""

from playwright.sync_api import expect

from buildlog.offline.models import Op

from ..conftest import signed_in
from .conftest import take_along
from .test_outbox import arrived, log


def test_nothing_that_is_kept_holds_a_token_and_a_lost_login_keeps_it_all(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    log(phone, "Cut it")
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    assert "csrf" not in phone.evaluate("async () => JSON.stringify(await Gusset.outbox.mine())")
    phone.context.clear_cookies()
    signal.mend()
    phone.evaluate("() => Gusset.outbox.flush(true)")
    expect(phone.get_by_text("Sign in to send.")).to_be_visible()
    assert Op.objects.count() == 0
    signed_in(phone)
    phone.goto("/tonight/")
    arrived(1, phone)


def test_another_person_neither_sees_nor_sends_it(phone, signal, shop, hand):
    phone.goto("/tonight/")
    signal.cut()
    log(phone, "Olga’s own")
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    signal.mend()
    phone.context.clear_cookies()
    signed_in(phone, "Harald")
    phone.goto("/phone/waiting/")
    expect(phone.get_by_text("1 of somebody else, sent when they sign in")).to_be_visible()
    expect(phone.get_by_text("Olga’s own")).to_have_count(0)
    phone.evaluate("() => Gusset.outbox.flush(true)")
    assert Op.objects.count() == 0


def test_what_is_done_on_the_page_without_signal_is_done_by_who_holds_the_phone_now(phone, signal, shop, hand):
    """That page came here with the first of them, and outlives the logout."""
    phone.goto("/shop/")
    phone.get_by_role("button", name="Sign this device out").click()
    phone.wait_for_url("**/login/**")
    signed_in(phone, "Harald")
    take_along(phone)
    signal.cut()
    phone.goto(shop.take_path)
    expect(phone.get_by_role("heading", name="Hatch bolt, from 14")).to_be_visible()
    phone.get_by_role("button", name="Take out").click()
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    signal.mend()
    phone.goto("/find/")
    arrived(1, phone)
    assert Op.objects.get().by == hand


def test_signing_out_with_something_kept_asks_first_and_loses_nothing(phone, signal, shop):
    phone.goto("/tonight/")
    phone.goto("/shop/")
    phone.goto("/tonight/")
    signal.cut()
    log(phone, "Cut it")
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    phone.goto("/shop/")
    phone.evaluate("() => { Gusset.outbox.flush = async () => {}; }")
    phone.get_by_role("button", name="Sign this device out").click()
    expect(phone.get_by_text("1 thing is on this phone only.")).to_be_visible()
    phone.context.route("**/sync/hello/", lambda route: route.abort())
    signal.mend()
    phone.get_by_role("button", name="Sign out all the same").click()
    phone.wait_for_url("**/login/**")
    phone.context.unroute("**/sync/hello/")
    signed_in(phone)
    phone.goto("/tonight/")
    arrived(1, phone)

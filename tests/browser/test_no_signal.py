"""The phone in the steel box: real Chromium, the real server, and a wire between them that can be cut."""

from urllib.parse import urlsplit

import pytest
from playwright.sync_api import expect

from buildlog.offline import shell
from tests.factories import make_part, make_place

from .conftest import CHROMIUM, QUIET, Visit, axe, signed_in
from .signal import Signal


class Box(Visit):
    """A visit by way of the wire. That requests fail while it is cut is the point, not a complaint."""

    def _console(self, page, message):
        if "net::ERR_" not in message.text:
            super()._console(page, message)


@pytest.fixture
def signal(live_server):
    url = urlsplit(live_server.url)
    signal = Signal(url.hostname, url.port)
    yield signal
    signal.close()


@pytest.fixture
def box(chromium, signal, transactional_db):
    box = Box(chromium, signal.url)
    yield box
    box.close()
    assert box.complaints == []


@pytest.fixture
def phone(box, owner):
    page = signed_in(box.window("phone"))
    kept(page)
    return page


def kept(page, build: str = ""):
    """Wait until the worker is in charge and has kept the pages every phone keeps."""
    page.evaluate(
        """async build => {
             const there = async () => navigator.serviceWorker.controller
               && (await caches.keys()).every(name => !/^gusset-(files|pages)-/.test(name) || name.endsWith(build))
               && await caches.match('/phone/', {ignoreVary: true});
             for (let i = 0; i < 300 && !await there(); i++) await new Promise(go => setTimeout(go, 100));
             if (!await there()) throw new Error('the worker kept nothing');
           }""",
        build or shell.build(),
    )


def test_it_opens_pages_seen_lately_and_says_how_old_they_are(phone, signal):
    part = make_part("Hatch hinge", holds={make_place("bin", name="Bin 14", short="14"): 3})
    phone.goto(f"/parts/{part.pk}/")
    signal.cut()
    phone.goto("/find/")
    expect(phone.get_by_text("No signal. This page is as it was at")).to_be_visible()
    phone.goto(f"/parts/{part.pk}/")
    expect(phone.get_by_role("heading", name="Hatch hinge")).to_be_visible()
    assert (
        phone.evaluate("getComputedStyle(document.querySelector('.titleblock')).display") != "block"
    )  # its styles too
    signal.mend()
    phone.goto("/find/")
    expect(phone.get_by_text("No signal.")).to_have_count(0)


def test_a_page_that_is_not_kept_says_so_and_lists_those_that_are(phone, signal):
    signal.cut()
    phone.goto("/places/new/")
    expect(phone.get_by_role("heading", name="This page isn’t kept on this phone")).to_be_visible()
    phone.get_by_role("link", name="This phone").click()
    expect(phone.get_by_text("Last in touch", exact=False).first).to_be_visible()
    assert axe(phone) == []


def test_the_front_door_opens_the_first_page_without_signal(phone, signal):
    signal.cut()
    phone.goto("/")
    assert urlsplit(phone.url).path == shell.start()


def test_a_shop_that_answers_slowly_is_waited_for_three_seconds_only(phone, signal):
    phone.goto("/scan/")
    signal.stall()
    phone.goto("/scan/")
    expect(phone.get_by_text("No signal. This page is as it was at")).to_be_visible()


def test_it_keeps_no_redirect_no_error_and_nothing_about_people(phone):
    for path in ("/people/", "/", "/parts/999999/", "/shop/kept-safe/", "/shop/"):
        phone.goto(path)
    urls = phone.evaluate(
        """async () => (await Promise.all((await caches.keys()).map(async name =>
             (await (await caches.open(name)).keys()).map(one => new URL(one.url).pathname)))).flat()"""
    )
    assert "/shop/" in urls
    assert not {"/people/", "/", "/parts/999999/", "/shop/kept-safe/", "/login/"} & set(urls)


def test_signing_out_takes_the_kept_pages_with_it(phone, signal):
    phone.goto("/shop/")
    phone.get_by_role("button", name="Sign this device out").click()
    phone.wait_for_url("**/login/**")
    signal.cut()
    phone.goto("/shop/")
    expect(phone.get_by_role("heading", name="This page isn’t kept on this phone")).to_be_visible()


def test_a_new_version_takes_over_at_once_and_brings_the_kept_pages_along(phone, signal, monkeypatch):
    part = make_part("Hatch hinge", holds={make_place("bin", name="Bin 14", short="14"): 3})
    phone.goto(f"/parts/{part.pk}/")
    monkeypatch.setattr(shell, "build", lambda: "0123456789ab")
    phone.goto("/shop/")
    phone.evaluate("navigator.serviceWorker.getRegistration().then(one => one.update())")
    kept(phone, "0123456789ab")
    signal.cut()
    phone.goto(f"/parts/{part.pk}/")
    expect(phone.get_by_role("heading", name="Hatch hinge")).to_be_visible()


def test_a_new_version_that_comes_just_before_the_signal_goes_still_opens_what_the_old_one_kept(
    phone, signal, monkeypatch
):
    part = make_part("Hatch hinge", holds={make_place("bin", name="Bin 14", short="14"): 3})
    phone.goto(f"/parts/{part.pk}/")
    # As after a signal that went between taking over and fetching the pages anew.
    phone.evaluate(
        """async () => {
             for (const name of await caches.keys()) {
               if (!name.startsWith('gusset-pages-')) continue;
               const old = await caches.open(name), other = await caches.open('gusset-pages-aaaaaaaaaaaa');
               for (const one of await old.keys()) await other.put(one, await old.match(one));
               await caches.delete(name);
             }
           }"""
    )
    signal.cut()
    phone.goto(f"/parts/{part.pk}/")
    expect(phone.get_by_role("heading", name="Hatch hinge")).to_be_visible()


def test_this_phone_says_what_works(phone):
    phone.goto("/phone/")
    row = phone.locator("[data-try=pages]")
    expect(row.get_by_text("✓ Works")).to_be_visible()
    expect(row.get_by_text("Tried just now")).to_be_visible()
    assert axe(phone) == []


def test_this_phone_says_why_where_the_address_is_plain(chromium, live_server, owner, transactional_db, settings):
    """A name that is not localhost, over plain http: no worker, no camera, no storage manager, as on a phone."""
    settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, "shop.test"]
    port = urlsplit(live_server.url).port
    browser = chromium.browser_type.launch(
        executable_path=CHROMIUM, args=[*QUIET, "--host-resolver-rules=MAP shop.test 127.0.0.1"]
    )
    visit = Visit(browser, f"http://shop.test:{port}")
    page = signed_in(visit.window("phone"))
    page.goto("/phone/")
    expect(page.get_by_role("heading", name="Not ready for the steel box yet")).to_be_visible()
    expect(page.locator("[data-try=pages]").get_by_text("open the secure address")).to_be_visible()
    expect(page.locator("[data-try=camera]").get_by_text("Pages can’t use the camera here")).to_be_visible()
    page.goto("/find/")
    expect(page.get_by_role("searchbox").first).to_be_visible()
    browser.close()
    assert [one for one in visit.complaints if "Cross-Origin-Opener-Policy" not in one] == []  # plain http: said always

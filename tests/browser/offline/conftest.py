"""A phone in the steel box: signed in, its pages kept, and a wire to the shop that can be cut."""

from urllib.parse import urlsplit

import pytest

from buildlog.offline import shell
from tests.factories import make_build, make_part, make_place, make_task

from ..conftest import Visit, signed_in
from .signal import Signal


class Box(Visit):
    """A visit by way of the wire. That requests fail while it is cut is the point, not a complaint."""

    def _console(self, page, message):
        if "net::ERR_" not in message.text and not message.text.startswith(("htmx:sendError", "htmx:afterRequest")):
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
    """Wait until the worker is in charge and has kept the pages every phone keeps. What broke off is tried again with
    the next page, here as on a phone.
    """
    for _ in range(4):
        if page.evaluate(KEPT, build or shell.build()):
            return
        page.reload()
    raise AssertionError("the worker kept nothing")


KEPT = """async build => {
  const there = async () => navigator.serviceWorker.controller
    && (await caches.keys()).every(name => !/^gusset-(files|pages)-/.test(name) || name.endsWith(build))
    && await caches.match('/phone/', {ignoreVary: true})
    && await caches.match('/scan/run/', {ignoreVary: true}); // the last that is kept
  for (let i = 0; i < 100 && !await there(); i++) await new Promise(go => setTimeout(go, 100));
  return Boolean(await there());
}"""


def take_along(page):
    """The phone has the list of things as it is now: one fetched just before, perhaps still on its way, is older."""
    page.evaluate("async () => { await Gusset.index.sync().catch(() => 0); await Gusset.index.sync(); }")


def until(page, says: str, argument=None):
    """Wait until a function of the page, which may promise its answer, says yes."""
    for _ in range(100):
        if page.evaluate(says, argument):
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"never so: {says}")


@pytest.fixture
def shop(transactional_db):
    class Shop:
        build = make_build()
        bin, other, bench = (
            make_place("bin", short="14"),
            make_place("bin", short="15"),
            make_place("bench", short="B1"),
        )
        bolt = make_part("Hatch bolt", holds={bin: 1, other: 6})
        task = make_task("Cut the floor", build=build)
        take_path = f"/move/take-out/?place={bin.pk}&part={bolt.pk}"

    return Shop()

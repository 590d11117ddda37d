"""The find index on the phone: what it weighs on the wire, what a difference weighs, and what a keystroke costs."""

import json
import os
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter

from django.conf import settings
from django.test.testcases import LiveServerThread
from playwright.sync_api import sync_playwright

from buildlog.builds.actions import add_build
from buildlog.builds.models import Build
from inventory.parts.models import Part

from .rows import Row, row

CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
PARTS, BYTES, KEYSTROKE = 20_000, 3_000_000, 300  # the budget: so many parts, bytes on the wire, ms at SLOWED
SLOWED = 4  # a phone of the middle class beside this machine
KEPT, SAVED, SENT = 50, 100, 10_000  # lines kept; ms from the tap at SLOWED, without a photo; ms for all to be sent
SETTLED = 5000  # ms
TYPED = ("h", "hatch", "hatch hinge", "left door", "pump 7", "44-1", "hnige hatch", "brake spring 1999")


@row("phone index")
def index(shop):
    share = shop.parts / PARTS
    began = perf_counter()
    answer = shop.client.get("/offline/index/rows/", headers={"accept-encoding": "gzip"})
    ms = (perf_counter() - began) * 1000
    yield Row(f"find index of {shop.parts:,} parts, bytes on the wire", len(answer.content), BYTES * share, 1)
    yield Row(f"find index of {shop.parts:,} parts, ms to make", ms, 3000 * share, 1)
    before = shop.client.get("/offline/index/").json()["packs"]
    part = Part.objects.order_by("pk")[shop.parts // 2]
    Part.objects.filter(pk=part.pk).update(note="x" if part.note != "x" else "")
    after = shop.client.get("/offline/index/").json()["packs"]
    names = ",".join(name for name in after if after[name] != before.get(name))
    less = shop.client.get(f"/offline/index/rows/?b={names}", headers={"accept-encoding": "gzip"})
    yield Row("find index, one part changed, bytes of rows", len(less.content), len(answer.content), 0.05)


@row("phone keystroke")
def keystroke(shop):
    """The slowest of some questions, in Chromium slowed down; the floor is the budget."""
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # Playwright runs a loop in this thread
    packs = json.loads(shop.client.get("/offline/index/rows/").content)
    words = shop.client.get("/offline/index/").json()["words"]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page()
        page.evaluate(Path(settings.BASE_DIR, "static", "js", "find-offline.js").read_text(encoding="utf-8"))
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
        made, slowest = page.evaluate(
            """([packs, words, typed]) => {
                 let began = performance.now();
                 const index = GussetFind.index(Object.values(packs), Object.keys(packs), words);
                 const made = performance.now() - began;
                 const times = typed.map(text => {
                   began = performance.now();
                   index.find(text);
                   return performance.now() - began;
                 });
                 return [made, Math.max(...times)];
               }""",
            [packs, words, list(TYPED)],
        )
        browser.close()
    yield Row(f"find on the phone, {shop.parts:,} parts, slowest keystroke at 4x, ms", slowest, KEYSTROKE, 1)
    yield Row(f"find on the phone, {shop.parts:,} parts, ready after opening at 4x, ms", made, 10 * KEYSTROKE, 1)


@row("phone outbox")
def outbox(shop):
    """From the tap to 'saved on this phone' at SLOWED, and how long fifty kept lines take to be in the shop."""
    if not Build.objects.exists():
        add_build(code="HB-64", name="Bakery van")
    with serving(shop) as page:
        throttle = page.context.new_cdp_session(page)
        throttle.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
        page.context.route("**/sync/hello/", lambda route: route.abort())  # no signal
        times = page.evaluate(SAVE, KEPT)
        yield Row(f"saved on the phone, ms at {SLOWED}x, the middle of {KEPT}", times[KEPT // 2], SAVED, 1)
        page.context.unroute("**/sync/hello/")
        throttle.send("Emulation.setCPUThrottlingRate", {"rate": 1})
        began = perf_counter()
        page.evaluate("async () => { while ((await Gusset.outbox.mine()).length) await Gusset.outbox.flush(true); }")
        yield Row(f"{KEPT} kept lines into the shop, ms", (perf_counter() - began) * 1000, SENT, 1)


SAVE = """async n => {
  const times = [];
  for (let i = 0; i < n; i++) {
    const began = performance.now(), uid = Gusset.number();
    await Gusset.outbox.add({uid, url: '/tonight/log/', page: '/tonight/', what: 'Note', shown: [], photos: [],
      fields: [['uid', uid], ['kind', 'note'], ['text', 'Cut the floor ' + i]]});
    times.push(performance.now() - began);
  }
  return times.sort((a, b) => a - b);
}"""


@contextmanager
def serving(shop):
    """The shop behind a server on loopback, and Tonight open on a phone that is signed in to it."""
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    server = LiveServerThread("127.0.0.1", lambda site: site)  # static files are the site's own matter
    server.daemon = True
    server.start()
    server.is_ready.wait()
    url = f"http://127.0.0.1:{server.port}"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(base_url=url)
        page.context.add_cookies(
            [{"name": name, "value": morsel.value, "url": url} for name, morsel in shop.client.cookies.items()]
        )
        page.goto("/tonight/")
        page.evaluate("() => Gusset.ready")
        page.wait_for_timeout(SETTLED)  # the worker and the list of things have come
        yield page
        browser.close()
    server.terminate()

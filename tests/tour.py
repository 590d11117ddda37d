"""The pictures of the README's tour: the demo shop in real Chromium, so that they can be made anew after any change.

`python3 manage.py tour` starts a shop of its own in a temporary folder, loads the demo, and writes .tour/*.webp.
"""

import io
import os
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

from buildlog.config.setup.system import chromium_path
from tests.browser.conftest import QUIET, SIZES

ROOT = Path(__file__).resolve().parents[1]
TARGET = ROOT / ".tour"
PORT = 41973
BASE = f"http://localhost:{PORT}"

# name, size, scheme, address, how far down the page begins
SHOTS = [
    ("tonight", "phone", "dark", None),
    ("nights", "desk", "light", "/sessions/"),
    ("find", "phone", "light", "/find/?q=hatch+hin"),
    ("bin", "phone", "light", "/at/C1·L1·01/"),
    ("take-out", "phone", "dark", None),
    ("part", "phone", "light", None),
    ("container", "desk", "light", "/at/C1/"),
    ("plan", "desk", "dark", "/plan/"),
    ("cabinet", "desk", "light", "/at/H1/"),
    ("fastener", "desk", "light", "/fasteners/?q=M8×25+hex+8.8"),
    ("instead", "phone", "dark", "/fasteners/will-it-do/?q=M8×37+hex+8.8&count=12"),
    ("story", "phone", "light", None),
    ("held-back", "desk", "dark", None),
    ("labels", "desk", "light", "/labels/print/?inside={container}"),
]

MAKE_OWNER = """
from inventory.people.models import Person
from inventory.demo.actions import load
load(owner=Person.objects.create_user("Olga", "a long cold barn night", role="owner"))
"""


def make(say) -> int:
    """Write every picture; answers how many."""
    with tempfile.TemporaryDirectory(prefix="gusset-tour-") as folder:
        environment = {**os.environ, "DATA_DIR": folder, "DJANGO_SETTINGS_MODULE": "buildlog.config.settings"}
        run = [sys.executable, "manage.py"]
        subprocess.run([*run, "migrate", "-v0"], cwd=ROOT, env=environment, check=True)
        subprocess.run([*run, "shell", "-v0", "-c", MAKE_OWNER], cwd=ROOT, env=environment, check=True)
        server = subprocess.Popen([*run, "up", "--no-lan", "--port", str(PORT)], cwd=ROOT, env=environment)
        try:
            _wait()
            with sync_playwright() as playwright:
                browser = playwright.chromium.launch(executable_path=str(chromium_path()), args=QUIET)
                for name, size, scheme, address in SHOTS:
                    _shoot(browser, name, size, scheme, address)
                    say(f"{name}.webp")
        finally:
            server.terminate()
            server.wait(timeout=20)
    return len(SHOTS)


def _wait() -> None:
    for _ in range(200):
        try:
            urllib.request.urlopen(f"{BASE}/healthz", timeout=1)
            return
        except OSError:
            time.sleep(0.1)
    raise SystemExit("The shop did not come up; what it said is above.")


def _shoot(browser, name: str, size: str, scheme: str, address: str | None) -> None:
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height},
        has_touch=size == "phone",
        is_mobile=size == "phone",
        color_scheme=scheme,
        device_scale_factor=2 if size == "phone" else 1,
        base_url=BASE,
    )
    page = context.new_page()
    page.goto("/login/")
    page.get_by_label("Name").fill("Olga")
    page.get_by_label("Password").fill("a long cold barn night")
    page.get_by_role("button", name="Come in").click()
    page.wait_for_url(lambda url: "/login/" not in url)
    page.goto(address.format(container=_number(page)) if address else REACHED.get(name, _first_of)(page, name))
    page.wait_for_load_state("networkidle")
    TARGET.mkdir(exist_ok=True)
    with Image.open(io.BytesIO(page.screenshot())) as picture:
        picture.save(TARGET / f"{name}.webp", quality=82, method=6)
    context.close()


def _number(page: Page) -> str:
    """The row number of the demo's container."""
    page.goto("/at/C1/")
    link = page.get_by_role("link", name="Labels for all in it").get_attribute("href")
    return link.rpartition("=")[2]


def _first_of(page: Page, name: str) -> str:
    """The address of a page that is reached from another: the first hinge, taking some of it out, a night begun."""
    if name == "tonight":
        return _evening(page)
    page.goto("/find/?q=hatch+hinge")
    page.locator(".found li a").first.click()
    if name == "part":
        return page.url
    return page.get_by_role("link", name="Take out").first.evaluate("link => link.href")


def _evening(page: Page) -> str:
    """A session that has just begun, with a few lines."""
    page.goto("/tonight/")
    page.get_by_role("button", name="Start the session").click()
    for kind, text in (
        ("Snag", "Brace is in the way of the right strut at full travel"),
        ("Note", "Left leaf swings free with a 1 mm shim under it"),
        ("Measure", "hatch opening 43 5/16 x 43 3/16"),
    ):
        page.locator(".kinds label", has_text=kind).click()
        page.get_by_label("What just happened?").fill(text)
        page.get_by_role("button", name="Save to log").click()
        page.locator("#so-far li", has_text=text.split(" 43")[0]).first.wait_for()
    return "/tonight/"


def _story(page: Page, name: str) -> str:
    """A story of the last three nights, made on the way."""
    page.goto("/tell/")
    rows = page.locator(".rows a")
    if not rows.count():
        page.goto("/tell/new/")
        for box in page.locator(".of-nights input").all()[:3]:
            box.check()
        page.get_by_role("button", name="Put it in order").click()
        page.wait_for_url(lambda url: "/new/" not in url)
        return f"{page.url}#{page.locator('.telling > .heading').first.get_attribute('id')}"
    return rows.first.evaluate("link => link.href") + "preview/"


REACHED = {"story": _story, "held-back": _story}

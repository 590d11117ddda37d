"""Real Chromium against the real server. A message in the console, or a request to another host, fails the test."""

import os
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, expect, sync_playwright

from tests.factories import PASSWORD

CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
AXE = (Path(__file__).resolve().parents[1] / "vendor" / "axe-4.14.1.min.js").read_text()
SIZES = {"phone": (390, 844), "desk": (1366, 860), "narrow": (320, 640)}
PATIENCE = 30_000  # ms that a page on a busy machine may take; a page that is ready is never waited for
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

# Playwright's sync API runs an event loop in this thread; Django then thinks it is asynchronous and refuses the ORM.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"


expect.set_options(timeout=PATIENCE)


def pytest_collection_modifyitems(items):
    for item in items:
        if Path(__file__).parent in Path(item.fspath).parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium():
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield browser
        browser.close()


class Visit:
    """Opens browser windows and remembers what they complained of."""

    def __init__(self, browser, base: str):
        self.browser, self.base = browser, base
        self.complaints: list[str] = []
        self.contexts = []

    def window(self, size: str = "phone", *, scheme: str = "light", **options) -> Page:
        width, height = SIZES[size]
        context = self.browser.new_context(
            viewport={"width": width, "height": height},
            has_touch=size != "desk",
            is_mobile=size != "desk",
            color_scheme=scheme,
            base_url=self.base,
            reduced_motion="reduce",
            **options,
        )
        context.set_default_timeout(PATIENCE)
        self.contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: self._console(page, message))
        page.on("pageerror", lambda error: self.complaints.append(f"{page.url}: {error}"))
        page.on("request", self._request)
        return page

    def _console(self, page, message):
        # A form that comes back with 422 or a page that is not there is a normal answer; Chromium notes each.
        if "Failed to load resource" in message.text and any(code in message.text for code in ("422", "404", "403")):
            return
        if "Autofocus processing was blocked" in message.text:
            return  # the test was in the box before the page put the cursor there
        self.complaints.append(f"{page.url}: {message.text} {message.location}")

    def _request(self, request):
        url = urlsplit(request.url)
        if url.scheme in ("http", "https") and url.netloc != urlsplit(self.base).netloc:
            self.complaints.append(f"asked another host: {request.url}")

    def close(self):
        for context in self.contexts:
            context.close()


@pytest.fixture
def visit(chromium, live_server, transactional_db):
    visit = Visit(chromium, live_server.url)
    yield visit
    visit.close()
    assert visit.complaints == []


@pytest.fixture
def phone(visit, owner) -> Page:
    """A phone that is signed in as the owner."""
    return signed_in(visit.window("phone"))


def signed_in(page: Page, name: str = "Olga") -> Page:
    page.goto("/login/")
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Come in").click()
    page.wait_for_url(lambda url: "/login/" not in url)
    return page


def axe(page: Page) -> list[str]:
    """What axe-core finds wrong by WCAG 2.0 to 2.2, A and AA."""
    page.evaluate(AXE)
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
    result = page.evaluate("tags => axe.run({runOnly: tags})", tags)
    return [
        f"{violation['id']}: {violation['help']} ({', '.join(str(node['target']) for node in violation['nodes'][:3])})"
        for violation in result["violations"]
    ]

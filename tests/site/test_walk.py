"""A walk over every page: each can be read, by eye and by screen reader, and says what it is."""

import re
from collections import Counter

import pytest
from bs4 import BeautifulSoup

from .addresses import Shop, all_addresses

pytestmark = pytest.mark.django_db

FEWEST_PAGES = 15  # so that a walk that visits nothing can't pass


def trouble_with(soup: BeautifulSoup) -> list[str]:
    """What is wrong with a page's markup."""
    found = []
    if soup.html.get("lang") != "en":
        found.append("no language")
    if len(soup.find_all("h1")) != 1:
        found.append(f"{len(soup.find_all('h1'))} h1")
    if not re.search(r"\S.* · Gusset$", soup.title.get_text()):
        found.append(f"title “{soup.title.get_text()}”")
    if len(soup.find_all("main")) != 1:
        found.append("no single main")
    ids = Counter(tag["id"] for tag in soup.find_all(id=True))
    found += [f"id {name} {n} times" for name, n in ids.items() if n > 1]
    labelled = {tag.get("for") for tag in soup.find_all("label")}
    for box in soup.find_all(["input", "select", "textarea"]):
        if box.get("type") in {"hidden", "submit"}:
            continue
        named = (
            box.get("id") in labelled or box.find_parent("label") or box.get("aria-label") or box.get("aria-labelledby")
        )
        if not named:
            found.append(f"no label for {box.get('name')}")
    found += [f"picture without alt: {img.get('src')}" for img in soup.find_all("img") if img.get("alt") is None]
    found += [
        f"button without words: {tag}"
        for tag in soup.find_all("button")
        if not (tag.get_text(strip=True) or tag.get("aria-label"))
    ]
    for form in soup.find_all("form", method="post"):
        if not form.find("input", attrs={"name": "csrfmiddlewaretoken"}):
            found.append(f"no CSRF field in the form to {form.get('action')}")
    return found


def test_every_page_has_one_heading_a_title_labels_and_no_double_ids(as_owner):
    shop = Shop()
    wrong, titles = {}, Counter()
    for address in all_addresses():
        response = as_owner.get(address.filled(shop))
        if response.status_code != 200 or not response.headers["Content-Type"].startswith("text/html"):
            assert response.status_code < 500, address.name
            continue
        soup = BeautifulSoup(response.content, "html.parser")
        if soup.html is None:
            continue  # a piece of a page
        titles[soup.title.get_text()] += 1
        if trouble := trouble_with(soup):
            wrong[address.name] = trouble
    assert wrong == {}
    assert titles.total() >= FEWEST_PAGES


def test_every_answer_carries_the_policy_and_the_headers(as_owner):
    shop = Shop()
    visited = 0
    for address in all_addresses():
        response = as_owner.get(address.filled(shop))
        policy = response.headers["Content-Security-Policy"]
        assert policy.startswith("default-src 'none'; script-src 'self'"), address.name
        assert "unsafe-inline" not in policy, address.name
        assert "'unsafe-eval'" not in policy, address.name
        assert response.headers["X-Content-Type-Options"] == "nosniff"
        assert response.headers["X-Frame-Options"] == "DENY"
        visited += 1
    assert visited >= FEWEST_PAGES


@pytest.mark.parametrize("address", ["/no/such/page/", "/parts/999999/", "/at/999999/"])
def test_what_is_not_there_is_said_on_a_page_of_the_shop(as_owner, address):
    response = as_owner.get(address)
    assert response.status_code == 404
    assert "There is nothing at this address." in response.text
    assert response.text.count("<h1") == 1

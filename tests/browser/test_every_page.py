"""Every page in real Chromium: nothing for axe-core to find, light and dark; nothing wider than a narrow phone; room
for a thumb."""

import pytest

from tests.site.addresses import Shop, all_addresses

from .conftest import axe, signed_in

SMALLEST = 44  # WCAG 2.2, 2.5.5 Target Size (Enhanced), in CSS pixels; ours are drawn 48


def pages_for(shop: Shop, client) -> list[str]:
    """The addresses that answer a whole page to somebody who is signed in."""
    found = []
    for address in all_addresses():
        path = address.filled(shop)
        response = client.get(path)
        if response.status_code == 200 and not response.streaming and b"<h1" in response.content:
            found.append(path)
    return found


# What can be pressed and is smaller than a thumb, in any visible part of the page but running text.
SMALL = """smallest => [...document.querySelectorAll('a, button, input, select, textarea, summary, label.check')]
  .filter(e => e.checkVisibility() && !e.closest('p, dd, .sub, td, .prose') && !e.matches('.skip, [type=hidden]'))
  .filter(e => !(e.matches('input') && e.closest('label')))
  .map(e => [e, e.getBoundingClientRect()])
  .filter(([e, box]) => box.width > 1 && (box.height < smallest || box.width < smallest) && !e.closest('svg'))
  .map(([e, box]) => `${e.outerHTML.slice(0, 90)} ${Math.round(box.width)}x${Math.round(box.height)}`)"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_and_nothing_is_wider_than_a_narrow_phone(visit, owner, as_owner, scheme):
    paths = pages_for(Shop(), as_owner)
    assert len(paths) >= 15
    page = signed_in(visit.window("narrow", scheme=scheme))
    wrong = {}
    for path in paths:
        page.goto(path)
        trouble = axe(page)
        width = page.evaluate("document.documentElement.scrollWidth")
        if width > 320:
            trouble.append(f"{width} px wide")
        if scheme == "light":
            trouble += [f"small: {text}" for text in page.evaluate(SMALL, SMALLEST)]
        if trouble:
            wrong[path] = trouble
    assert wrong == {}


def test_axe_finds_nothing_at_a_desk_by_day_and_by_night(visit, owner, as_owner):
    paths = pages_for(Shop(), as_owner)
    page = signed_in(visit.window("desk"))
    wrong = {}
    for path in paths:
        page.goto(path)
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            if trouble := axe(page):
                wrong[f"{path} {scheme}"] = trouble
    assert wrong == {}

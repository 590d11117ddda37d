"""Find, letter by letter."""

from statistics import median
from time import perf_counter
from urllib.parse import urlencode

from inventory.finding.measure import keystrokes, raw

from .rows import Row, row

LETTERS = 200


@row("find")
def keystroke(shop):
    """Ours is the whole answer to a letter; the floor is the index asked once, and a bare view of as many bytes."""
    ours, floor = [], []
    for text in keystrokes(LETTERS):
        address = f"/find/?{urlencode({'q': text})}"
        size = len(_ask(shop, address).content)  # once unmeasured, so that all three read warm pages
        began = perf_counter()
        _ask(shop, address)
        ours.append(perf_counter() - began)
        began = perf_counter()
        raw(text)
        shop.client.get(f"/bare/{size}/")
        floor.append(perf_counter() - began)
    yield Row(f"find, a keystroke, {shop.parts:,} parts, ms", median(ours) * 1000, median(floor) * 1000, 2)


def _ask(shop, address: str):
    """As htmx asks: only the answers come back."""
    response = shop.client.get(address, headers={"HX-Request": "true"})
    assert response.status_code == 200
    return response

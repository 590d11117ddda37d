"""Setting up and walking through places on a phone, by touch."""

import pytest

from inventory.places.models import Location

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_container_of_48_bins_takes_fewer_than_twelve_taps(phone):
    taps = 0

    def tap(what):
        nonlocal taps
        taps += 1
        what.tap()

    phone.goto("/places/")
    tap(phone.get_by_role("link", name="Set up a container"))
    phone.wait_for_url("**/places/new/container/")
    assert phone.locator("#preview svg").count() == 3
    more = phone.locator(".field", has_text="Racks at the back").get_by_role("button", name="One more")
    tap(more)
    phone.wait_for_function(expression="() => document.querySelectorAll('#preview svg').length === 4")
    tap(phone.locator(".field", has_text="Racks at the back").get_by_role("button", name="One less"))
    phone.wait_for_function(expression="() => document.querySelectorAll('#preview svg').length === 3")
    tap(phone.get_by_role("button", name="Make it"))
    phone.wait_for_url("**/at/C1/")
    tap(phone.get_by_role("link", name="Left rack", exact=True).first)
    phone.wait_for_url("**/at/C1*L/")
    tap(phone.get_by_role("link", name="Bin 14", exact=True))
    phone.wait_for_url("**/at/C1*14/")
    assert phone.locator("h1").inner_text() == "C1·L2·14"
    assert taps < 12
    assert Location.objects.filter(kind="bin").count() == 48


def test_the_whole_rack_opens_from_the_drawing_on_a_bins_page_and_a_cell_by_keyboard(phone):
    phone.goto("/places/new/container/")
    phone.get_by_role("button", name="Make it").tap()
    phone.wait_for_url("**/at/C1/")
    phone.goto("/at/C1·L2·14/")
    phone.locator("a.whole").tap()
    phone.wait_for_url("**/at/C1*L/")
    phone.get_by_role("link", name="Bin 15", exact=True).focus()
    phone.keyboard.press("Enter")
    phone.wait_for_url("**/at/C1*15/")
    assert phone.locator("h1").inner_text() == "C1·L2·15"


def test_the_button_that_makes_it_is_in_reach_before_any_scrolling(phone):
    phone.goto("/places/new/container/")
    button, bar = phone.get_by_role("button", name="Make it").bounding_box(), phone.locator("nav.bar").bounding_box()
    assert phone.evaluate("scrollY") == 0
    assert phone.evaluate("document.documentElement.scrollHeight > 1.5 * innerHeight")  # long: it would be far below
    assert button["y"] + button["height"] <= bar["y"]

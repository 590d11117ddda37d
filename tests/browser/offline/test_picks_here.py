"""Boxes that suggest while one types, where the shop can't be reached: the phone's own index answers them."""

from playwright.sync_api import expect

from buildlog.worklog.models import Entry
from inventory.donors.actions import acknowledge
from inventory.donors.models import Pull
from inventory.parts.models import Move
from tests.factories import make_part, make_place
from tests.inventory.donors.made import make_donor

from ..conftest import axe
from .conftest import take_along
from .test_outbox import arrived, held

TYPED_AND_TAPPED = """() => {
  const box = document.querySelector("[name=place_text]");
  box.value = "15";
  box.dispatchEvent(new Event("input", {bubbles: true}));
  [...document.querySelectorAll(".pick-one")].find((one) => one.textContent.includes("B1")).click();
}"""


def choices(page, text: str):
    return page.locator(".pick-one", has_text=text)


def typed(page, label: str, text: str):
    page.get_by_role("textbox", name=label, exact=True).press_sequentially(text)


def test_the_part_of_a_line_is_found_where_it_lies_and_that_is_what_the_shop_books(phone, signal, shop):
    phone.goto("/tonight/")
    take_along(phone)
    signal.cut()
    phone.goto("/tonight/")
    phone.get_by_role("radio", name="Part", exact=True).check()
    typed(phone, "Part", "hatch")
    expect(choices(phone, "6 there")).to_be_visible()  # in 15
    assert phone.locator(".pick-one :checked").count() == 0  # it lies in two places: as in the shop, none is ticked
    expect(phone.locator("#trouble")).to_be_hidden()
    assert axe(phone) == []
    choices(phone, "1 there").click()
    phone.get_by_role("button", name="Save to log").click()
    expect(phone.locator("#waiting-lines").get_by_text("Part: Took 1 × Hatch bolt")).to_be_visible()
    signal.mend()
    phone.goto("/tonight/")
    arrived(1, phone)
    assert Entry.objects.get().kind == "part"
    assert Move.objects.order_by("pk").last().source == shop.bin


def test_what_was_typed_goes_along_where_nothing_was_picked(phone, signal, shop):
    phone.goto("/tonight/")
    take_along(phone)
    gasket = make_part("Door gasket", holds={shop.bin: 2})  # the phone has not heard of it
    signal.cut()
    phone.goto("/tonight/")
    phone.get_by_role("radio", name="Part", exact=True).check()
    typed(phone, "Part", "Door gasket")
    expect(choices(phone, "New part: Door gasket")).to_be_visible()
    assert not choices(phone, "New part").get_by_role("radio").is_checked()
    phone.get_by_role("button", name="Save to log").click()
    signal.mend()
    phone.goto("/tonight/")
    arrived(1, phone)
    assert Move.objects.order_by("pk").last().part == gasket


def test_where_to_is_answered_on_a_page_that_is_kept_and_on_one_that_is_not(phone, signal, shop):
    shelf = make_place("shelf", name="Door shelf", short="H1")
    phone.goto(shop.take_path)
    take_along(phone)
    signal.cut()
    unkept = f"/move/take-out/?place={shop.other.pk}&part={shop.bolt.pk}"
    for path, text in ((shop.take_path, "h1"), (unkept, "shelf door")):
        phone.goto(path)
        typed(phone, "Where to", text)
        expect(choices(phone, "Door shelf")).to_be_visible()
        expect(phone.get_by_role("radio")).to_have_count(1)
        phone.get_by_role("button", name="Take out").click()
        expect(phone.get_by_text("to Door shelf. Not in the shop yet")).to_be_visible()
    signal.mend()
    phone.goto("/find/")
    arrived(2, phone)
    assert (held(shop.bolt, shelf), held(shop.bolt, shop.bin), held(shop.bolt, shop.other)) == (2, 0, 5)


def test_a_box_that_loses_its_signal_while_the_page_is_open_is_answered_too(phone, signal, shop):
    phone.goto(shop.take_path)
    take_along(phone)
    signal.cut()
    typed(phone, "Where to", "15")
    expect(phone.get_by_text("As this phone knew it")).to_be_visible()
    expect(phone.get_by_role("radio")).to_have_count(1)
    phone.get_by_role("textbox", name="Where to", exact=True).fill("")
    expect(choices(phone, "B1")).to_be_visible()  # what was offered before
    phone.evaluate(TYPED_AND_TAPPED)  # before it is answered
    phone.wait_for_timeout(600)  # it would have been
    expect(phone.get_by_role("radio", name="B1")).to_be_checked()
    expect(phone.get_by_role("textbox", name="Where to", exact=True)).to_have_value("")


def test_what_comes_off_a_donor_is_found_among_the_parts_the_phone_knows(phone, signal, shop, owner):
    donor = make_donor()
    acknowledge(donor=donor, by=owner)
    phone.goto(f"/donors/{donor.pk}/pull/")
    take_along(phone)
    signal.cut()
    phone.goto(f"/donors/{donor.pk}/pull/")
    typed(phone, "What", "bolt")
    choices(phone, "Hatch bolt").click()
    typed(phone, "Where it goes now", "14")
    expect(phone.locator("[name=place]")).to_have_count(1)
    phone.get_by_role("button", name="Pull it").click()
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    signal.mend()
    phone.goto("/find/")
    arrived(1, phone)
    assert (Pull.objects.get().part.name, Move.objects.order_by("pk").last().target) == ("Hatch bolt", shop.bin)

"""Forms of places, parts and donors that were never opened on this phone."""

from playwright.sync_api import expect

from inventory.donors.actions import acknowledge
from inventory.donors.models import Pull
from inventory.parts import audit
from inventory.parts.actions import put_in
from inventory.parts.models import Holding
from inventory.parts.quantity import exact
from tests.factories import make_part
from tests.inventory.donors.made import make_donor

from ..conftest import axe
from .conftest import take_along, until
from .test_outbox import arrived, held, picture


def test_a_part_is_taken_from_a_bin_that_was_never_opened_here(phone, signal, shop):
    take_along(phone)
    signal.cut()
    phone.goto(f"/parts/{shop.bolt.pk}/")
    phone.get_by_role("link", name="Take out").first.click()  # the fullest first: bin 15
    expect(phone.get_by_role("heading", name="Hatch bolt, from 15")).to_be_visible()
    assert axe(phone) == []
    phone.get_by_role("button", name="One more").click()
    phone.get_by_role("button", name="Take out").click()
    expect(phone.get_by_text("Take 2 × Hatch bolt out of 15 to Bench B1. Not in the shop yet")).to_be_visible()
    phone.goto("/find/?q=hatch+bolt")
    expect(phone.get_by_text("Changed on this phone, not in the shop yet")).to_be_visible()
    signal.mend()
    phone.goto("/find/")
    arrived(1, phone)
    assert (held(shop.bolt, shop.other), held(shop.bolt, shop.bench)) == (4, 2)


def test_the_same_form_takes_a_second_one_to_the_same_bench(phone, signal, shop):
    take_along(phone)
    signal.cut()
    phone.goto(f"/move/take-out/?place={shop.other.pk}&part={shop.bolt.pk}")
    for count in (1, 2):
        phone.get_by_role("button", name="Take out").click()
        expect(phone.get_by_text("to Bench B1. Not in the shop yet")).to_be_visible()
        until(phone, f"async () => (await Gusset.outbox.mine()).length === {count}")
        assert phone.get_by_role("radio", name="B1").is_checked()
    signal.mend()
    phone.goto("/find/")
    arrived(2, phone)
    assert (held(shop.bolt, shop.other), held(shop.bolt, shop.bench)) == (4, 2)


def test_things_are_put_in_and_counted_in_a_bin_that_was_never_opened_here(phone, signal, shop):
    take_along(phone)
    signal.cut()
    phone.goto(shop.bin.get_absolute_url())
    phone.get_by_role("link", name="Put in").click()
    phone.get_by_label("What", exact=True).fill("hatch bolt")
    expect(phone.get_by_text("From 15")).to_be_visible()
    phone.get_by_label("How many").fill("3")
    phone.get_by_role("button", name="Put in").click()
    expect(phone.get_by_text("Put 3 × Hatch bolt into 14. Not in the shop yet")).to_be_visible()
    phone.get_by_label("What", exact=True).fill("Door strap")
    phone.get_by_label("New part: Door strap").check()
    phone.get_by_role("button", name="Put in").click()
    expect(phone.get_by_text("2 things saved on this phone")).to_be_visible()
    phone.goto(f"/move/count/?place={shop.other.pk}")
    phone.get_by_label("Hatch bolt", exact=True).fill("2")
    phone.get_by_role("button", name="Counted").click()
    expect(phone.get_by_text("3 things saved on this phone")).to_be_visible()
    signal.mend()
    phone.goto("/find/")
    arrived(3, phone)
    assert (held(shop.bolt, shop.bin), held(shop.bolt, shop.other)) == (4, 2)
    assert Holding.objects.get(part__name="Door strap", location=shop.bin).quantity == 1
    assert audit.differences() == []


def test_a_number_that_takings_wait_behind_says_so_where_it_is_put_right(phone, signal, shop):
    take_along(phone)
    signal.cut()
    phone.goto(f"/move/take-out/?place={shop.other.pk}&part={shop.bolt.pk}")
    phone.get_by_label("How many").fill("2")
    phone.get_by_role("button", name="Take out").click()
    expect(phone.get_by_text("to Bench B1. Not in the shop yet")).to_be_visible()
    for path in (f"/move/count/?place={shop.other.pk}", f"/move/correct/?place={shop.other.pk}&part={shop.bolt.pk}"):
        phone.goto(path)
        expect(
            phone.get_by_text("Not in that number yet, on this phone since: Take 2 × Hatch bolt out of 15 to Bench B1.")
        ).to_be_visible()


def test_of_a_bin_that_was_never_opened_here_some_are_moved_and_another_is_emptied(phone, signal, shop):
    nut, washer = (make_part(name, holds={shop.bin: 7}) for name in ("Nut", "Washer"))
    take_along(phone)
    signal.cut()
    phone.goto(shop.bin.get_absolute_url())
    phone.get_by_role("link", name="Move several").click()
    expect(phone.get_by_role("heading", name="From 14")).to_be_visible()
    assert axe(phone) == []
    for name in ("Nut", "Washer"):
        phone.get_by_role("checkbox", name=name).check()
    phone.get_by_role("button", name="Move the ticked").click()
    expect(phone.get_by_text("Move things from 14 to Bench B1. Not in the shop yet")).to_be_visible()
    expect(phone.get_by_role("button", name="Move the ticked")).to_have_count(0)  # what it shows is not there any more
    phone.goto(f"/move/take-out/?place={shop.other.pk}")  # what a bin's own page, when it was kept, leads to
    phone.get_by_role("button", name="Empty all of it into there").click()
    expect(phone.get_by_text("Empty 15 into Bench B1. Not in the shop yet")).to_be_visible()
    expect(phone.get_by_text("2 things saved on this phone")).to_be_visible()
    put_in(part=nut, quantity=exact(2), target=shop.bin, by=None)  # came since, and stays
    signal.mend()
    phone.goto("/find/")
    arrived(2, phone)
    assert [held(nut, place) for place in (shop.bin, shop.bench)] == [2, 7]
    assert [held(washer, place) for place in (shop.bin, shop.bench)] == [0, 7]
    assert [held(shop.bolt, place) for place in (shop.bin, shop.other, shop.bench)] == [1, 0, 6]
    assert audit.differences() == []


def test_a_choice_the_shop_has_a_question_about_goes_along_and_what_it_says_stays(phone, shop, tmp_path):
    make_part("Hatch wedge")
    phone.goto(f"/put/{shop.bin.pk}/")
    phone.get_by_role("textbox", name="What", exact=True).press_sequentially("Hatch wedges")
    phone.get_by_label("New part: Hatch wedges").check()
    phone.locator("summary", has_text="Photos of it").click()
    bad = tmp_path / "left.heic"
    bad.write_bytes(b"\0\0\0\x18ftypheic" + b"\0" * 200)
    phone.locator("#put input[type=file]").set_input_files(bad)
    phone.get_by_role("button", name="Put it in").click()
    expect(
        phone.locator(".flash", has_text="Put 1 × Hatch wedges into 14.").get_by_role("button", name="Undo")
    ).to_be_visible()
    expect(phone.get_by_text("The photo was not kept.")).to_be_visible()
    until(phone, "async () => !(await Gusset.outbox.mine()).some(op => op.state === 'waits')")
    phone.wait_for_timeout(1500)  # the page comes anew around the form once what waited is in the shop
    expect(phone.locator(".flash", has_text="Put 1 × Hatch wedges into 14.")).to_be_visible()
    expect(phone.get_by_text("The photo was not kept.")).to_be_visible()
    assert Holding.objects.get(part__name="Hatch wedges", location=shop.bin).quantity == 1


def test_a_part_comes_off_a_donor_without_signal_where_that_page_was_never_opened(phone, signal, shop, owner):
    donor = make_donor()
    acknowledge(donor=donor, by=owner)
    phone.evaluate("() => Gusset.outbox.keepForTheBench()")
    path = f"/donors/{donor.pk}/pull/"
    until(phone, "path => caches.match(path, {ignoreVary: true}).then(Boolean)", path)
    signal.cut()
    phone.goto(path)
    phone.get_by_label("What", exact=True).press_sequentially("Wiper motor")
    phone.wait_for_timeout(600)  # suggestions are asked for, and do not come
    expect(phone.get_by_text("No connection to the shop")).to_be_hidden()
    phone.get_by_label("Photos after, off it").set_input_files(
        {"name": "motor.jpg", "mimeType": "image/jpeg", "buffer": picture()}
    )
    phone.get_by_role("button", name="Pull it").click()
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    signal.mend()
    phone.goto("/find/")
    arrived(1, phone)
    pull = Pull.objects.get()
    assert (pull.part.name, pull.pictures.count()) == ("Wiper motor", 1)


def test_after_a_put_in_the_form_stands_for_no_part(phone, signal, shop):
    make_part("Hatch seal")
    phone.goto("/find/")
    take_along(phone)
    signal.cut()
    phone.goto(f"/move/put-in/?place={shop.bench.pk}")
    box = phone.get_by_label("What", exact=True)
    box.fill("hatch seal")
    phone.get_by_role("button", name="Put in").click()
    expect(phone.get_by_text("Put 1 × Hatch seal into")).to_be_visible()
    assert phone.locator("form.kept, form[data-outbox]").last.get_attribute("action").endswith(f"place={shop.bench.pk}")
    assert phone.locator(".picks :checked").count() == 0

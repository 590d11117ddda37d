"""One scan after another, without a tap between and without signal. Codes are typed here where no camera is needed."""

import pytest
from playwright.sync_api import expect

from buildlog.offline.models import Op
from inventory.labels.actions import labels_for, make_blank
from inventory.labels.models import Label
from inventory.parts import audit
from inventory.parts.models import Holding, Part
from tests.factories import make_part, make_place

from ..conftest import axe
from ..test_scanning import scanning  # noqa: F401  a phone whose camera sees a film of labels
from .conftest import take_along, until
from .test_outbox import arrived, held


@pytest.fixture
def shop(transactional_db):
    class Shop:
        bin, other = make_place("bin", short="14"), make_place("bin", short="15")
        bench = make_place("bench", short="B1")
        hinge = make_part("Hatch hinge", holds={bench: 2})
        bolt = make_part("Hatch bolt", holds={bin: 3, other: 6})
        blank = make_blank(count=1)[0]

    shop = Shop()
    names = ("bin", "other", "hinge", "bolt")
    things = [getattr(shop, name) for name in names]
    shop.codes = {name: label.code for name, label in zip(names, labels_for(things=things, by=None), strict=True)}
    return shop


def scan(page, code: str):
    page.get_by_label("Code or address").fill(code)
    page.get_by_role("button", name="Take it").click()


def run(page, query: str = ""):
    """Open the page without signal, with the list of things on the phone."""
    page.goto(f"/scan/run/{query}")
    expect(page.get_by_role("heading", name="Scan")).to_be_visible()


def test_a_bin_then_thing_after_thing_is_put_in_without_signal(phone, signal, shop):
    take_along(phone)
    signal.cut()
    run(phone)
    scan(phone, shop.codes["hinge"])
    expect(phone.get_by_text("That is Hatch hinge. Scan the bin first.")).to_be_visible()
    scan(phone, f"https://shop.test/L/{shop.codes['bin']}")
    expect(phone.get_by_role("heading", name="Scan what goes in")).to_be_visible()
    scan(phone, shop.codes["hinge"])
    expect(phone.locator("[data-rows] li")).to_have_count(1)
    scan(phone, shop.codes["hinge"].lower())
    expect(phone.locator("[data-rows] li")).to_have_count(2)
    scan(phone, shop.codes["bolt"])  # from its one other place
    expect(phone.locator("[data-rows] li")).to_have_count(3)
    expect(phone.get_by_text("▲ Saved on this phone, not in the shop yet")).to_have_count(3)
    assert axe(phone) == []
    phone.get_by_role("button", name="Done").click()
    signal.mend()
    phone.goto("/find/")
    arrived(3, phone)
    assert (held(shop.hinge, shop.bin), held(shop.hinge, shop.bench)) == (2, 0)
    assert (held(shop.bolt, shop.bin), held(shop.bolt, shop.other)) == (4, 5)
    assert audit.differences() == []


def test_what_lies_in_several_places_is_asked_about_and_can_be_taken_back(phone, shop):
    take_along(phone)
    run(phone, f"?place={shop.bench.pk}")
    scan(phone, shop.codes["bolt"])
    phone.get_by_role("button", name="15 (6 there)").click()
    expect(phone.get_by_text("✓ In the shop")).to_be_visible()
    assert held(shop.bolt, shop.bench) == 1
    phone.get_by_role("button", name="Take back").click()
    arrived(2, phone)
    assert (held(shop.bolt, shop.bench), held(shop.bolt, shop.other)) == (0, 6)


def test_what_is_taken_back_before_it_was_ever_sent_lies_where_it_lay(phone, signal, shop):
    take_along(phone)
    signal.cut()
    run(phone, f"?place={shop.bin.pk}")
    rows = phone.locator("[data-rows] li")
    for _ in range(2):
        scan(phone, shop.codes["hinge"])
    expect(rows).to_have_count(2)
    for left in (1, 0):
        phone.get_by_role("button", name="Take back").first.click()
        expect(phone.get_by_role("button", name="Take back")).to_have_count(left)
    expect(rows.get_by_text("Taken back", exact=True)).to_have_count(2)
    expect(rows.get_by_text("Hatch hinge", exact=True)).to_have_count(2)
    for _ in range(2):  # and in they go after all, from where they lay
        scan(phone, shop.codes["hinge"])
    expect(rows).to_have_count(4)
    signal.mend()
    phone.goto("/find/")
    arrived(2, phone)
    assert (held(shop.hinge, shop.bin), held(shop.hinge, shop.bench), audit.differences()) == (2, 0, [])


def test_what_may_have_arrived_is_taken_back_in_the_shop_and_only_then_said_to_be(phone, shop):
    """The shop has it, its answer was lost."""
    take_along(phone)
    run(phone, f"?place={shop.bin.pk}")

    def lose(route):
        route.fetch()
        route.abort()

    phone.route("**/move/put-in/**", lose)
    scan(phone, shop.codes["hinge"])
    expect(phone.locator("[data-rows]").get_by_text("Saved on this phone, not in the shop yet")).to_be_visible()
    arrived(1, phone)
    phone.get_by_role("button", name="Take back").click()
    expect(phone.get_by_text("▲ Will be taken back: not in the shop yet")).to_be_visible()
    phone.wait_for_timeout(500)
    expect(phone.get_by_text("▲ Will be taken back: not in the shop yet")).to_be_visible()
    assert held(shop.hinge, shop.bin) == 1
    phone.unroute("**/move/put-in/**")
    phone.evaluate("() => Gusset.outbox.flush(true)")
    expect(phone.get_by_text("Taken back", exact=True)).to_be_visible()
    arrived(2, phone)
    assert (held(shop.hinge, shop.bin), held(shop.hinge, shop.bench), audit.differences()) == (0, 2, [])


def test_a_page_that_comes_anew_shows_what_waits_and_goes_on_at_the_same_bin(phone, signal, shop):
    take_along(phone)
    signal.cut()
    run(phone)
    scan(phone, "14")
    for count in (1, 2):
        scan(phone, shop.codes["hinge"])
        expect(phone.locator("[data-rows] li")).to_have_count(count)
    waits = phone.locator("[data-earlier] li")
    expect(waits).to_have_count(0)  # the page itself shows them
    phone.reload()
    expect(phone.get_by_role("heading", name="Scan what goes in")).to_be_visible()
    expect(phone.get_by_role("heading", name="Waits on this phone")).to_be_visible()
    expect(waits.get_by_text("Put 1 × Hatch hinge into 14 from B1")).to_have_count(2)
    assert axe(phone) == []
    waits.get_by_role("button", name="Take back").first.click()
    expect(waits).to_have_count(1)
    scan(phone, shop.codes["bolt"])
    expect(phone.locator("[data-rows] li")).to_have_count(1)
    phone.get_by_role("button", name="Done").click()
    expect(waits).to_have_count(2)
    signal.mend()
    phone.evaluate("() => Gusset.outbox.flush(true)")
    expect(waits).to_have_count(0)
    assert (held(shop.hinge, shop.bin), held(shop.hinge, shop.bench), held(shop.bolt, shop.bin)) == (1, 1, 4)
    phone.goto("/find/")
    expect(phone.get_by_text("Put 1 ×")).to_have_count(0)  # said where it was done, not once more everywhere


def test_a_page_that_comes_anew_is_done_with_all_the_same(phone, signal, shop):
    take_along(phone)
    signal.cut()
    run(phone, f"?place={shop.bin.pk}")
    scan(phone, shop.codes["hinge"])
    expect(phone.get_by_role("heading", name="Put in just now")).to_be_visible()
    phone.reload()
    expect(phone.get_by_role("heading", name="Waits on this phone")).to_be_visible()
    expect(phone.get_by_role("heading", name="Put in just now")).to_have_count(0)
    phone.get_by_role("button", name="Done").click()
    expect(phone.get_by_role("heading", name="Scan the next bin")).to_be_visible()


def test_what_was_put_in_before_the_page_came_anew_is_not_taken_from_there_again(phone, signal, shop):
    take_along(phone)
    signal.cut()
    run(phone, f"?place={shop.bin.pk}")
    for count in (1, 2):
        scan(phone, shop.codes["hinge"])
        expect(phone.locator("[data-rows] li")).to_have_count(count)
    phone.reload()
    expect(phone.locator("[data-earlier] li")).to_have_count(2)
    scan(phone, shop.codes["other"])  # both lay at B1, and lie in 14 now
    scan(phone, shop.codes["hinge"])
    until(phone, "async () => (await Gusset.outbox.mine()).length === 3")
    last = phone.evaluate("async () => (await Gusset.outbox.mine()).pop().what")
    assert last == "Put 1 × Hatch hinge into 15 from 14"


def test_what_was_to_be_taken_back_still_is_when_the_page_comes_anew(phone, shop):
    take_along(phone)
    run(phone, f"?place={shop.bin.pk}")
    phone.route("**/move/**", lambda route: route.abort())
    scan(phone, shop.codes["hinge"])
    until(phone, "async () => (await Gusset.outbox.mine()).some(op => op.tried)")
    phone.get_by_role("button", name="Take back").click()
    until(phone, "async () => (await Gusset.outbox.mine()).length === 2")
    phone.reload()
    expect(phone.locator("[data-earlier]").get_by_text("▲ Will be taken back: not in the shop yet")).to_have_count(1)
    expect(phone.locator("[data-earlier] li")).to_have_count(1)
    phone.unroute("**/move/**")
    phone.evaluate("() => Gusset.outbox.flush(true)")
    expect(phone.locator("[data-earlier] li")).to_have_count(0)
    assert (held(shop.hinge, shop.bin), held(shop.hinge, shop.bench), audit.differences()) == (0, 2, [])


def test_a_count_that_was_broken_off_goes_on_or_begins_anew(phone, signal, shop):
    take_along(phone)
    signal.cut()
    run(phone, "?count")
    scan(phone, "14")
    for name in ("bolt", "hinge"):
        scan(phone, shop.codes[name])
    expect(phone.get_by_label("Hatch hinge, counted")).to_have_value("1")
    phone.reload()
    expect(phone.get_by_text("This goes on from")).to_be_visible()
    assert axe(phone) == []
    scan(phone, shop.codes["bolt"])
    expect(phone.get_by_label("Hatch bolt, counted")).to_have_value("2")
    phone.reload()
    expect(phone.get_by_label("Hatch bolt, counted")).to_have_value("2")
    phone.get_by_role("button", name="Count from nothing").click()
    expect(phone.get_by_label("Hatch bolt, counted")).to_have_value("0")
    expect(phone.get_by_label("Hatch hinge, counted")).to_have_count(0)
    scan(phone, shop.codes["bolt"])
    phone.get_by_role("button", name="Done").click()
    expect(phone.locator("[data-earlier]").get_by_text("Counted 14")).to_be_visible()
    phone.reload()
    scan(phone, "14")
    expect(phone.get_by_text("This goes on from")).to_have_count(0)


def test_a_bin_is_counted_by_scanning_also_what_nobody_knew_was_there(phone, signal, shop):
    take_along(phone)
    signal.cut()
    run(phone, "?count")
    scan(phone, "14")
    expect(phone.get_by_text("3 believed")).to_be_visible()
    for name in ("bolt", "bolt", "hinge"):
        scan(phone, shop.codes[name])
    expect(phone.get_by_label("Hatch bolt, counted")).to_have_value("2")
    assert axe(phone) == []
    phone.get_by_role("button", name="Done").click()
    expect(phone.get_by_text("✓ 14 is counted")).to_be_visible()
    signal.mend()
    phone.goto("/find/")
    arrived(1, phone)
    assert (held(shop.bolt, shop.bin), held(shop.hinge, shop.bin)) == (2, 1)
    shop.bin.refresh_from_db()
    assert shop.bin.counted_at is not None


def test_a_count_that_needs_a_look_is_corrected_with_all_that_was_found(phone, signal, shop):
    """Half a bolt can't be; the hinge, of which nobody knew, is not lost by putting that right."""
    take_along(phone)
    run(phone, "?count")
    scan(phone, "14")
    scan(phone, shop.codes["hinge"])
    phone.get_by_label("Hatch bolt, counted").fill("2.5")
    phone.get_by_role("button", name="Done").click()
    until(phone, "async () => (await Gusset.outbox.mine()).length === 1")  # safe on the phone before the page is left
    phone.goto("/phone/waiting/")
    expect(phone.get_by_text("This is counted in whole pieces.")).to_be_visible()
    expect(phone.get_by_text("Hatch bolt: 2.5")).to_be_visible()
    phone.get_by_role("link", name="Correct it").click()
    expect(phone.get_by_label("Hatch hinge", exact=True)).to_have_value("1")
    phone.get_by_label("Hatch bolt", exact=True).fill("2")
    phone.get_by_role("button", name="Counted").click()
    arrived(1, phone)
    assert (held(shop.bolt, shop.bin), held(shop.hinge, shop.bin)) == (2, 1)


def test_a_blank_label_is_stuck_on_a_new_part_without_signal(phone, signal, shop):
    take_along(phone)
    signal.cut()
    run(phone)
    scan(phone, shop.blank.code)
    phone.get_by_label("What is it on?").fill("Door strap")
    phone.get_by_role("button", name="A new part: Door strap").click()
    signal.mend()
    phone.goto("/find/")
    arrived(1, phone)
    assert Label.objects.get(code=shop.blank.code).part == Part.objects.get(name="Door strap")


def test_of_parts_called_the_same_a_blank_label_goes_on_the_one_that_lies_there(phone, signal, shop):
    make_part("Hatch hinge", holds={shop.other: 1})
    take_along(phone)
    signal.cut()
    run(phone)
    scan(phone, shop.blank.code)
    phone.get_by_label("What is it on?").fill("hatch hinge")
    expect(phone.get_by_role("button", name="Hatch hinge, at 15")).to_be_visible()
    phone.get_by_role("button", name="Hatch hinge, at B1").click()
    signal.mend()
    phone.goto("/find/")
    arrived(1, phone)
    assert Label.objects.get(code=shop.blank.code).part == shop.hinge


def test_a_slip_in_a_code_is_no_blank_label(phone, shop):
    run(phone)
    code = shop.blank.code
    scan(phone, code[:-1] + ("3" if code[-1] != "3" else "4"))
    expect(phone.get_by_text("is not a label’s code, nor an address that the phone knows")).to_be_visible()


SLOW = """(() => {
  const looks = %s, seen = {rawValue: '%s', cornerPoints: [{x: 0, y: 0}]};
  window.BarcodeDetector = class {
    static async getSupportedFormats() { return ['qr_code']; }
    async detect() {
      await new Promise(go => setTimeout(go, 800));
      return looks.length > 1 ? (looks.shift() ? [seen] : []) : looks[0] ? [seen] : [];
    }
  };
})()"""


@pytest.mark.parametrize(
    ("looks", "times"),
    # Three looks without it at 0.8 s each are more than it takes to be away; one is a blurred picture.
    [("[1]", 1), ("[1, 1, 1, 0, 1]", 1), ("[1, 1, 0, 0, 0, 1, 0]", 2)],
    ids=["stays", "blurred once", "away and back"],
)
def test_on_a_phone_that_looks_slowly_a_label_is_taken_once_for_each_time_it_is_held_there(
    scanning,  # noqa: F811
    shop,
    looks,
    times,
):
    page = scanning(shop.codes["hinge"])
    page.add_init_script(SLOW % (looks, shop.codes["hinge"]))
    run(page, f"?place={shop.bin.pk}")
    page.get_by_role("button", name="Scan with the camera").click()
    expect(page.get_by_text("✓ In the shop")).to_have_count(times)
    page.wait_for_timeout(4000)
    assert Op.objects.count() == times


def test_a_label_that_stays_before_the_camera_is_taken_once(scanning, shop):  # noqa: F811
    page = scanning(f"HTTPS://SHOP.TEST/L/{shop.codes['hinge']}")
    run(page, f"?place={shop.bin.pk}")
    page.get_by_role("button", name="Scan with the camera").click()
    expect(page.get_by_text("✓ In the shop")).to_be_visible()
    page.wait_for_timeout(2500)
    assert Op.objects.count() == 1
    assert Holding.objects.get(part=shop.hinge, location=shop.bin).quantity == 1
    page.get_by_role("button", name="Stop the camera").click()

"""A night beside a donor, phone in hand: three parts come off, one with its bolts bagged; each is found again."""

from decimal import Decimal

import pytest

from inventory.donors import actions
from inventory.donors.models import Pull
from inventory.parts import audit
from tests.factories import make_place
from tests.site.addresses import picture

from .conftest import axe


@pytest.fixture
def donor(db):
    make_place("bench", name="Bench by the door", short="W1")
    container = make_place("container", name="Container 1", short="C1")
    make_place("bin", short="14", parent=container)
    place = make_place("vehicle", name="Halvard 20 pickup, 1966", short="D1")
    donor = actions.add_donor(by=None, location=place, shape="pickup", price=Decimal(650))
    actions.want(donor=donor, things=[{"what": "Hatch hinge", "side": "right", "why": "The hatch"}], by=None)
    return donor


# From the end of a link's text to what follows it, in pixels.
GAP = """link => {
  const [text, next] = [document.createRange(), document.createRange()];
  text.selectNodeContents(link);
  next.setStart(link.nextSibling, link.nextSibling.data.search(/\\S/));
  next.setEnd(link.nextSibling, link.nextSibling.data.search(/\\S/) + 1);
  return next.getBoundingClientRect().left - text.getBoundingClientRect().right;
}"""


def said(phone, words: str) -> None:
    """Wait for the next page to say what was done."""
    phone.get_by_role("status").get_by_text(words).wait_for()


def test_a_donor_is_stripped_from_the_phone_and_every_piece_is_found_afterwards(phone, donor):
    phone.goto(donor.get_absolute_url())
    drawing = phone.get_by_role("group", name="Pickup from the side")
    assert "Back: 1 wanted" in drawing.get_attribute("aria-label")

    # The cautions stand before the first pull, and only before the first.
    phone.get_by_role("link", name="Pull a part").tap()
    phone.get_by_role("button", name="I, Olga, have read these").tap()

    # What is wanted is the first guess; its bolts go in a bag, with a photo of how it sat.
    phone.get_by_role("radio", name="Hatch hinge, right").check()
    phone.get_by_label("Pattern only").check()
    phone.get_by_label("Photos before, still on it").set_input_files(
        {"name": "before.jpg", "mimeType": "image/jpeg", "buffer": picture()}
    )
    phone.get_by_label("Its fasteners, bagged").fill("6 M8×25 hex\n6 M8 washer")
    phone.get_by_label("For putting it back").fill("Knuckle up, two shims below")
    phone.get_by_role("button", name="Pull it").tap()
    said(phone, "Pulled 1 × Hatch hinge, right off D1 to W1, fasteners in BAG1")

    # A second one is typed, for a bin; a third, sold at once.
    phone.get_by_role("link", name="Pull a part").tap()
    phone.get_by_label("What", exact=True).fill("Cab seat frame")
    phone.get_by_text("New part: Cab seat frame").wait_for()
    phone.get_by_label("Where it goes now").fill("c1 14")
    phone.locator(".pick-one", has_text="C1·14").wait_for()
    phone.get_by_role("button", name="Pull it").tap()
    said(phone, "Pulled 1 × Cab seat frame off D1 to C1·14")
    phone.get_by_role("link", name="Pull a part").tap()
    phone.get_by_label("What", exact=True).fill("Steering box")
    phone.get_by_text("New part: Steering box").wait_for()
    phone.get_by_role("button", name="Pull it").tap()
    said(phone, "Pulled 1 × Steering box off D1 to W1")

    label = drawing.get_attribute("aria-label")
    assert "Cab: 1 pulled" in label
    assert "Back: 1 pulled" in label
    assert "Underneath: 1 pulled" in label
    assert axe(phone) == []

    # Each is found where it is said to be.
    phone.get_by_role("link", name="Hatch hinge, right").tap()
    assert "W1" in phone.locator(".titleblock").inner_text()
    assert phone.get_by_role("heading", name="Before").is_visible()
    assert "Knuckle up" in phone.get_by_label("For putting it back").input_value()
    phone.get_by_role("link", name="BAG1").tap()
    inside = phone.locator("main").inner_text()
    assert "M8×25 hex" in inside
    assert "M8 washer" in inside
    phone.goto(Pull.objects.get(part__name="Hatch hinge").part.get_absolute_url())
    link = phone.locator(".titleblock .sub a")  # 'Pulled off D1 · pattern only': no gap, and room for a thumb
    assert link.bounding_box()["width"] >= 44
    assert link.evaluate(GAP) < 8
    phone.goto("/at/C1·14/")
    assert phone.get_by_role("link", name="Cab seat frame").is_visible()

    # One is sold: the drawing and the money follow.
    phone.goto(donor.get_absolute_url())
    assert phone.get_by_role("link", name="Cost so far").inner_text().split("\n")[1] == "650"
    phone.get_by_role("link", name="Steering box").tap()
    phone.get_by_role("link", name="Sold, scrapped").tap()
    phone.get_by_label("Sold", exact=True).check()
    phone.get_by_label("Sold for").fill("140")
    phone.get_by_label("Note").fill("To the club")
    phone.get_by_role("button", name="Take it off the books").tap()
    said(phone, "Sold 1 × Steering box")
    phone.goto(donor.get_absolute_url())
    assert phone.get_by_role("link", name="Cost so far").inner_text().split("\n")[1] == "510"
    assert "Underneath: 1 gone" in drawing.get_attribute("aria-label")
    assert "sold for 140, To the club" in phone.locator("#pulled").inner_text()

    # One Undo takes the whole pull back.
    phone.get_by_role("link", name="Cab seat frame").tap()
    phone.get_by_role("button", name="Undo the whole pull").tap()
    said(phone, "Undone: Pulled 1 × Cab seat frame")
    assert "Cab: nothing yet" in drawing.get_attribute("aria-label")
    assert Pull.objects.standing().count() == 2
    assert audit.differences() == []

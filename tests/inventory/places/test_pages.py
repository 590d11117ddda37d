"""The pages of places, as a person without JavaScript has them."""

import pytest
from bs4 import BeautifulSoup
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory.places.actions import add_place, rename
from inventory.places.actions_grid import container_places, organizer_places, racks_along, set_up
from inventory.places.calc.grid import Numbering
from inventory.places.models import Location, LocationChange
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db

CONTAINER = {
    "name": "Container 1", "short": "c1", "left": 1, "right": 1, "back": 0, "shelves": 3, "bins": 8, "runs": "on",
    "corner": "door-top",
}  # fmt: skip


def at(text):
    return Location.objects.at(text).get()


def soup(response):
    return BeautifulSoup(response.content, "html.parser")


def undo_last(client):
    return client.post(f"/places/undo/{LocationChange.objects.first().pk}/")


@pytest.fixture
def box(owner):
    racks = racks_along({"left": 1, "right": 1}, shelves=3, bins=8, numbering=Numbering(), from_door=True)
    yard = make_place("site", name="Yard", short="Y")
    rename(place=yard, by=owner, short="")
    return set_up(places=container_places(parent=yard, name="Container 1", short="C1", racks=racks), by=owner)


@pytest.fixture
def cabinet(owner):
    lettered = Numbering(style="letters")
    places = organizer_places(parent=None, name="Organizer 1", short="H1", rows=2, cols=3, numbering=lettered)
    return set_up(places=places, by=owner)


def test_an_empty_shop_offers_the_first_step(as_hand, as_guest):
    assert soup(as_hand.get("/places/")).find("a", string="Set up a container")
    assert not soup(as_guest.get("/places/")).find("a", string="Set up a container")


def test_a_container_is_set_up_with_the_answers_that_are_filled_in_already(as_hand):
    form = soup(as_hand.get("/places/new/container/")).find("form", class_="setup")
    given = {box["name"]: box.get("value", "") for box in form.find_all("input") if box.get("type") != "radio"}
    given |= {box["name"]: box["value"] for box in form.find_all("input", type="radio", checked=True)}
    response = as_hand.post("/places/new/container/", given)
    assert (response.status_code, response.headers["Location"]) == (303, "/at/C1/")
    assert Location.objects.filter(kind="bin").count() == 48
    assert "C1·L2·14" in as_hand.get("/at/c1l214/", follow=True).text


def test_what_would_be_made_is_drawn_before(as_hand):
    page = soup(
        as_hand.get("/places/new/container/", CONTAINER | {"back": 1, "bins": 5}, headers={"HX-Request": "true"})
    )
    assert page.find(id="preview")
    assert not page.find("form")
    assert [len(svg.find_all(class_="cell")) for svg in page.find_all("svg")] == [3, 15, 15, 15]
    assert not Location.objects.exists()


@pytest.mark.parametrize(
    ("change", "field", "says"),
    [
        ({"short": "C-1"}, "short", "Letters and figures only"),
        ({"short": "C1"}, "short", "C1 is taken: Container 1"),
        ({"bins": "41"}, "bins", "Write 40 or less."),
        ({"shelves": "few"}, "shelves", "whole number"),
        ({"name": ""}, "name", "Fill this in."),
    ],
)
def test_a_form_that_cannot_be_comes_back_with_the_message_at_the_field(as_hand, change, field, says):
    make_place("container", name="Container 1", short="C1")
    response = as_hand.post("/places/new/container/", CONTAINER | {"short": "C2"} | change)
    assert response.status_code == 422
    wrong = soup(response).find(attrs={"name": field}).find_parent(class_="field")
    assert says in wrong.find(class_="error").get_text()
    assert Location.objects.count() == 1


RACK = {"name": "Long rack", "short": "L", "shelves": 2, "bins": 4, "runs": "on", "corner": "top-left", "digits": 1}
CABINET = {"name": "Organizer 1", "short": "H1", "rows": 2, "cols": 3, "runs": "letters", "corner": "top-left"}


@pytest.mark.parametrize(
    ("address", "data", "made"),
    [
        ("rack", RACK | {"runs": "restart", "corner": "top-right", "digits": 2}, "L2·04"),
        ("rack", RACK | {"bins": 0}, "L2"),
        ("organizer", CABINET, "H1·B3"),
        ("organizer", CABINET | {"runs": "column"}, "H1·6"),
        ("other", {"what": "vehicle", "name": "Halvard 20 pickup", "short": "D1"}, "D1"),
    ],
)
def test_places_of_every_kind_can_be_set_up_and_undone(as_hand, address, data, made):
    response = as_hand.post(f"/places/new/{address}/", data, follow=True)
    assert response.status_code == 200
    assert Location.objects.get(address=made)
    undo_last(as_hand)
    assert not Location.objects.exists()


def test_a_rack_whose_letter_ends_in_a_figure_is_refused(as_hand):
    response = as_hand.post("/places/new/rack/", RACK | {"short": "L1"})
    assert response.status_code == 422
    assert "End it in a letter" in response.text


def test_the_page_of_a_bin_says_where_it_is_and_fills_its_one_cell(as_hand, box):
    bin14 = at("C1 L2 14")
    make_part("Hatch hinge", holds={bin14: 3})
    make_part("Door check strap", holds={bin14: 4})
    page = soup(as_hand.get("/at/C1·L2·14/"))
    assert page.h1.get_text() == "C1·L2·14"
    assert "2 kinds, 7 pieces" in page.header.get_text()
    assert [a.get_text() for a in page.find(class_="trail").find_all("a")] == [
        "Yard",
        "Container 1",
        "Left rack",
        "Shelf 2",
    ]
    filled = page.select("svg .here")
    assert [cell.get_text(strip=True) for cell in filled] == ["14"]
    said = page.find(class_="whole")["aria-label"]
    assert said == (
        "Open Left rack. Left rack, seen from the aisle: 3 shelves of 8 bins. "
        "Bin 14 is filled in: shelf 2 of 3 from the top, 6 of 8 from the left."
    )
    assert [a.get_text(strip=True) for a in page.find(class_="beside").find_all("a")] == ["◂ 13", "15 ▸"]


def test_every_cell_of_a_rack_leads_to_its_bin(as_hand, box):
    links = soup(as_hand.get("/at/C1·L/")).select("svg a")
    assert len(links) == 24
    assert links[13]["aria-label"] == "Bin 14"
    assert as_hand.get(links[13]["href"]).status_code == 200


def test_a_rack_tells_of_what_lies_on_its_shelves_beside_the_bins(as_hand, box, owner):
    make_part("Bumper iron", holds={at("C1·L3"): 1})
    add_place(kind="bin", short="TIN", parent=at("C1·L2"), by=owner)
    rack = soup(as_hand.get("/at/C1·L/"))
    beside = rack.find("h2", string="On its shelves, beside the bins").find_parent("section")
    assert [row.get_text(" ", strip=True) for row in beside.find_all("li")] == [
        "Shelf 3 1 kind C1·L3",
        "Bin TIN empty C1·L2·TIN",
    ]
    assert not soup(as_hand.get("/at/C1·R/")).find("h2", string="On its shelves, beside the bins")


def test_the_plan_of_a_container_leads_to_its_racks(as_hand, box):
    page = soup(as_hand.get("/at/C1/"))
    assert [a["aria-label"] for a in page.select("svg a")] == ["Left rack", "Right rack"]
    assert "Left rack along the left wall" in page.svg["aria-label"]


@pytest.mark.parametrize("typed", ["c1 l2 14", "C1-L2-14", "c1.l2.014", "c1l214"])
def test_an_address_leads_to_its_place_however_it_is_typed(as_hand, box, typed):
    response = as_hand.get(f"/at/{typed}/", follow=True)
    assert response.redirect_chain[-1][0] == at("C1 L2 14").get_absolute_url()


def test_an_old_address_leads_to_the_place_with_a_note(as_hand, owner, box):
    rename(place=at("C1 L"), by=owner, short="K")
    response = as_hand.get("/at/C1·L2·14/", follow=True)
    assert "C1·L2·14 is now C1·K2·14." in response.text


def test_an_address_nobody_has_is_said_so(as_hand, box):
    response = as_hand.get("/at/C9·X/")
    assert response.status_code == 404
    assert "C9·X" in soup(response).h1.get_text()


def test_renaming_says_what_became_of_it_and_is_undone(as_hand, box):
    rack = at("C1 L")
    response = as_hand.post(
        f"/places/{rack.pk}/edit/", {"name": "Left rack", "short": "k", "side": "left"}, follow=True
    )
    assert "C1·L became C1·K." in response.text
    undo_last(as_hand)
    assert at("C1·L2·14")


def test_a_clash_is_said_at_the_field_and_the_page_still_shows_the_truth(as_hand, box):
    response = as_hand.post(f"/places/{at('C1 L').pk}/edit/", {"name": "Left rack", "short": "R", "side": "left"})
    assert response.status_code == 422
    assert "C1·R is taken: Right rack in Container 1." in response.text
    assert soup(response).header.find("a").get_text() == "C1·L"


def test_a_box_is_moved_with_all_it_holds(as_hand, box):
    bench = make_place("bench", name="Lathe bench", short="W1")
    tub = at("C1 L2 14")
    make_part(holds={tub: 2})
    as_hand.post(f"/places/{tub.pk}/move/", {"to": bench.pk, "short": "14", "side": ""})
    assert at("W1·14").holdings.get().quantity == 2
    page = as_hand.get("/at/W1·14/").text
    assert "Moved C1·L2·14 to W1: now W1·14" in page
    undo_last(as_hand)
    assert at("C1·L2·14").holdings.get().quantity == 2


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ({"side": ""}, "Pick one"),
        ({"to_text": "nowhere"}, "No place has that"),
        ({"to_text": "C1 L2 14"}, "is inside C1"),
    ],
)
def test_a_move_that_cannot_be_is_refused_at_the_field(as_hand, box, data, says):
    response = as_hand.post(f"/places/{box.pk}/move/", data)
    assert response.status_code == 422
    assert says in response.text


def test_a_place_that_holds_something_is_not_taken_out_of_use(as_hand, box):
    make_part("Hatch hinge", holds={at("C1 L2 14"): 1})
    response = as_hand.post(f"/places/{box.pk}/retire/", follow=True)
    assert "isn’t empty: Hatch hinge at C1·L2·14" in response.text
    assert at("C1")


def test_a_place_out_of_use_says_so_and_comes_back(as_hand, box):
    number = at("C1 L").pk
    as_hand.post(f"/places/{number}/retire/")
    assert "Out of use since" in as_hand.get("/at/C1·L/", follow=True).text
    as_hand.post(f"/places/{number}/bring-back/")
    assert at("C1·L2·14")


def test_cells_are_joined_split_and_left_unused_from_their_page(as_hand, cabinet):
    first, second = at("H1 A1"), at("H1 A2")
    page = soup(as_hand.get("/at/H1·A1/"))
    assert [b.get_text() for b in page.find_all("button", attrs={"name": "with"})] == ["Join with A2", "Join with B1"]
    as_hand.post(f"/places/{first.pk}/join/", {"with": second.pk})
    assert "H1·A2 is now H1·A1." in as_hand.get("/at/H1·A2/", follow=True).text
    as_hand.post(f"/places/{first.pk}/split/")
    as_hand.post(f"/places/{second.pk}/unused/", {"unused": "1"})
    assert "left unused" in as_hand.get("/at/H1·A2/").text


def test_joining_leads_to_the_cell_that_stays(as_hand, cabinet):
    first, second = at("H1·A1"), at("H1·A2")
    response = as_hand.post(f"/places/{second.pk}/join/", {"with": str(first.pk)})
    assert response.headers["Location"] == first.get_absolute_url()


def test_a_grid_is_laid_out_anew_and_back(as_hand, cabinet):
    data = {"rows": 3, "cols": 3, "runs": "letters", "corner": "top-left", "digits": 1, "own": ""}
    as_hand.post(f"/places/{cabinet.pk}/layout/", data)
    assert at("H1·C3")
    undo_last(as_hand)
    assert not Location.objects.at("H1·C3").exists()


def test_a_layout_that_would_lose_something_is_refused(as_hand, cabinet):
    make_part("Hinge pin", holds={at("H1·B3"): 9})
    data = {"rows": 1, "cols": 3, "runs": "letters", "corner": "top-left", "digits": 1, "own": ""}
    response = as_hand.post(f"/places/{cabinet.pk}/layout/", data)
    assert response.status_code == 422
    assert "Hinge pin at H1·B3" in response.text


def test_the_order_of_places_is_changed_with_buttons(as_hand, box):
    left, right = at("C1 L"), at("C1 R")
    as_hand.post(f"/places/{right.pk}/order/", {"up": "1"})
    assert list(box.children.in_order()) == [right, left]


def test_a_guest_looks_and_is_offered_nothing_to_change(as_guest, box):
    page = soup(as_guest.get("/at/C1·L2·14/"))
    assert page.h1
    assert not page.find(string="Change this place")
    assert not page.find("a", string="Put in")
    assert as_guest.post(f"/places/{box.pk}/retire/").status_code == 403
    assert as_guest.post("/places/new/container/", CONTAINER).status_code == 403


@pytest.mark.parametrize("path", ["/at/C1/", "/places/"])
def test_the_number_of_queries_does_not_grow_with_the_places(as_hand, owner, path):
    box = make_place("container", short="C1")
    counts = []
    for more in (1, 2, 27):
        for _ in range(more):
            make_part(holds={make_place("bench", parent=box): 1})
        as_hand.get(path)
        with CaptureQueriesContext(connection) as seen:
            as_hand.get(path)
        counts.append(len(seen))
    assert counts[0] == counts[1] == counts[2]
    assert counts[0] <= 12


def test_a_bins_page_costs_the_same_in_a_small_rack_and_a_large_one(as_hand, owner):
    counts = []
    for short, shelves, bins in (("C1", 1, 1), ("C2", 3, 8), ("C3", 10, 30)):
        racks = racks_along({"left": 1}, shelves=shelves, bins=bins, numbering=Numbering(), from_door=True)
        set_up(places=container_places(parent=None, name="", short=short, racks=racks), by=owner)
        as_hand.get(f"/at/{short}·L1·1/")
        with CaptureQueriesContext(connection) as seen:
            as_hand.get(f"/at/{short}·L1·1/")
        counts.append(len(seen))
    assert counts[0] == counts[1] == counts[2]

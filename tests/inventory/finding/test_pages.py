"""The box, the answers while typing, and the page of words."""

import pytest
from bs4 import BeautifulSoup

from inventory.finding.models import SameWords
from tests.factories import make_part, make_place

HTMX = {"HX-Request": "true"}


def soup(response):
    return BeautifulSoup(response.content, "html.parser")


@pytest.fixture
def bin14(db):
    container = make_place("container", short="C1", name="Container 1")
    rack = make_place("rack", short="L", name="Left rack", parent=container)
    shelf = make_place("shelf", short="2", parent=rack)
    return make_place("bin", short="14", parent=shelf)


def test_an_answer_shows_name_count_address_and_the_way_down(as_guest, bin14):
    part = make_part("Hatch hinge", condition="pattern", holds={bin14: 2})
    page = soup(as_guest.get("/find/?q=hatch"))
    row = page.select_one(".found li")
    assert row.select_one("b").text == "Hatch hinge"
    assert row.select_one(".address").text == "C1·L2·14"
    assert row.select_one("small").text == "Left rack"
    assert "pattern only" in row.text
    assert "2 on hand" in row.text
    assert row.a["href"] == part.get_absolute_url()
    assert page.select_one("#q")["value"] == "hatch"


def test_while_typing_only_the_answers_are_sent(as_hand, bin14):
    make_part("Hatch hinge", holds={bin14: 2})
    answer = as_hand.get("/find/?q=hatch&kind=&condition=&offset=", headers=HTMX)
    assert b"<html" not in answer.content
    assert b"1 found" in answer.content
    assert answer.headers["HX-Replace-Url"] == "/find/?q=hatch"
    assert answer.headers["Vary"].count("HX-Request") == 1


def test_nothing_found_offers_to_add_it_with_the_name_filled_in(as_hand, as_guest):
    page = soup(as_hand.get("/find/?q=Door check strap"))
    assert "Nothing found for “Door check strap”" in page.text
    add = page.select_one(".add-it")["href"]
    form = soup(as_hand.get(add))
    assert form.select_one("[name=name]")["value"] == "Door check strap"
    assert soup(as_guest.get("/find/?q=Door check strap")).select_one(".add-it") is None


def test_near_misses_are_said_to_be_such(as_hand):
    make_part("Hatch hinge")
    page = soup(as_hand.get("/find/?q=hatch gearwheel"))
    assert "Nothing has all of that. These come near:" in page.text
    assert page.select_one(".found b").text == "Hatch hinge"
    assert page.select_one(".add-it")


def test_a_word_read_as_another_is_said(as_hand):
    make_part("Hatch hinge")
    assert "taking “hnige” for “hinge”" in soup(as_hand.get("/find/?q=hatch hnige")).text


def test_more_answers_follow_in_the_same_list(as_hand):
    for number in range(25):
        make_part(f"Hatch hinge {number:02}")
    page = soup(as_hand.get("/find/?q=hinge"))
    assert len(page.select(".found li:not(.more)")) == 20
    more = as_hand.get("/find/" + page.select_one(".more a")["hx-get"], headers=HTMX)
    assert b"<ul" not in more.content
    assert len(soup(more).select("li")) == 5
    assert "HX-Replace-Url" not in more.headers
    plain = soup(as_hand.get("/find/" + page.select_one(".more a")["href"]))
    assert len(plain.select(".found li")) == 5


def test_the_empty_box_shows_what_was_moved_last_and_the_top_of_the_tree(as_hand, bin14):
    make_part("Hatch hinge", holds={bin14: 2})
    page = soup(as_hand.get("/find/"))
    assert page.select_one(".found b").text == "Hatch hinge"
    assert "Container 1" in page.text


def test_an_empty_shop_says_what_goes_here(as_hand):
    assert "Everything in the shop is found here" in soup(as_hand.get("/find/")).text


def test_filters_work_as_a_plain_form(as_hand, bin14):
    make_part("Hatch hinge", condition="scrap")
    make_part("Hatch strap", holds={bin14: 2})
    page = soup(as_hand.get("/find/?q=hatch&condition=scrap"))
    assert [b.text for b in page.select(".found b")] == ["Hatch hinge"]
    assert page.select_one("details").has_attr("open")
    assert as_hand.get("/find/?q=hatch&condition=nonsense&donor=x&since=never&offset=-3").status_code == 200


def test_words_are_added_changed_removed_and_taken_back(as_hand):
    answer = as_hand.post("/find/words/", {"words": "sliding door, slider"})
    assert answer.status_code == 303
    row = SameWords.objects.get()
    assert "sliding door, slider" in as_hand.get("/find/words/").content.decode()
    as_hand.post(f"/find/words/{row.pk}/", {"words": "sliding door, slider, side door"})
    row.refresh_from_db()
    assert row.words == "sliding door, slider, side door"
    as_hand.post(f"/find/words/{row.pk}/remove/")
    assert SameWords.objects.count() == 0
    as_hand.post("/find/words/again/")
    assert SameWords.objects.get().words == "sliding door, slider, side door"


def test_one_word_alone_is_refused_at_the_field(as_hand, as_guest):
    answer = as_hand.post("/find/words/", {"words": "slider"})
    assert answer.status_code == 422
    assert "at least two words" in soup(answer).select_one(".error").text
    assert as_guest.post("/find/words/", {"words": "a b, c d"}).status_code == 403

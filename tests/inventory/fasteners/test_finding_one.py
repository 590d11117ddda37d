"""What is this thread, and what here would do."""

import pytest

from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


def _what(client, **asked):
    return client.get("/fasteners/what-is-this/", {"unit": "mm", **asked})


@pytest.mark.parametrize(
    ("asked", "first"),
    [
        ({"across": "7.9", "pitch": "1.25"}, "M8×1.25"),  # ISO 261
        ({"across": "0.245", "unit": "in", "tpi": "20"}, "1/4-20"),  # ASME B1.1
        ({"across": "9.9", "span": "15", "threads": "10"}, "M10×1.5"),
    ],
)
def test_the_thread_measured_is_named_first(as_owner, asked, first):
    response = _what(as_owner, **asked)
    assert response.context["likely"][0].query == first
    assert response.context["likely"][0].fits


def test_without_a_pitch_it_says_that_more_than_one_fits(as_owner):
    assert "Measure the pitch too." in _what(as_owner, across="7.9").text


def test_what_fits_nothing_is_said_to(as_owner):
    assert "None fits" in _what(as_owner, across="7.4", pitch="0.3").text


@pytest.mark.parametrize(
    ("asked", "at"),
    [({"across": "x"}, "across"), ({"across": "8", "pitch": "1", "tpi": "20"}, "tpi"),
     ({"across": "8", "span": "9"}, "threads"),
     ({"across": "8", "span": "9", "threads": "1.5"}, "threads"), ({"across": "NaN"}, "across")],
)  # fmt: skip
def test_a_reading_that_cannot_be_is_told_at_its_field(as_owner, asked, at):
    response = _what(as_owner, **asked)
    assert response.status_code == 422
    assert at in response.context["form"].errors


def _instead(client, **asked):
    return client.get("/fasteners/will-it-do/", asked).context["found"]


def test_the_same_comes_first_then_longer_with_washers_and_never_weaker(as_owner):
    drawer = make_place("bin", short="K1")
    same, longer = make_part("M8x25 hex 8.8", holds={drawer: 2}), make_part("M8x30 hex 8.8", holds={drawer: 9})
    weak = make_part("M8x25 hex 4.6", holds={drawer: 9})
    make_part("M8x20 hex 8.8", holds={drawer: 9})
    make_part("M8x25 hex 10.9")
    found = _instead(as_owner, q="M8×25 hex bolt 8.8", count=2)
    assert [one.ref.part for one in found] == [same, longer]
    assert found[1].washers == "5 mm too long: 4 flat washers under the head"
    assert found[0].ref.places == [drawer]
    assert weak in [one.ref.part for one in _instead(as_owner, q="M8×25 hex bolt 8.8", weaker="on")]


def test_what_is_short_is_said(as_owner):
    make_part("M8x25 hex 8.8", holds={make_place(): 2})
    assert "2 on hand, 4 short" in as_owner.get("/fasteners/will-it-do/", {"q": "M8x25 hex 8.8", "count": 6}).text
    assert "Nothing on hand will do" in as_owner.get("/fasteners/will-it-do/", {"q": "M5x25"}).text
    assert "It needs a size" in as_owner.get("/fasteners/will-it-do/", {"q": "hatch", "count": "many"}).text

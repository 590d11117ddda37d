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
        ({"across": "7.9 mm, 1.25"}, "M8×1.25"),
        ({"across": "0.245 in, 20 tpi"}, "1/4-20"),
        ({"across": "9.8 mm", "unit": "in"}, "M10×1.5"),
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


def test_the_head_is_read_too_and_what_the_shop_has_of_it_is_said(as_owner):
    make_part("M8x25 hex 8.8", holds={make_place(): 2})
    make_part("M8 nut", holds={make_place(short="K9"): 2})
    response = _what(as_owner, across="7.9", pitch="1.25", flats="12.9", mark="8.8")
    assert "breaks at 800 N/mm² or more (ISO 898-1)" in response.text
    assert "1 kind in the shop" in response.text
    first = response.context["likely"][0]
    assert (first.query, first.off) == (
        "M8×1.25 8.8", "across −0.10 mm from nominal, pitch the same, hexagon −0.10 mm",
    )  # fmt: skip
    assert _what(as_owner, across="6.7", pitch="1.25", inside="on").context["likely"][0].query == "M8×1.25 nut"
    assert "No mark proves nothing" in _what(as_owner, across="7.9", mark="none").text
    assert "3 lines are grade 5" in _what(as_owner, across="7.9", mark="grade 5").text


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


@pytest.mark.parametrize(
    ("have", "fit", "differs"),
    [
        ("M8x25 hex 8.8", "The same", ""),
        ("M8x25 hex 8.8 zinc", "The same", ""),
        ("M8x25 flange 8.8", "Fits", "head or form flange"),
        ("M8x30 hex 8.8", "Longer", ""),
        ("M8x25 hex 10.9", "Stronger", "class or grade 10.9"),
        ("M8x30 hex 10.9", "Longer and stronger", "class or grade 10.9"),
        ("M8x25 hex 4.6", "WEAKER", "class or grade 4.6"),
        ("M8x30 hex 4.6", "WEAKER and longer", "class or grade 4.6"),
        ("M8x25 hex", "STRENGTH NOT KNOWN", "class or grade not known"),
        ("M8x30 hex", "STRENGTH NOT KNOWN and longer", "class or grade not known"),
    ],
)
def test_what_is_different_is_named_for_what_it_is(as_owner, have, fit, differs):
    make_part(have, holds={make_place("bin", short="K1"): 9})
    (one,) = _instead(as_owner, q="M8x25 hex 8.8", weaker="on")
    assert (one.fit, one.differs) == (fit, differs)
    assert bool(one.washers) is ("longer" in fit.lower())


def test_what_is_short_is_said(as_owner):
    make_part("M8x25 hex 8.8", holds={make_place(): 2})
    assert "2 on hand, 4 short" in as_owner.get("/fasteners/will-it-do/", {"q": "M8x25 hex 8.8", "count": 6}).text
    assert "Nothing on hand will do" in as_owner.get("/fasteners/will-it-do/", {"q": "M5x25"}).text
    assert "It needs a size" in as_owner.get("/fasteners/will-it-do/", {"q": "hatch", "count": "many"}).text


def test_what_will_not_do_is_shown_with_the_reason(as_owner):
    drawer = make_place("bin", short="K1")
    for name in ("M8x20 hex 8.8", "M8x1x25 hex 8.8", "M8x25 hex 4.6", "M8x60 hex 8.8"):
        make_part(name, holds={drawer: 9})
    response = as_owner.get("/fasteners/will-it-do/", {"q": "M8x25 hex 8.8"})
    said = {one.ref.part.name: one.why for one in response.context["misfits"]}
    assert said == {
        "M8x20 hex 8.8": "5 mm too short",
        "M8x1x25 hex 8.8": "another pitch, 1 mm: it does not screw in",
        "M8x25 hex 4.6": "weaker: 4.6",
        "M8x60 hex 8.8": "35 mm too long, more than 4 flat washers take up",
    }


def test_what_is_away_on_a_vehicle_or_not_good_is_not_here(as_owner):
    make_part("M8x25 hex 8.8", holds={make_place(short="K1", away=True): 9, make_place("vehicle", short="V1"): 9})
    make_part("M8x25 hex 10.9", holds={make_place(short="K2"): 9}, condition="scrap")
    assert _instead(as_owner, q="M8x25 hex 8.8") == []


def test_the_page_of_a_thread_shows_what_the_shop_has_of_it(as_owner):
    make_part("M8x25 hex 8.8 zinc", holds={make_place(short="K1"): 9})
    assert "M8x25 hex 8.8 zinc" in as_owner.get("/fasteners/", {"q": "M8x25"}).text
    listed = make_part("M6x20 hex 8.8")
    text = as_owner.get("/fasteners/", {"q": "hex M6 x 20, 8.8"}).text
    assert f"{listed}</a> is in the list; there is none on hand." in text
    assert "nothing that would do" in as_owner.get("/fasteners/", {"q": "M5x20"}).text


def test_a_standard_alone_says_what_it_is_and_asks_for_the_size(as_owner):
    response = as_owner.get("/fasteners/", {"q": "ISO 4017"})  # hexagon head screws, threaded to the head
    said = dict(response.context["sizeless"])
    assert (said["What it is"], said["Head or form"], said["Thread along it"]) == ("bolt", "hex", "full")
    assert 'name="size"' in response.text
    found = as_owner.get("/fasteners/", {"q": "ISO 4017", "size": "M8", "length": "25"}).context["reading"].fastener
    assert (found.size, found.length, found.standard) == ("M8", 25, "ISO 4017")


def test_of_what_nothing_more_is_known_no_empty_section_is_shown(as_owner):
    assert "Known of it" in as_owner.get("/fasteners/", {"q": "M8x25"}).text
    response = as_owner.get("/fasteners/", {"q": "4.2 mm x 16 pan self tapper"})
    assert "Understood" in response.text
    assert "Known of it" not in response.text

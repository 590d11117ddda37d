"""Counting by weight leads to the number at the place."""

import pytest

from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


@pytest.fixture
def bin_():
    return make_place("bin", short="K1")


def _weigh(client, part, place, **readings):
    asked = {"place": place.pk, "sample": 10, "sample_weight": 120, "total_weight": 480, "division": "0.1"} | readings
    return client.get(f"/parts/{part.pk}/weigh/", asked)


def test_ten_weigh_120_g_all_weigh_480_g_so_there_are_40_and_the_way_leads_to_correct(as_owner, bin_):
    part = make_part("M8x25 hex 8.8", holds={bin_: 12})
    response = _weigh(as_owner, part, bin_)
    assert response.context["counted"].pieces == 40
    link = f"/move/correct/?place={bin_.pk}&amp;part={part.pk}&amp;counted=40"
    assert link in response.text
    assert as_owner.get(link.replace("&amp;", "&")).context["form"]["quantity"].value() == 40


def test_a_lot_of_many_kilograms_is_counted_too(as_owner, bin_):
    part = make_part("M8x25 hex 8.8", holds={bin_: 12})
    assert _weigh(as_owner, part, bin_, total_weight="12000").context["counted"].pieces == 1000


def test_a_scale_that_is_too_coarse_is_said_to_be(as_owner, bin_):
    part = make_part("M3x6", holds={bin_: 400})
    text = _weigh(as_owner, part, bin_, sample_weight="5", total_weight="200", division="1").text
    assert "Too coarse to be sure." in text


@pytest.mark.parametrize(
    ("wrong", "at"),
    [({"sample": 0}, "sample"), ({"sample_weight": "x"}, "sample_weight"), ({"division": 0}, "division")],
)
def test_a_reading_that_cannot_be_is_told_at_its_field(as_owner, bin_, wrong, at):
    response = _weigh(as_owner, make_part("M8x25"), bin_, **wrong)
    assert response.status_code == 422
    assert list(response.context["form"].errors) == [at]


def test_what_is_not_counted_in_pieces_is_not_weighed(as_owner):
    part = make_part("Hatch seal", unit="metres")
    assert as_owner.get(f"/parts/{part.pk}/weigh/").status_code == 404

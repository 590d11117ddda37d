"""The demo goes into an empty shop and out again by one button each."""

import pytest

from inventory.parts.models import Part
from tests.factories import make_part

pytestmark = pytest.mark.django_db


def test_an_owner_loads_it_from_the_first_steps_and_takes_it_away_again(as_owner):
    assert "Look around first" in as_owner.get("/", follow=True).text
    answer = as_owner.post("/demo/", {"what": "load"}, follow=True)
    assert "The demo shop is in: " in answer.text
    assert Part.objects.count() >= 250
    assert "Take the demo away" in as_owner.get("/demo/").text
    answer = as_owner.post("/demo/", {"what": "remove"}, follow=True)
    assert "The demo is gone." in answer.text
    assert not Part.objects.exists()


def test_it_is_never_poured_over_what_a_shop_holds(as_owner):
    make_part("Hatch hinge")
    assert "only goes into an empty shop" in as_owner.get("/demo/").text
    assert "Nothing was changed." in as_owner.post("/demo/", {"what": "load"}, follow=True).text
    assert Part.objects.count() == 1


def test_a_second_press_and_nonsense_change_nothing(as_owner):
    as_owner.post("/demo/", {"what": "load"})
    count = Part.objects.count()
    for what in ("load", "", "x"):
        assert as_owner.post("/demo/", {"what": what}).status_code == 303
    assert Part.objects.count() == count


def test_only_an_owner_does_that(as_hand):
    assert as_hand.post("/demo/", {"what": "load"}).status_code == 403
    assert not Part.objects.exists()

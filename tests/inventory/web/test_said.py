"""A message waits for a page that somebody sees."""

import pytest

from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


def test_a_page_fetched_in_the_background_leaves_it_for_the_one_that_is_seen(as_hand):
    tub = make_place("bin", short="B1")
    part = make_part("Hinge")
    as_hand.post(
        f"/move/put-in/?place={tub.pk}&part={part.pk}", {"quantity": "2", "uid": "6f1c6b0e-5f0b-4c2e-9d53-0c8a5b1f7a11"}
    )
    assert "Put 2" not in as_hand.get("/find/", headers={"X-Background": "1"}).text
    assert "Put 2" in as_hand.get("/at/B1/").text
    assert "Put 2" not in as_hand.get("/at/B1/").text.partition("<main")[2].partition("<h2>")[0]

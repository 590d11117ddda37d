"""A task that uses hardware says whether the drawers can supply it."""

import pytest

from tests.factories import make_build, make_part, make_place, make_task

pytestmark = pytest.mark.django_db


def _page(client, **uses) -> str:
    return client.get(f"/tasks/{make_task('Hang the hatch', build=make_build(), **uses).pk}/").text


def test_bolts_on_hand_are_said_with_their_drawer_and_what_is_short(as_owner):
    part = make_part("M8x25 hex 8.8", holds={make_place(short="K1"): 4})
    text = _page(as_owner, uses={part: 6})
    assert "From the drawers" in text
    assert "4 on hand, 2 short" in text
    assert "K1" in text


def test_what_other_tasks_have_claimed_is_not_there_for_this_one(as_owner):
    part = make_part("M8x25 hex 8.8", holds={make_place(short="K1"): 10})
    build = make_build()
    first, second = (make_task(title, build=build, uses={part: 6}) for title in ("Hang the hatch", "Fit the step"))
    assert "10 on hand<" in as_owner.get(f"/tasks/{first.pk}/").text.replace(", 4 for other tasks", "")
    assert "10 on hand, 6 for other tasks, 2 short" in as_owner.get(f"/tasks/{second.pk}/").text
    found = as_owner.get("/fasteners/will-it-do/", {"q": "M8x25 hex 8.8"}).text
    assert "10 on hand, all spoken for, 1 short" in found


def test_bolts_named_in_words_only_are_looked_for_and_what_will_do_is_offered(as_owner):
    make_part("M8x30 hex 10.9", holds={make_place(short="K1"): 9})
    text = _page(as_owner, words=("M8x25 hex 8.8", "M5x10 hex 8.8", "Gas strut"))
    assert "Instead: M8x30 hex 10.9" in text
    assert "4 flat washers under the head" in text
    assert text.count("Nothing on hand will do") == 1
    assert "12 × M8×1.25×25 hex bolt 8.8" in _page(as_owner, words=("12 x M8x25 hex 8.8",))


def test_a_task_without_hardware_says_nothing_of_it(as_owner):
    assert "From the drawers" not in _page(as_owner, words=("Gas strut",))

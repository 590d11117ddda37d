"""What a picker offers for typed text: it reads as Find does, so that nothing is made twice for a slip or a word."""

import pytest

from buildlog.worklog.picks import pick_held
from inventory.parts.queries import get_part, get_to_put_in, pick_parts, pick_to_put_in
from inventory.places.queries import pick_places
from inventory.web.picker import ticked
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


def labels(choices):
    return [choice.label for choice in choices]


@pytest.mark.parametrize(
    "typed",
    ["Bonnet hinge", "hood hinge", "hinges bonnet", "bonet hinge", "bonn hin"],
)
def test_a_part_is_offered_for_other_words_for_it_slips_and_parts_of_words(typed):
    make_part("Bonnet hinge")
    make_part("Door handle")
    assert labels(pick_parts(typed)) == ["Bonnet hinge", f"New part: {typed}"]


def test_a_number_is_read_without_its_dashes():
    part = make_part("Wiper motor", part_numbers="11-2233-A")
    assert pick_parts("112233a")[0].value == str(part.pk)


def test_the_very_name_is_taken_although_others_begin_with_it():
    hinge = make_part("Hinge")
    make_part("Hinge pin")
    assert [choice.value for choice in pick_parts("hinge") if choice.exact] == [str(hinge.pk)]


def test_two_of_one_name_are_both_offered_and_none_is_taken():
    make_part("Door hinge", side="left")
    make_part("Door hinge", side="right")
    assert not [choice for choice in pick_parts("Door hinge") if choice.exact]


def test_a_new_part_is_taken_only_where_nothing_is_alike():
    make_part("Bonnet hinge")
    assert [choice.exact for choice in pick_parts("Radiator cap")] == [True]
    assert not any(choice.exact for choice in pick_parts("Hood hinge"))
    assert get_part(pick_parts("Radiator cap")[-1].value).name == "Radiator cap"


@pytest.mark.parametrize("typed", ["windscreen wiper motr", "wiper motor front", "chrome wiper motor"])
def test_a_part_that_misses_one_word_is_offered_and_nothing_is_taken_unasked(typed):
    part = make_part("Wiper motor")
    *near, new = pick_parts(typed)
    assert [(choice.value, choice.near, choice.exact) for choice in near] == [(str(part.pk), True, False)]
    assert (ticked([*near, new]), new.exact) == (new.value, False)


def test_a_near_miss_is_not_shown_beside_a_part_that_is_meant():
    make_part("Wiper motor")
    make_part("Wiper arm")
    assert labels(pick_parts("wiper arm")) == ["Wiper arm", "New part: wiper arm"]


def test_what_lies_on_a_bench_is_offered_first_also_for_another_word():
    bench = make_place("bench", short="B1", name="Lathe bench")
    part = make_part("Bonnet hinge", holds={bench: 2})
    first = pick_to_put_in("hood")[0]
    assert (first.label, first.sub) == ("Bonnet hinge", "2 on Lathe bench")
    assert labels(pick_held("hood"))[0] == str(part)


def test_a_place_is_offered_for_words_of_its_name_in_any_order():
    rack = make_place("rack", short="L", name="Left rack of the container")
    make_place("bench", short="B1", name="Lathe bench")
    assert labels(pick_places("rack left")) == [rack.title]


def test_a_place_is_first_for_its_address_whatever_is_called_alike():
    bin_ = make_place("bin", short="B7", name="Bin of bolts")
    make_place("bin", short="B8", name="B7 leftovers")
    assert pick_places("b7")[0].value == str(bin_.pk)
    assert pick_places("b7")[0].exact


@pytest.mark.parametrize("value", ["held:{part}@{other}", "held:x@1", "held:1@x", "held:@", "held:"])
def test_what_a_phone_picked_is_known_by_its_part_and_place_and_nothing_else_is(value):
    there, other = make_place("bin"), make_place("bin")
    part = make_part("Hatch bolt", holds={there: 2})
    assert get_to_put_in(f"held:{part.pk}@{there.pk}") == (part, there)
    assert get_to_put_in(value.format(part=part.pk, other=other.pk)) is None


@pytest.mark.parametrize("value", ["held:" + "9" * 23 + "@1", "held:1@" + "9" * 23, "held:" + "9" * 23])
def test_a_number_no_database_holds_stands_for_nothing(value):
    assert get_to_put_in(value) is None

"""Addresses: however one is typed, it is the same place. No published source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.places.calc.address import address_key, join_address, sort_key, squeezed


@pytest.mark.parametrize(
    "typed", ["C1·L2·14", "c1 l2 14", "C1-L2-14", "c1.l2.14", " c1 / l2 / 14 ", "C1  L2—14", "c1·l2·014", "C01 L2 14"]
)
def test_an_address_is_known_however_it_is_typed(typed):
    assert address_key(typed) == "C1·L2·14"


@pytest.mark.parametrize(("text", "key"), [("", ""), ("·", ""), ("h2·b03", "H2·B3"), ("0", "0"), ("C100", "C100")])
def test_zeros_before_a_number_say_nothing_but_zero_stays(text, key):
    assert address_key(text) == key


def test_a_shelf_is_glued_to_its_rack():
    assert join_address("C1·L", "2", glued=True) == "C1·L2"
    assert join_address("", "C1") == "C1"
    assert join_address("C1", "") == "C1"


def test_gaps_may_be_left_out():
    assert squeezed("c1l214") == squeezed("C1·L2·14") == "C1L214"


def test_they_are_in_order_as_a_person_counts():
    keys = ["C1·10", "C1·2", "C1·1", "C1·L10·2", "C1·L2·11", "B·3", "C1"]
    assert sorted(keys, key=sort_key) == ["B·3", "C1", "C1·1", "C1·2", "C1·10", "C1·L2·11", "C1·L10·2"]


@given(st.text(max_size=30))
def test_a_key_is_its_own_key(text):
    assert address_key(address_key(text)) == address_key(text)


@given(
    st.lists(st.from_regex(r"[A-Z]?[1-9][0-9]{0,2}", fullmatch=True), min_size=1, max_size=4), st.sampled_from(" .-/·")
)
def test_pieces_survive_any_gap(pieces, gap):
    assert address_key(gap.join(pieces).lower()) == "·".join(pieces)

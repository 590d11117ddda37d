"""Where people say things are. The shop's own address form is C1·L2·14; the words are common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.importing.calc.place import KINDS, Step, read_place, read_place_columns, write_place

LEFT_14 = [("rack", "Left rack", "L"), ("shelf", "Shelf 2", "2"), ("bin", "Bin 14", "14")]
CONTAINER_1 = ("container", "Container 1", "C1")


def steps(place):
    return [(s.kind, s.name, s.short) for s in place.steps]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("container, left, shelf 2, bin 14", [("container", "Container", "C1"), *LEFT_14]),
        ("Container 1 left rack shelf 2 bin 14", [CONTAINER_1, *LEFT_14]),
        ("container 1, left shelf 2, bin 14", [CONTAINER_1, *LEFT_14]),
        ("container 1, LH, 2nd shelf, bin no. 14", [CONTAINER_1, *LEFT_14]),
        ("bin 14, shelf 2, left rack, container 1", [CONTAINER_1, *LEFT_14]),
        ("Yard/Container 1/left rack/2/14", [("site", "Yard", ""), CONTAINER_1, *LEFT_14]),
        ("Yard > Container 1 > L2 > 14", [("site", "Yard", ""), CONTAINER_1, *LEFT_14]),
        ("C1 L2 14", [CONTAINER_1, *LEFT_14]),
        ("c1-l2-14", [CONTAINER_1, *LEFT_14]),
        ("C1·L2·14", [CONTAINER_1, *LEFT_14]),
        ("C1L2-14", [CONTAINER_1, *LEFT_14]),
        ("c1l2 14", [CONTAINER_1, *LEFT_14]),
        ("Container 1 left 2 14", [CONTAINER_1, *LEFT_14]),
        ("container, left 2 14", [("container", "Container", "C1"), *LEFT_14]),
        ("H2 B3", [("organizer", "Organizer 2", "H2"), ("drawer", "Drawer B3", "B3")]),
        ("Organizer 2, drawer B3", [("organizer", "Organizer 2", "H2"), ("drawer", "Drawer B3", "B3")]),
        # R1 and 2 glued would read as R12
        ("rack 1, shelf 2, box 7", [("rack", "Rack 1", "R1"), ("shelf", "Shelf 2", "S2"), ("bin", "Box 7", "7")]),
        ("R1 S2 B7", [("rack", "Rack 1", "R1"), ("shelf", "Shelf 2", "S2"), ("bin", "Bin 7", "B7")]),
        ("lathe bench", [("bench", "Lathe bench", "LB")]),
        ("blue tub", [("bin", "Blue tub", "BT")]),
        ("garage", [("site", "Garage", "")]),
        ("under the stairs", [("site", "Under the stairs", "")]),
        ("Barn - bench 1 - red box", [("site", "Barn", ""), ("bench", "Bench 1", "B1"), ("bin", "Red box", "RB")]),
        ("Halvard 20 pickup", [("vehicle", "Halvard 20 pickup", "H2P")]),
        ("14", [("bin", "Bin 14", "14")]),
        ("", []),
    ],
)  # fmt: skip
def test_it_reads(text, expected):
    place = read_place(text)
    assert (steps(place), place.problem) == (expected, "")


@pytest.mark.parametrize("text", ["?", "unknown", "n/a", "lost"])
def test_nowhere_is_not_a_place(text):
    assert read_place(text).problem == "unclear"


def test_what_may_be_an_address_is_given_to_be_looked_up():
    assert [read_place(t).address for t in ("C1 L2 14", "container 1, L2", "garage")] == ["C1 L2 14", "", ""]


def test_words_in_brackets_are_kept_apart():
    place = read_place("Attic (behind the door)")
    assert (steps(place), place.rest) == ([("site", "Attic", "")], "behind the door")


def test_columns_of_their_own_make_the_same_place():
    columns = (("container", "1"), ("rack", "left"), ("shelf", "2"), ("bin", "Bin 14"))
    assert steps(read_place_columns(columns)) == [CONTAINER_1, *LEFT_14]
    assert steps(read_place_columns((("container", "1"), ("rack", ""), ("bin", "Red")))) == [
        CONTAINER_1, ("bin", "Red", "R")]  # fmt: skip


def test_a_place_too_deep_or_too_long_is_refused():
    assert read_place(" > ".join(f"box {n}" for n in range(9))).problem == "too-deep"
    assert read_place("x" * 90).problem == "too-long"


names = st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=10)
some_steps = st.lists(st.builds(Step, st.sampled_from(KINDS), names, names), min_size=1, max_size=6)


@given(some_steps)
def test_a_written_out_path_comes_back_step_for_step(some):
    assert read_place(write_place(some)).steps == tuple(some)


@given(st.text(max_size=40))
def test_it_never_fails_on_any_text(text):
    for step in read_place(text).steps:
        assert step.name
        assert step.kind in KINDS
        assert bool(step.short) or step.kind == "site"

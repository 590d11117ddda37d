import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.fasteners.calc.reading import parse
from inventory.fasteners.calc.strength import strength
from inventory.fasteners.calc.substitutes import Difference, Stocked, misfits, substitutes


def thing(text):
    return parse(text).fastener


def asked(wanted, *stock, **options):
    held = [Stocked(text, thing(text), 10) for text in stock]
    return [(one.ref, one.fit) for one in substitutes(thing(wanted), held, **options)]


def test_the_same_comes_first_then_stronger_then_longer():
    got = asked("M8x25 hex 8.8", "M8x30 hex 8.8", "M8x25 hex 10.9", "M8x25 hex 8.8")
    assert got == [("M8x25 hex 8.8", "same"), ("M8x25 hex 10.9", "stronger"), ("M8x30 hex 8.8", "longer")]


@pytest.mark.parametrize(
    "have",
    [
        "M8x20 hex 8.8",
        "M8x1x25 hex 8.8",
        "M10x25 hex 8.8",
        "M8x25 hex 8.8 LH",
        "M8x25 csk 8.8",
        "M8 nut class 8",
        "5/16-18 x 1 hex grade 5",
        "M8x25 hex brass",
    ],
)
def test_what_does_not_fit_is_not_offered(have):
    assert asked("M8x25 hex 8.8", have, allow_weaker=True) == []


@pytest.mark.parametrize("have", ["M8x25 hex 4.6", "M8x25 hex A2-70", "M8x25 hex"])
def test_a_weaker_one_or_one_of_unknown_strength_is_offered_only_when_asked(have):
    assert asked("M8x25 hex 8.8", have) == []
    assert asked("M8x25 hex 8.8", have, allow_weaker=True) == [(have, "weaker")]


def why_not(wanted, have, **options):
    return [(one.reasons, one.off_mm) for one in misfits(thing(wanted), [Stocked(have, thing(have))], **options)]


@pytest.mark.parametrize(
    ("have", "reasons", "off"),
    [
        ("M8x20 hex 8.8", ("short",), -5),
        ("M8x40 hex 8.8", ("long",), 15),
        ("M8x1x25 hex 8.8", ("pitch",), 0),
        ("M8x25 hex 8.8 LH", ("hand",), 0),
        ("M8x25 csk 8.8", ("head",), 0),
        ("M8x25 hex brass", ("material", "weaker"), 0),
        ("M8x25 hex 4.6", ("weaker",), 0),
        ("M8x1x20 hex", ("pitch", "short", "weaker"), -5),
    ],
)
def test_why_something_will_not_do_is_told(have, reasons, off):
    assert why_not("M8x25 hex 8.8", have) == [(reasons, off)]


def test_what_is_of_another_size_or_kind_is_not_spoken_of():
    assert why_not("M8x25 hex 8.8", "M10x25 hex 8.8") == why_not("M8x25 hex 8.8", "M8 nut class 8") == []


def test_what_comes_nearest_is_told_first():
    stock = [Stocked(text, thing(text)) for text in ("M8x1x16 hex 8.8", "M8x16 hex 8.8", "M8x20 hex 8.8")]
    assert [one.ref for one in misfits(thing("M8x25 hex 8.8"), stock)] == [
        "M8x20 hex 8.8", "M8x16 hex 8.8", "M8x1x16 hex 8.8",
    ]  # fmt: skip


def test_washers_take_up_the_extra_length():
    # ISO 7089: an M8 flat washer is 1.6 mm thick, so 5 mm takes four, 4 mm three.
    (four,) = substitutes(thing("M8x25 hex"), [Stocked(1, thing("M8x30 hex"))], most_washers=4)
    assert (four.washers, four.extra_mm) == (4, 5)
    assert substitutes(thing("M8x25 hex"), [Stocked(1, thing("M8x30 hex"))], most_washers=3) == ()
    assert four.differences == (Difference("length", 25, 30),)


def test_a_countersunk_screw_too_long_has_no_place_for_washers():
    assert asked("M6x20 csk", "M6x25 csk") == []


def test_a_flange_bolt_stands_in_for_a_plain_hexagon_and_says_so():
    (one,) = substitutes(thing("M8x25 hex 8.8"), [Stocked("bin", thing("M8x25 flange 8.8 zinc"), 2)], count=6)
    assert (one.fit, one.differences, one.short) == ("other", (Difference("form", "hex", "flange"),), 4)


def test_stainless_for_zinc_is_named_as_a_difference():
    (one,) = substitutes(thing("M8x25 hex A2-70"), [Stocked("bin", thing("M8x25 hex 10.9"))])
    assert [d.field for d in one.differences] == ["grade", "material"]
    assert one.fit == "stronger"


def test_a_locking_nut_is_only_replaced_by_a_locking_nut():
    assert asked("M8 nyloc", "M8 nut") == []
    assert asked("M8 nut", "M8 nyloc") == [("M8 nyloc", "same")]


def test_a_nut_of_a_higher_class_will_do_and_of_a_lower_will_not():
    # ISO 898-2: a nut class goes with the bolt class of that first number, or a lower one.
    assert asked("M8 nut class 8", "M8 nut class 10", "M8 nut class 6") == [("M8 nut class 10", "stronger")]


def test_what_the_wanted_one_leaves_open_is_met_by_anything():
    assert asked("M8x25", "M8x25 button 10.9 black") == [("M8x25 button 10.9 black", "same")]


def test_enough_of_a_poorer_fit_comes_before_too_few_of_a_better():
    stock = [Stocked("few", thing("M8x25 hex 8.8"), 1), Stocked("many", thing("M8x25 hex 10.9"), 20)]
    assert [s.ref for s in substitutes(thing("M8x25 hex 8.8"), stock, count=4)] == ["many", "few"]


bolts = st.builds(
    lambda size, length, form, grade: thing(f"{size}x{length} {form} {grade}"),
    st.sampled_from(["M6", "M8", "M18"]),
    st.sampled_from([20, 22, 25, 30]),
    st.sampled_from(["hex", "flange", "button", "csk", ""]),
    st.sampled_from(["4.6", "8.8", "10.9", "12.9", "A2-70", "A4-80", ""]),
)


@given(bolts, st.lists(bolts, max_size=6))
def test_it_never_offers_one_that_is_shorter_or_weaker(wanted, stock):
    for one in substitutes(wanted, [Stocked(i, f) for i, f in enumerate(stock)]):
        assert one.fastener.length_mm >= wanted.length_mm
        assert one.fastener.size == wanted.size
        if wanted.grade:
            asked_for, held = (strength(f.grade, f.diameter_mm) for f in (wanted, one.fastener))
            assert held.tensile >= asked_for.tensile
            assert held.yields >= asked_for.yields


@given(bolts, st.lists(bolts, max_size=6), st.booleans())
def test_everything_of_the_size_either_does_or_is_told_why_not(wanted, stock, weaker):
    held = [Stocked(number, f) for number, f in enumerate(stock)]
    does = {one.ref for one in substitutes(wanted, held, allow_weaker=weaker)}
    does_not = {one.ref for one in misfits(wanted, held, allow_weaker=weaker)}
    assert does.isdisjoint(does_not)
    assert does | does_not == {number for number, f in enumerate(stock) if f.size == wanted.size}


@given(bolts)
def test_a_thing_always_stands_in_for_itself(f):
    assert [one.fit for one in substitutes(f, [Stocked(0, f)])] == ["same"]

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.measures.calc.instruments import INSTRUMENTS, agree, half_width_text, interval
from buildlog.measures.calc.lengths import MM, MM_PER_INCH, Length, both, fraction_text, half_up, to_fraction
from buildlog.measures.calc.reading import Unreadable, find, read, read_all

# An oracle that knows nothing of this project: pint, told to count in fractions.
ureg = pint.UnitRegistry(non_int_type=Fraction)


def by_pint(number, unit):
    return ureg.Quantity(Fraction(number), unit).to("mm").magnitude


@pytest.mark.parametrize(
    ("text", "default", "expected"),
    [
        ("43 5/16 x 43 3/16", "in", [("693/16", "inch"), ("691/16", "inch")]),
        ("43 5/16 x 43 3/16", "mm", [("693/16", "inch"), ("691/16", "inch")]),
        ("43-5/16", "in", [("693/16", "inch")]),
        ("1100 mm", "in", [("1100", "mm")]),
        ("1100mm", "in", [("1100", "mm")]),
        ("62,5", "mm", [("62.5", "mm")]),
        ("62,5", "in", [("62.5", "inch")]),
        ("62.5 cm", "mm", [("62.5", "cm")]),
        ("1.2 m", "mm", [("1.2", "m")]),
        ("3ft 2 1/4", "mm", [("153/4", "inch")]),
        ("3' 2 1/4\"", "mm", [("153/4", "inch")]),
        ("3 ft 2 1/4 in", "mm", [("153/4", "inch")]),
        ("3′ 2¼″", "mm", [("153/4", "inch")]),
        ("3ft", "mm", [("3", "foot")]),
        ("1/2", "mm", [("1/2", "inch")]),
        ("½", "mm", [("1/2", "inch")]),
        ("12 thou", "mm", [("12", "thou")]),
        (".5 in", "mm", [("1/2", "inch")]),
        ("900 x 1100 mm", "in", [("900", "mm"), ("1100", "mm")]),
        ("900x1100", "mm", [("900", "mm"), ("1100", "mm")]),
        ("2 × 4 in", "mm", [("2", "inch"), ("4", "inch")]),
        ("43 5/16 x 43", "mm", [("693/16", "inch"), ("43", "inch")]),
        ("43 x 43 5/16", "mm", [("43", "inch"), ("693/16", "inch")]),
        ("40 mm x 2 in", "mm", [("40", "mm"), ("2", "inch")]),
        ("10 by 20 by 30 mm", "in", [("10", "mm"), ("20", "mm"), ("30", "mm")]),
        ("6ft 2 x 3ft 1 1/2", "mm", [("74", "inch"), ("75/2", "inch")]),
        ("-1/16", "in", [("-1/16", "inch")]),
        ("2 m 30 cm", "in", [("2.3", "m")]),
        ("1 cm 5 mm", "in", [("15", "mm")]),
        ("1/3 in", "mm", [("1/3", "inch")]),
        ("50 µm", "in", [("50", "micrometer")]),
        ("50 μm", "in", [("50", "micrometer")]),
        ("0.5 thou", "mm", [("0.5", "thou")]),
        ("0", "mm", [("0", "mm")]),
    ],
)
def test_it_reads_a_length_as_typed(text, default, expected):
    assert [length.mm for length in read(text, default)] == [by_pint(*one) for one in expected]


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "empty"),
        ("  ", "empty"),
        ("wide", "not a length"),
        ("5 mmx", "not a length"),
        ("3 more", "not a length"),
        ("1,100 mm", "comma"),
        ("3/0", "zero below"),
        ("2 in 3 ft", "order"),
        ("5 mm 3", "order"),
        ("2 m 30", "order"),
        ("1 2 3", "not a length"),
        ("4 x", "not a length"),
    ],
)
def test_it_refuses_what_it_cannot_be_sure_of(text, reason):
    with pytest.raises(Unreadable) as refused:
        read(text)
    assert refused.value.reason == reason


@pytest.mark.parametrize(
    ("text", "groups", "after"),
    [
        ("hatch opening 43 5/16 x 43 3/16", [("hatch opening ", "43 5/16 x 43 3/16")], ""),
        ("2 holes at 43 5/16", [("2 holes at ", "43 5/16")], ""),
        ("sill to rail: 1100 mm, left", [("sill to rail: ", "1100 mm")], ", left"),
        ("62,5", [("", "62,5")], ""),
        ("frame 3 ft 2 1/4 at the top", [("frame ", "3 ft 2 1/4")], " at the top"),
        ("gap 4", [("gap ", "4")], ""),
        ("gap 3 at left 4 at right", [("gap ", "3"), (" at left ", "4")], " at right"),
        ("1100 x 1098 mm diag 1554", [("", "1100 x 1098 mm")], " diag 1554"),
        ("hole 8.5 mm deep 20", [("hole ", "8.5 mm")], " deep 20"),
        ("hole 8.5 mm, 20 mm deep", [("hole ", "8.5 mm"), (", ", "20 mm")], " deep"),
        ("91,5 draft", [("", "91,5")], " draft"),
        ("2 holes 10 apart", [("2 holes ", "10")], " apart"),
        ("gap 4 across", [("gap ", "4")], " across"),
        ("gap 2 at 20 degrees", [("gap ", "2")], " at 20 degrees"),
        ("gap 4 a bit wide", [("gap ", "4")], " a bit wide"),
        ("hole 10 off centre", [("hole ", "10")], " off centre"),
        ("cut 900 x 1100 sheets", [("cut ", "900 x 1100")], " sheets"),
        ("5/8 holes", [("", "5/8")], " holes"),
        ("gap 12 towards the back", [("gap ", "12")], " towards the back"),
        ("35 Nm, gap 2", [("35 Nm, gap ", "2")], ""),
    ],
)
def test_it_finds_the_sizes_in_a_line_of_words_and_leaves_the_words_where_they_are(text, groups, after):
    found = find(text)
    assert [(group.before, group.typed) for group in found.groups] == groups
    assert found.after == after
    assert [group.lengths for group in found.groups] == read_all(found.typed)


@pytest.mark.parametrize(
    "text", ["no number here", "M8x25 bolts", "part 4711/2b", "HB-64 bakery", "50 nm", "20 °C", "4 off", "2 holes"]
)
def test_it_finds_no_measure_where_there_is_none(text):
    assert find(text) is None


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("43 5/16", ("43 5/16 in", "1100.1 mm")),
        ("62,5 mm", ("62.5 mm", "2 15/32 in")),
        ("62.55 mm", ("62.55 mm", "2 15/32 in")),
        ("1 in", ("1 in", "25.4 mm")),
        ("3/64", ("3/64 in", "1.2 mm")),
        ("0.0598 in", ("0.0598 in", "1.5 mm")),
        ("3ft 2 1/4", ("38 1/4 in", "971.6 mm")),
        ("1/3 in", ("1/3 in", "8.5 mm")),
        ("0.25 thou", ("0.00025 in", "0.0064 mm")),
        ("0.5 thou", ("0.0005 in", "0.013 mm")),
        ("1/64", ("1/64 in", "0.4 mm")),
        ("50 µm", ("0.05 mm", "0.002 in")),
        ("0.1 mm", ("0.1 mm", "0.0039 in")),
    ],
)
def test_it_shows_the_typed_system_first_and_never_rounds_it(text, expected):
    assert both(read(text)[0]) == expected


@given(st.fractions(min_value=0, max_value=10_000), st.sampled_from([16, 32, 64]))
def test_it_rounds_to_within_half_a_step_and_reduces(value, denominator):
    shown = to_fraction(value, denominator)
    back = shown.whole + Fraction(shown.top, shown.bottom)
    assert abs(back - value) <= Fraction(1, 2 * denominator)
    assert shown.top < shown.bottom
    assert Fraction(shown.top, shown.bottom).denominator == shown.bottom
    assert shown.exact == (back == value)


@given(st.integers(0, 5000), st.integers(0, 63))
def test_what_it_writes_it_reads_back_the_same(whole, top):
    inches = whole + Fraction(top, 64)
    text = fraction_text(to_fraction(inches, 64))
    assert read(text, "in")[0].inches == inches


@given(st.integers(0, 10**7), st.sampled_from(["mm", "cm", "m", "in", "ft", "thou"]), st.sampled_from(".,"))
def test_it_agrees_with_pint_on_decimals(thousandths, unit, mark):
    # Four places, so that a comma is never a thousands comma.
    text = f"{thousandths // 10_000}{mark}{thousandths % 10_000:04d}"
    pint_unit = {"in": "inch", "ft": "foot"}.get(unit, unit)
    assert read(f"{text} {unit}")[0].mm == by_pint(Fraction(thousandths, 10_000), pint_unit)


@given(st.fractions())
def test_half_up_sends_every_tie_away_from_zero(value):
    assert half_up(-value) == -half_up(value)
    assert half_up(abs(value)) - abs(value) <= Fraction(1, 2)
    assert abs(value) - half_up(abs(value)) < Fraction(1, 2)


def test_it_says_how_well_a_length_is_known():
    assert half_width_text(read("43 5/16")[0], "tape") == "± 1/32 in"
    assert half_width_text(read("1100 mm")[0], "tape") == "± 1 mm"
    assert half_width_text(read("12.5 mm")[0], "caliper") == "± 0.05 mm"
    assert half_width_text(read("0.5 in")[0], "micrometer") == "± 0.0005 in"
    assert half_width_text(read("12.5 mm")[0], "caliper", Fraction(1, 10)) == "± 0.1 mm"


def test_finer_instruments_have_narrower_intervals():
    length = read("100 mm")[0]
    order = ["eye", "tape", "rule", "caliper", "micrometer"]
    widths = [interval(length, key).high - interval(length, key).low for key in order]
    assert list(INSTRUMENTS) == order
    assert widths == sorted(widths, reverse=True)
    assert len(set(widths)) == len(widths)


def test_two_measures_agree_when_their_intervals_touch():
    tape = interval(read("100 mm")[0], "tape")
    assert agree(tape, interval(read("101.5 mm")[0], "rule"))
    assert not agree(tape, interval(read("101.5 mm")[0], "caliper"))


@pytest.mark.parametrize(
    ("text", "half_width", "other"),
    # The inches follow from 25.4 mm exactly (NIST SP 811, appendix B.6).
    [
        ("1.25 mm", "0.05", "0.049 in"), ("0.9 mm", "0.05", "0.035 in"), ("10 mm", "0.01", "0.3937 in"),
        ("10 mm", "0.5", "13/32 in"), ("1100 mm", "1", "43 5/16 in"), ("0.0598 in", "0.0508", "1.52 mm"),
        ("43 5/16", "0.79375", "1100.1 mm"),
    ],
)  # fmt: skip
def test_the_other_system_is_as_fine_as_the_instrument(text, half_width, other):
    assert both(read(text)[0], half_width_mm=Fraction(half_width))[1] == other


@given(st.fractions(min_value=Fraction(1, 10), max_value=150, max_denominator=1000), st.sampled_from(["0.05", "0.01"]))
def test_what_a_caliper_or_a_micrometer_tells_survives_the_other_system(mm, half_width):
    length = Length(mm, MM, f"{mm}")
    inches = Fraction(both(length, half_width_mm=Fraction(half_width))[1].removesuffix(" in"))
    assert abs(inches * MM_PER_INCH - mm) <= Fraction(half_width) / 3

"""Inches, millimetres and fractions of an inch against what is published."""

from fractions import Fraction

import pytest

from buildlog.measures.calc.lengths import Length, decimal_text, fraction_text, half_up, to_fraction
from buildlog.measures.calc.reading import read


def test_an_inch_is_25_4_millimetres_exactly():
    # NIST SP 811 (2008), appendix B.6: 1 in = 25.4 mm exactly, 1 ft = 0.3048 m exactly.
    assert read("1 in")[0].mm == Fraction("25.4")
    assert read("1 ft")[0].mm == Fraction("304.8")


# Computed from the definition above, half up. No published table behind them.
@pytest.mark.parametrize(
    ("inches", "sixteenths", "thirtyseconds", "sixtyfourths"),
    [
        ("0.0598", "1/16", "1/16", "1/16"),
        ("0.3937", "3/8", "13/32", "25/64"),
        ("0.279", "1/4", "9/32", "9/32"),
        ("3.74", "3 3/4", "3 3/4", "3 47/64"),
        ("10.6875", "10 11/16", "10 11/16", "10 11/16"),
        ("0.046875", "1/16", "1/16", "3/64"),
    ],
)
def test_decimal_inches_to_the_nearest_fraction(inches, sixteenths, thirtyseconds, sixtyfourths):
    shown = [fraction_text(to_fraction(Fraction(inches), bottom)) for bottom in (16, 32, 64)]
    assert shown == [sixteenths, thirtyseconds, sixtyfourths]


@pytest.mark.parametrize(
    ("mm", "inches", "sixteenths", "thirtyseconds", "sixtyfourths"),
    [
        (1, "0.0394", "1/16", "1/32", "3/64"),
        (3, "0.1181", "1/8", "1/8", "1/8"),
        (10, "0.3937", "3/8", "13/32", "25/64"),
        (13, "0.5118", "1/2", "1/2", "33/64"),
        (25, "0.9843", "1", "31/32", "63/64"),
        (50, "1.9685", "1 15/16", "1 31/32", "1 31/32"),
    ],
)
def test_millimetres_to_the_nearest_fraction(mm, inches, sixteenths, thirtyseconds, sixtyfourths):
    length = Length(Fraction(mm), "mm", str(mm))
    assert decimal_text(length.inches, 4) == inches
    shown = [fraction_text(to_fraction(length.inches, bottom)) for bottom in (16, 32, 64)]
    assert shown == [sixteenths, thirtyseconds, sixtyfourths]


def test_both_ties_go_up_where_round_would_go_to_even():
    assert [half_up(Fraction(1, 32) * 16), half_up(Fraction(3, 32) * 16)] == [1, 2]
    assert [round(Fraction(1, 32) * 16), round(Fraction(3, 32) * 16)] == [0, 2]


def test_it_reduces_and_carries():
    assert fraction_text(to_fraction(Fraction(8, 16), 16)) == "1/2"
    assert fraction_text(to_fraction(Fraction("0.9875"), 32)) == "1"

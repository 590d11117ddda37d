"""Identification numbers against 49 CFR 565.15, with vininfo as an independent oracle."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from vininfo import Vin

from inventory.donors.calc import vin

# number, weighted sum, check digit, standing
NUMBERS = [
    # The sample printed in 49 CFR 565 itself (table V of the rule of 1983 to 2008)
    ("1G4AH59H45G118341", 411, "4", vin.PASSES),
    # The best-known worked example: 351 leaves 10, written X
    ("1M8GDM9AXKP042788", 351, "X", vin.PASSES),
    # Self-check: all ones
    ("11111111111111111", 89, "1", vin.PASSES),
    # Made up in the European manner, with a filler letter in position 9: may be sound, and need not pass
    ("XX0ZZZ99ZTS392124", 467, "5", vin.NO_CHECK_DIGIT),
]


@pytest.mark.parametrize(("number", "total", "digit", "standing"), NUMBERS)
def test_published_numbers_work_out(number, total, digit, standing):
    assert vin.weighted_sum(number) == total
    got = vin.check_vin(number)
    assert (got.expected, got.standing) == (digit, standing)


def test_the_products_of_the_worked_example():
    # 49 CFR 565.15(c), example of 1M8GDM9AXKP042788, product by product
    products = [vin.VALUES[c] * w for c, w in zip("1M8GDM9AXKP042788", vin.WEIGHTS, strict=True)]
    assert products == [8, 28, 48, 35, 16, 12, 18, 10, 0, 18, 56, 0, 24, 10, 28, 24, 16]


def test_letter_values_are_those_of_the_rule():
    # 49 CFR 565.15(c) table III. S is 2, not 1; I, O and Q have none.
    table = "A1 B2 C3 D4 E5 F6 G7 H8 J1 K2 L3 M4 N5 P7 R9 S2 T3 U4 V5 W6 X7 Y8 Z9"
    assert {k: v for k, v in vin.VALUES.items() if k.isalpha()} == {p[0]: int(p[1]) for p in table.split()}


def oracle(number):
    """vininfo, without its own refusals: some makers, and model years of no code."""
    read = Vin(number)
    assume(getattr(read.assembler, "uses_sae_checkdigit", True))
    return read.verify_checksum(check_year=False)


@given(st.text("0123456789ABCDEFGHJKLMNPRSTUVWXYZ", min_size=17, max_size=17))
def test_it_agrees_with_an_independent_checker(number):
    assert (vin.check_vin(number).standing == vin.PASSES) == oracle(number)


@given(st.text("0123456789ABCDEFGHJKLMNPRSTUVWXYZ", min_size=17, max_size=17))
def test_a_number_given_its_own_check_digit_passes(number):
    sound = number[:8] + vin.check_digit(number) + number[9:]
    assert vin.check_vin(sound).standing == vin.PASSES
    assert oracle(sound)

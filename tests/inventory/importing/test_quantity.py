"""Quantities as people write them.

Conversions against NIST SP 811 appendix B.8; the words are common practice, no source.
"""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.importing.calc.quantity import Quantity, decimal_mark, read_quantity, read_unit


@pytest.mark.parametrize(
    ("text", "amount", "unit", "about"),
    [
        ("2", "2", "", False),
        ("2 pcs", "2", "pieces", False),
        ("2pcs.", "2", "pieces", False),
        ("x12", "12", "", False),
        ("12x", "12", "pieces", False),
        ("12 stk.", "12", "pieces", False),
        ("1,5 m", "1.5", "metres", False),
        ("1.5m", "1.5", "metres", False),
        ("pair", "2", "pieces", False),
        ("a pair", "2", "pieces", False),
        ("2 pairs", "4", "pieces", False),
        ("dozen", "12", "pieces", False),
        ("half a dozen", "6", "pieces", False),
        ("one", "1", "", False),
        ("1/2", "0.5", "", False),
        ("1 1/2", "1.5", "", False),
        ("1½ l", "1.5", "litres", False),
        ("1/3", "0.333", "", False),
        ("1 234", "1234", "", False),
        ("1.234,5", "1234.5", "", False),
        ("1,234.5", "1234.5", "", False),
        ("none", "0", "", False),
        ("-", "0", "", False),
        ("~10", "10", "", True),
        ("ca. 10 pcs", "10", "pieces", True),
        ("10ish", "10", "", True),
        ("10+", "10", "", True),
        ("10-12", "10", "", True),
        ("2 or 3", "2", "", True),
        ("a few", "3", "", True),
        ("A couple", "2", "", True),
        ("lots", "20", "", True),
        ("1,500", "1500", "", True),
        ("1,500 m", "1.5", "metres", False),
        # 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 lb = 0.45359237 kg, all exact, then to thousandths
        ("10 ft", "3.048", "metres", False),
        ('100"', "2.54", "metres", False),
        ("100 lb", "45.359", "kilograms", False),
        ("500 mm", "0.5", "metres", False),
        ("250 ml", "0.25", "litres", False),
    ],
)
def test_it_reads(text, amount, unit, about):
    quantity = read_quantity(text)
    assert (quantity.amount, quantity.unit, quantity.about, quantity.problem) == (
        Decimal(amount),
        unit,
        about,
        "",
    )


@pytest.mark.parametrize(
    ("text", "problem"),
    [("?", "unclear"), ("see shelf", "unclear"), ("-3", "negative"), ("1/0", "unclear"), ("2024-02-01", "unclear"),
     ("1e9", "unclear"), ("1.2.3", "unclear"), ("1,000,000,000,000", "too-big"), ("0.0001", "unclear")],
)  # fmt: skip
def test_what_is_no_count_is_said_to_be_none(text, problem):
    assert read_quantity(text) == Quantity(None, problem=problem)


def test_words_after_the_amount_are_kept():
    assert read_quantity("2 good, 1 bent") == Quantity(Decimal(2), "", True, "good, 1 bent")
    assert read_quantity("1 box of 50").rest == "box of 50"


@pytest.mark.parametrize(
    ("column", "mark"),
    [(["1,5", "2"], ","), (["1.5", "1,500"], "."), (["1,500", "2"], ""), (["1.234,5"], ","),
     (["0,500"], ","), ([], "")],
)  # fmt: skip
def test_the_column_tells_which_mark_is_the_decimal_one(column, mark):
    assert decimal_mark(column) == mark


def test_the_decimal_mark_of_the_column_settles_what_one_cell_leaves_open():
    assert read_quantity("1,500", ",") == Quantity(Decimal("1.5"))
    assert read_quantity("1,500", ".") == Quantity(Decimal("1500"))
    assert read_quantity("1.255", unit="metres") == Quantity(Decimal("1.255"))


@given(st.decimals(0, 999999, places=3, allow_nan=False))
def test_it_reads_every_amount_the_shop_can_hold_as_written(amount):
    assert read_quantity(f"{amount:f}", ".").amount == amount
    assert read_quantity(f"{amount:f} kg".replace(".", ","), ",").amount == amount


@given(st.text(max_size=30))
def test_it_never_fails_on_any_text(text):
    amount = read_quantity(text).amount
    assert amount is None or (0 <= amount < 10**9 and amount == round(amount, 3))


def test_units_in_a_column_of_their_own():
    assert [read_unit(t) for t in ("m", "Ltr.", "pcs", "KG", "furlong", "")] == [
        "metres", "litres", "pieces", "kilograms", "", ""]  # fmt: skip

"""What a donor came to. The figures are worked by hand here; the formula is the shop's own rule, stated on the page."""

from decimal import Decimal as D

from hypothesis import given
from hypothesis import strategies as st

from inventory.donors.calc.money import Kept, reckon, scrap_value

AMOUNTS = st.decimals(min_value=0, max_value=100_000, places=2)


def test_price_and_costs_less_sales_and_scrap_is_what_the_build_paid():
    sum_ = reckon(price=D(650), costs=[D(55), D(40)], sold=[D(140), D("98.50")], scrap=D("97.20"))
    assert sum_.paid == D("409.30")
    assert (sum_.spent, sum_.sold, sum_.scrap) == (D(745), D("238.50"), D("97.20"))


def test_scrap_is_weight_times_rate_and_nothing_while_either_is_unknown():
    assert scrap_value(D(540), D(180)) == D("97.20")
    assert scrap_value(D("333.3"), D("101")) == D("33.66")
    assert scrap_value(None, D(180)) == scrap_value(D(540), None) == 0


def test_kept_kinds_share_alike_and_the_fitted_ones_carry_theirs():
    parts = [Kept(D(1), fitted=D(1)), Kept(D(2)), Kept(D(4), fitted=D(1)), Kept(D(1), gone=D(1))]
    sum_ = reckon(price=D(300), parts=parts)
    assert (sum_.kept, sum_.fitted) == (3, D("1.25"))
    assert sum_.each == D(100)
    assert sum_.carried == D(125)


def test_of_a_kind_that_was_half_sold_half_carries():
    sum_ = reckon(price=D(90), parts=[Kept(D(2), gone=D(1), fitted=D(1)), Kept(D(1))])
    assert (sum_.kept, sum_.each, sum_.carried) == (D("1.5"), D(60), D(30))


def test_nothing_kept_carries_nothing_and_a_donor_may_bring_in_more_than_it_cost():
    sum_ = reckon(price=D(100), sold=[D(180)])
    assert (sum_.paid, sum_.each, sum_.carried) == (D(-80), None, 0)


@given(price=AMOUNTS, costs=st.lists(AMOUNTS, max_size=5), kinds=st.integers(1, 40))
def test_when_everything_kept_is_fitted_it_carries_all_that_was_paid(price, costs, kinds):
    sum_ = reckon(price=price, costs=costs, parts=[Kept(D(3), fitted=D(3))] * kinds)
    assert sum_.carried == sum_.paid == price + sum(costs)

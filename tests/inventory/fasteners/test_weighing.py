"""Counting by weight. The uncertainty follows JCGM 100:2008 (GUM), 4.3.7 and 5.1.2."""

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.fasteners.calc.weighing import count_by_weight


def test_a_fine_scale_gives_a_sure_number():
    got = count_by_weight(sample_pieces=10, sample_weight=152.0, total_weight=1140.0, division=0.1)
    assert (got.pieces, got.too_coarse) == (75, False)


def test_a_kitchen_scale_is_too_coarse_for_small_screws():
    got = count_by_weight(sample_pieces=10, sample_weight=8, total_weight=200, division=1)
    assert got.pieces == 250
    assert got.too_coarse


def test_the_spread_is_the_root_sum_of_squares_at_twice_the_standard_uncertainty():
    # Worked by hand: w = 10, n = 100, u(reading) = 1·√2/√12 = 0.40825; lot 0.040825; sample 100·0.40825/200
    # = 0.204124; pieces alike. u = √(0.040825² + 0.204124²) = 0.208167; twice that 0.416333.
    got = count_by_weight(sample_pieces=20, sample_weight=200, total_weight=1000, division=1, piece_scatter=0)
    assert got.plus_minus == pytest.approx(2 * sqrt((1 / 6) * (0.1**2 + 0.5**2)))
    assert got.plus_minus == pytest.approx(0.416333, abs=1e-6)


def test_a_larger_sample_is_proposed_where_it_would_help():
    got = count_by_weight(sample_pieces=5, sample_weight=50, total_weight=500, division=1, piece_scatter=0)
    assert got.too_coarse
    better = got.better_sample
    again = count_by_weight(
        sample_pieces=better, sample_weight=10 * better, total_weight=500, division=1, piece_scatter=0
    )
    assert not again.too_coarse


def test_no_sample_is_proposed_where_none_would_help():
    got = count_by_weight(sample_pieces=10, sample_weight=5, total_weight=50, division=5)
    assert (got.too_coarse, got.better_sample) == (True, None)


@given(
    st.integers(1, 300),
    st.integers(1, 50),
    st.floats(0.5, 50),
    st.floats(-0.5, 0.5),
    st.floats(-0.5, 0.5),
    st.sampled_from([0.01, 0.1, 1]),
)
def test_a_count_that_is_not_too_coarse_is_right_save_for_the_worst_luck(n, k, piece, err_a, err_b, division):
    got = count_by_weight(
        sample_pieces=k,
        sample_weight=max(division, k * piece + err_a * division),
        total_weight=n * piece + err_b * division,
        division=division,
        piece_scatter=0,
    ) if n * piece > division else None  # fmt: skip
    if got and not got.too_coarse:
        assert abs(got.pieces - n) <= 1


@pytest.mark.parametrize(
    "wrong", [{"sample_pieces": 0}, {"sample_weight": 0}, {"total_weight": -1}, {"division": 0}, {"piece_scatter": -1}]
)
def test_weights_that_cannot_be_are_refused(wrong):
    right = {"sample_pieces": 10, "sample_weight": 100, "total_weight": 500, "division": 1}
    with pytest.raises(ValueError, match=next(iter(wrong))):
        count_by_weight(**(right | wrong))

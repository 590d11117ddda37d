"""Weeks and months as the calendar has them, and hours drawn to scale."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.lookback.calc.weeks import FOOT, HEAD, PLOT, WEEKS, by_week, first_monday, monday, rows

days = st.dates(min_value=date(1990, 1, 1), max_value=date(2100, 1, 1))


@given(days)
def test_a_week_begins_on_its_monday_as_iso_8601_counts(day):
    assert monday(day).isoweekday() == 1
    assert monday(day).isocalendar().week == day.isocalendar().week
    assert 0 <= (day - monday(day)).days < 7


def test_a_month_is_whole_weeks():
    # ISO 8601: 1 Nov 2026 is the Sunday of week 44 (by any wall calendar).
    weeks = rows(2026, 11)
    assert weeks[0][0] == date(2026, 10, 26)
    assert weeks[0][6] == date(2026, 11, 1)
    assert {len(week) for week in weeks} == {7}


@given(st.lists(st.tuples(days, st.integers(0, 600)), max_size=30), days)
def test_every_minute_inside_the_weeks_is_in_one_bar_and_none_from_outside(worked, last):
    chart = by_week(worked, last)
    first, after = first_monday(last), monday(last) + timedelta(weeks=1)
    assert chart.minutes == sum(minutes for day, minutes in worked if first <= day < after)
    assert len(chart.bars) == WEEKS


@given(st.lists(st.tuples(st.dates(date(2026, 6, 1), date(2026, 11, 25)), st.integers(1, 300)), max_size=40))
def test_bars_are_as_high_as_their_hours_and_stay_inside_the_drawing(worked):
    chart = by_week(worked, date(2026, 11, 25))
    top = chart.rules[0].hours * 60
    for bar in chart.bars:
        assert bar.height == pytest.approx(bar.minutes * PLOT / top, abs=1)
        assert bool(bar.height) == bool(bar.minutes)
        assert bar.y >= HEAD
        assert bar.y + bar.height == HEAD + PLOT == chart.height - FOOT


def test_no_two_names_of_months_stand_on_each_other():
    for number in range(400):
        chart = by_week([], date(2026, 1, 1) + timedelta(days=number))
        at = [x for x, _ in chart.months]
        assert all(right - left >= 40 for left, right in zip(at, at[1:], strict=False))

"""Grandfather, father, son: common practice, no single published source. Weeks are those of ISO 8601."""

from datetime import datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from buildlog.keeping.calc.thinning import to_keep

NOW = datetime(2026, 11, 25, 4, 0)
STAMPS = st.lists(st.integers(0, 3000).map(lambda days: NOW - timedelta(days=days)), max_size=200)


def test_of_two_years_of_nights_it_keeps_seven_then_weeks_then_months():
    nights = [NOW - timedelta(days=n) for n in range(730)]
    kept = sorted(to_keep(nights), reverse=True)
    assert kept[:7] == nights[:7]
    # 25 Nov 2026 is a Wednesday (ISO week 48): the newest night of each of the three weeks before it is a Sunday.
    sundays = [datetime(2026, 11, day, 4) for day in (22, 15, 8)]
    assert set(sundays) <= set(kept)
    months = {datetime(2026, 10, 31, 4), datetime(2026, 9, 30, 4), datetime(2025, 12, 31, 4)}
    assert months <= set(kept)
    assert len(kept) == 7 + 2 + 11  # this week's and one Sunday are among the seven; so is this month's


@given(STAMPS)
def test_the_newest_always_stays_and_thinning_twice_is_thinning_once(stamps):
    kept = to_keep(stamps)
    assert kept <= set(stamps)
    assert not stamps or max(stamps) in kept
    assert to_keep(kept) == kept
    assert len(kept) <= 7 + 4 + 12

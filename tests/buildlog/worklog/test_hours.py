"""Hours from the times of a log. The cases are worked by hand; largest remainder is Hamilton's method."""

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from buildlog.worklog.calc.hours import Mark, share

START = datetime(2026, 11, 24, 19, 52, tzinfo=UTC)
HINGES, FRAME = 1, 2


def after(minutes: float) -> datetime:
    return START + timedelta(minutes=minutes)


def test_the_time_before_a_line_belongs_to_its_task_and_the_rest_to_the_last():
    marks = [Mark(after(40), HINGES), Mark(after(105), HINGES), Mark(after(150), FRAME)]
    assert share(START, after(175), marks) == {HINGES: 105, FRAME: 70}


def test_lines_without_a_task_take_their_own_time():
    assert share(START, after(60), [Mark(after(20), None), Mark(after(60), HINGES)]) == {None: 20, HINGES: 40}


def test_without_a_line_all_of_it_is_nobodys():
    assert share(START, after(61), []) == {None: 60}


def test_the_shares_are_whole_steps_by_largest_remainder():
    # 7 + 7 + 6 minutes are 1.4, 1.4 and 1.2 steps of 5; the fourth step goes to the first of the largest remainders.
    marks = [Mark(after(7), 1), Mark(after(14), 2), Mark(after(20), 3)]
    assert share(START, after(20), marks) == {1: 10, 2: 5, 3: 5}


def test_a_line_from_outside_the_session_counts_as_at_its_end():
    assert share(START, after(30), [Mark(after(-90), HINGES), Mark(after(300), FRAME)]) == {HINGES: 0, FRAME: 30}


MINUTES = st.integers(-30, 700)


@given(st.lists(st.tuples(MINUTES, st.sampled_from([None, 1, 2, 3, 4]))), st.integers(0, 600))
def test_the_shares_add_up_and_none_is_a_step_off(marks, length):
    end = after(length)
    shares = share(START, end, [Mark(after(minute), task) for minute, task in marks])
    assert sum(shares.values()) == int(length / 5 + 0.5) * 5
    assert all(value >= 0 and value % 5 == 0 for value in shares.values())


def test_a_night_when_the_clocks_change_is_as_long_as_it_was():
    from zoneinfo import ZoneInfo

    berlin = ZoneInfo("Europe/Berlin")
    start = datetime(2026, 10, 25, 1, 0, tzinfo=berlin).astimezone(UTC)
    end = datetime(2026, 10, 25, 3, 0, tzinfo=berlin).astimezone(UTC)
    assert share(start, end, [Mark(end, HINGES)]) == {HINGES: 180}

"""Wall clock to instant. The changes are those of the IANA time zone database for Europe/Berlin in 2026: on 29 March
02:00 becomes 03:00, on 25 October 03:00 becomes 02:00; the fold is PEP 495's."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from buildlog.worklog.calc.when import guess_end, hours_minutes, instant, is_stale, to_minutes

BERLIN = ZoneInfo("Europe/Berlin")


def utc(*parts) -> datetime:
    return datetime(*parts, tzinfo=UTC)


def test_an_ordinary_time_is_the_instant_the_clock_showed():
    assert instant(datetime(2026, 11, 24, 22, 47), BERLIN, utc(2026, 11, 24)) == utc(2026, 11, 24, 21, 47)


def test_of_the_hour_that_comes_twice_the_nearer_one_is_meant():
    wall = datetime(2026, 10, 25, 2, 30)
    assert instant(wall, BERLIN, utc(2026, 10, 25, 0, 31)) == utc(2026, 10, 25, 0, 30)
    assert instant(wall, BERLIN, utc(2026, 10, 25, 1, 31)) == utc(2026, 10, 25, 1, 30)


def test_a_time_in_the_hour_left_out_is_read_by_the_clock_before_the_change():
    assert instant(datetime(2026, 3, 29, 2, 30), BERLIN, utc(2026, 3, 29)) == utc(2026, 3, 29, 1, 30)  # 03:30 there


def test_a_session_nobody_stopped_ended_with_its_last_line():
    start = utc(2026, 11, 24, 19)
    assert guess_end(start, start + timedelta(hours=2)) == start + timedelta(hours=2)
    assert guess_end(start, None) == start
    assert guess_end(start, start - timedelta(hours=1)) == start


def test_it_is_forgotten_after_eight_hours_without_a_word():
    sign = utc(2026, 11, 24, 23)
    assert not is_stale(sign, sign + timedelta(hours=8))
    assert is_stale(sign, sign + timedelta(hours=8, seconds=1))


@pytest.mark.parametrize(
    ("typed", "minutes"), [("1:45", 105), ("0:05", 5), ("1.75", 105), ("1,5", 90), ("2", 120), ("", 0)]
)
def test_hours_are_read_as_people_write_them(typed, minutes):
    assert to_minutes(typed) == minutes


@pytest.mark.parametrize("typed", ["1:75", "-1", "soon", "1:2:3", "999", "1e9", "nan"])
def test_what_is_no_time_is_refused(typed):
    with pytest.raises(ValueError):  # noqa: PT011, whatever says so
        to_minutes(typed)


def test_they_are_written_back_the_same():
    assert hours_minutes(105) == "1:45"
    assert hours_minutes(5) == "0:05"

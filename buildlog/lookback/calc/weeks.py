"""Months as rows of weeks, and hours a week as bars of a drawing.

A week begins on Monday and belongs to the day it begins on (ISO 8601, 2.2.8); what was worked counts for the week of
the day it began on. The drawing is as wide as a phone: coordinates are whole, y grows downwards.
"""

from calendar import Calendar
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

WEEKS = 26
STEP, BAR = 14, 10  # from one bar to the next, and how wide it is
PLOT, HEAD, FOOT = 112, 18, 22  # heights: of the tallest bar, above it, and of the months below
STEPS = (2, 4, 6, 10, 14, 20, 30, 40, 60, 80, 120, 168)  # hours the scale may end at; a week has 168


@dataclass(frozen=True, slots=True)
class Bar:
    x: int
    y: int
    height: int
    monday: date
    minutes: int


@dataclass(frozen=True, slots=True)
class Rule:
    """A level line, and the hours it stands for."""

    y: int
    hours: int


@dataclass(frozen=True, slots=True)
class Chart:
    """months: where each begins, for its name below."""

    width: int
    height: int
    foot: int
    bars: tuple[Bar, ...]
    rules: tuple[Rule, ...]
    months: tuple[tuple[int, date], ...]

    @property
    def minutes(self) -> int:
        return sum(bar.minutes for bar in self.bars)


def rows(year: int, month: int) -> list[list[date]]:
    """The days of a month in weeks from Monday, with those of its neighbours that fill the first and last week."""
    return Calendar().monthdatescalendar(year, month)


def monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def first_monday(last: date, weeks: int = WEEKS) -> date:
    """Where so many weeks begin that end with the week of `last`."""
    return monday(last) - timedelta(weeks=weeks - 1)


def by_week(worked: Iterable[tuple[date, int]], last: date, weeks: int = WEEKS) -> Chart:
    """`worked`: (day it began on, minutes). What lies outside the weeks is left out."""
    first = first_monday(last, weeks)
    minutes = [0] * weeks
    for day, count in worked:
        number = (monday(day) - first).days // 7
        if 0 <= number < weeks:
            minutes[number] += count
    top = next((step for step in STEPS if step * 60 >= max(minutes)), STEPS[-1])
    base = HEAD + PLOT
    bars, months = [], []
    for number, count in enumerate(minutes):
        begins = first + timedelta(weeks=number)
        height = -(-count * PLOT // (top * 60))  # rounded up: a short night can be seen
        bars.append(Bar(number * STEP + (STEP - BAR) // 2, base - height, height, begins, count))
        if number == 0 or begins.month != (begins - timedelta(weeks=1)).month:
            months.append((number * STEP, begins))
    if len(months) > 1 and months[1][0] < 3 * STEP:
        del months[0]  # there is no room for the name of a month that is nearly over
    rules = (Rule(HEAD, top), Rule(HEAD + PLOT // 2, top // 2))
    return Chart(weeks * STEP, base + FOOT, base, tuple(bars), rules, tuple(months))

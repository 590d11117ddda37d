"""One row of the bench: name / ours / floor / ratio / goal."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from statistics import median
from time import perf_counter


@dataclass(frozen=True, slots=True)
class Row:
    """`ours` and `floor` in the same unit, which the name says; `goal` is the largest ratio that is good enough.

    `speed` for a unit of which more is better (rows/s): the ratio still says how many times dearer ours is.
    """

    name: str
    ours: float
    floor: float
    goal: float
    speed: bool = False

    @property
    def ratio(self) -> float:
        least, most = (self.ours, self.floor) if self.speed else (self.floor, self.ours)
        return round(most / least, 2) if least else 0.0

    def as_json(self) -> dict:
        return {
            "name": self.name,
            "ours": round(self.ours, 4),
            "floor": round(self.floor, 4),
            "ratio": self.ratio,
            "goal": self.goal,
        }


WIDE = 56  # characters for the name of a row


def in_line(row: Row) -> str:
    shown = row.as_json()
    figures = [f"{shown[key]:9}" for key in ("ours", "floor", "ratio", "goal")]
    return "  ".join([row.name.ljust(WIDE), *figures]) + ("  over" if row.ratio > row.goal else "")


Measure = Callable[["object"], Iterator[Row]]


@dataclass(frozen=True, slots=True)
class _Registered:
    name: str
    measure: Measure
    once: bool


_measures: list[_Registered] = []


def row(name: str, *, once: bool = False) -> Callable[[Measure], Measure]:
    """Registers a generator that takes the bench's Shop and yields Rows. `--only` picks by this name.

    `once` for what doesn't depend on how much the shop holds: it is measured in the first shop alone.
    """

    def keep(measure: Measure) -> Measure:
        _measures.append(_Registered(name, measure, once))
        return measure

    return keep


def measures(only: str = "", *, first: bool = True) -> list[Measure]:
    return [one.measure for one in _measures if only in one.name and (first or not one.once)]


def side_by_side(ours: Callable[[], object], floor: Callable[[], object], *, rounds: int = 40) -> tuple[float, float]:
    """Milliseconds of each, the median of so many turns taken alternately after a few to warm up."""
    times: tuple[list[float], list[float]] = ([], [])
    for turn in range(rounds + 3):
        for which, call in enumerate((ours, floor)):
            began = perf_counter()
            call()
            if turn >= 3:
                times[which].append((perf_counter() - began) * 1000)
    return median(times[0]), median(times[1])

"""One row of the bench: name / ours / floor / ratio / goal."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from statistics import median
from time import perf_counter


@dataclass(frozen=True, slots=True)
class Row:
    """`ours` and `floor` in the same unit, which the name says; `goal` is the largest ratio that is good enough."""

    name: str
    ours: float
    floor: float
    goal: float

    @property
    def ratio(self) -> float:
        return round(self.ours / self.floor, 2) if self.floor else 0.0

    def as_json(self) -> dict:
        return {
            "name": self.name,
            "ours": round(self.ours, 4),
            "floor": round(self.floor, 4),
            "ratio": self.ratio,
            "goal": self.goal,
        }


Measure = Callable[["object"], Iterator[Row]]
_measures: list[tuple[str, Measure]] = []


def row(name: str) -> Callable[[Measure], Measure]:
    """Registers a generator that takes the bench's Shop and yields Rows. `--only` picks by this name."""

    def keep(measure: Measure) -> Measure:
        _measures.append((name, measure))
        return measure

    return keep


def measures(only: str = "") -> list[tuple[str, Measure]]:
    return [(name, measure) for name, measure in _measures if only in name]


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

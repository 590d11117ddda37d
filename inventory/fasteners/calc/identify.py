"""What is this? From a caliper and a pitch gauge, or a rule laid along some threads.

A sound bolt measures a little under its nominal diameter, so a reading is held against the band its tolerance
class allows (6g, 2A; for a nut the minor diameter, 6H), not against nominal. A thread fits when both readings
lie within what the tools can tell of it. Everything that fits comes before anything that does not. The head only
puts in order what fits: heads of other sizes are met on any thread.
"""

from dataclasses import dataclass, replace

from .heads import flats_off, is_such_a_head, system_by_grade
from .profile import inside_band, outside_band
from .threads import ALL_THREADS, SIZES, Thread
from .units import MM_PER_IN

# What a workshop caliper and a set of pitch leaves can be trusted to (common practice, no source).
CALIPER_MM = 0.05
GAUGE_MM = 0.03


@dataclass(frozen=True, slots=True)
class Likely:
    """A thread and how far the readings are from it. Millimetres; positive when the reading is larger.

    diameter_off: from the nominal diameter (a nut: from the basic minor diameter). outside: how far beyond
    the tolerance band. pitch_off: None when no pitch was measured. flats_off: from the nearest hexagon of the size,
    None when none was measured or no table has one; other_head: too far from it. head_against: how many of hexagon
    and mark speak for another thread.
    """

    thread: Thread
    diameter_off: float
    outside: float
    pitch_off: float | None
    fits: bool
    score: float
    flats_off: float | None = None
    other_head: bool = False
    head_against: int = 0


@dataclass(frozen=True, slots=True)
class Identified:
    """Most likely first. `ambiguous`: more than one fits. `none_fits`: worn, damaged or not listed."""

    likely: tuple[Likely, ...]
    ambiguous: bool
    none_fits: bool

    @property
    def fitting(self) -> tuple[Likely, ...]:
        return tuple(one for one in self.likely if one.fits)


def pitch_from_span(length_mm: float, threads: int) -> float:
    """Pitch in mm from the distance between marks over n threads (n + 1 crests)."""
    return length_mm / threads


def identify(
    diameter_mm: float,
    *,
    pitch_mm: float | None = None,
    tpi: float | None = None,
    span_mm: tuple[float, int] | None = None,
    inside: bool = False,
    flats_mm: float | None = None,
    grade: str = "",
    diameter_error_mm: float = CALIPER_MM,
    pitch_error_mm: float = GAUGE_MM,
    rule_error_mm: float = 0.3,
    most: int = 6,
) -> Identified:
    """Likely threads for a diameter and, in any one way, a pitch.

    span_mm: (length, number of threads); its error is the rule's over the number of threads.
    inside: the diameter is that inside a nut. flats_mm: across the flats of its hexagon. grade: the class or grade that
    is marked on its head. ValueError for readings that are not above nought.
    """
    if tpi is not None:
        pitch_mm = MM_PER_IN / _positive(tpi)
    elif span_mm is not None:
        length, threads = span_mm
        pitch_mm = pitch_from_span(_positive(length), int(_positive(threads)))
        pitch_error_mm = rule_error_mm / threads
    _positive(diameter_mm)
    if pitch_mm is not None:
        _positive(pitch_mm)
    measured = (_held_against(t, diameter_mm, pitch_mm, inside, diameter_error_mm, pitch_error_mm) for t in ALL_THREADS)
    likely = sorted(
        (_with_head(one, flats_mm, grade) for one in measured),
        key=lambda one: (not one.fits, one.head_against, 0 if pitch_mm else _rarity(one.thread), one.score),
    )
    fits = sum(one.fits for one in likely)
    return Identified(tuple(likely[: max(most, fits)]), ambiguous=fits > 1, none_fits=fits == 0)


def _rarity(thread: Thread) -> int:
    """0 for a coarse thread, more for each finer pitch of the size: the order when no pitch was measured."""
    row = SIZES[thread.size]
    return (row.coarse, *row.fine).index(thread.pitch)


def _positive(value: float) -> float:
    if not value > 0:
        raise ValueError(value)
    return value


def _held_against(thread, diameter_mm, pitch_mm, inside, diameter_error, pitch_error) -> Likely:
    band = inside_band(thread) if inside else outside_band(thread)
    nominal = band.low if inside else thread.diameter_mm
    outside = band.excess(diameter_mm)
    pitch_off = None if pitch_mm is None else pitch_mm - thread.pitch_mm
    # A hair of slack, so that a reading exactly on the edge of the error is still within it.
    fits = abs(outside) <= diameter_error + 1e-9 and (pitch_off is None or abs(pitch_off) <= pitch_error + 1e-9)
    half_band = (band.high - band.low) / 2 + diameter_error
    score = ((diameter_mm - band.middle) / half_band) ** 2 + ((pitch_off or 0) / pitch_error) ** 2
    return Likely(thread, diameter_mm - nominal, outside, pitch_off, fits, score)


def _with_head(one: Likely, flats_mm: float | None, grade: str) -> Likely:
    off = None if flats_mm is None else flats_off(one.thread, _positive(flats_mm))
    system = system_by_grade(grade)
    other = off is not None and not is_such_a_head(off, flats_mm)
    against = int(other) + int(system not in ("", one.thread.system))
    return replace(one, flats_off=off, other_head=other, head_against=against)

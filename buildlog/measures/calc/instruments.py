"""How well a length is known by how it was measured.

Half widths (the plus-or-minus), for one careful reading at a bench, in each system as such an instrument is
marked. All values: common practice, no source. They are defaults to be changed, not a calibration, and hold
for lengths within the instrument's reach (a caliper 150 mm, a tape some metres).
"""

from dataclasses import dataclass
from fractions import Fraction

from buildlog.measures.calc.lengths import INCH, MM_PER_INCH, Length, decimal_text, fraction_text, to_fraction


@dataclass(frozen=True, slots=True)
class Instrument:
    """mm, inch: the usual half width in each system, exact."""

    key: str
    mm: Fraction
    inch: Fraction


INSTRUMENTS = {
    instrument.key: instrument
    for instrument in (
        Instrument("eye", Fraction(5), Fraction(1, 4)),
        Instrument("tape", Fraction(1), Fraction(1, 32)),
        Instrument("rule", Fraction(1, 2), Fraction(1, 64)),
        Instrument("caliper", Fraction(5, 100), Fraction(2, 1000)),
        Instrument("micrometer", Fraction(1, 100), Fraction(5, 10000)),
    )
}


@dataclass(frozen=True, slots=True)
class Interval:
    """The length lies from low to high, in exact millimetres."""

    low: Fraction
    high: Fraction


def half_width_mm(length: Length, key: str, given_mm: Fraction | None = None) -> Fraction:
    """Half width in mm: the one given by the person, else the instrument's own in the length's system."""
    if given_mm is not None:
        return given_mm
    instrument = INSTRUMENTS[key]
    return instrument.inch * MM_PER_INCH if length.system == INCH else instrument.mm


def interval(length: Length, key: str, given_mm: Fraction | None = None) -> Interval:
    half = half_width_mm(length, key, given_mm)
    return Interval(length.mm - half, length.mm + half)


def agree(one: Interval, other: Interval) -> bool:
    """Whether two measures of the same thing can both be right: their intervals touch."""
    return one.low <= other.high and other.low <= one.high


def half_width_text(length: Length, key: str, given_mm: Fraction | None = None) -> str:
    """'± 1/32 in' or '± 0.05 mm', in the length's own system."""
    half = half_width_mm(length, key, given_mm)
    if length.system != INCH:
        return f"± {decimal_text(half, 3)} mm"
    inches = half / MM_PER_INCH
    if (inches * 64).denominator == 1:
        return f"± {fraction_text(to_fraction(inches, 64))} in"
    return f"± {decimal_text(inches, 4)} in"

"""The shape of a 60° thread: its diameters, its stress area, and how far a real one strays from nominal."""

from dataclasses import dataclass
from math import pi, sqrt

from .threads import METRIC, Thread
from .units import MM_PER_IN


@dataclass(frozen=True, slots=True)
class Diameters:
    """Basic diameters in mm."""

    major: float
    pitch: float
    minor: float


def diameters(thread: Thread) -> Diameters:
    """d₂ = d − 0.6495·P and d₁ = d − 1.0825·P, mm (ISO 724:1993; ASME B1.1 has the same basic profile)."""
    d, p = thread.diameter_mm, thread.pitch_mm
    height = sqrt(3) / 2 * p
    return Diameters(major=d, pitch=d - 0.75 * height, minor=d - 1.25 * height)


def stress_area_mm2(thread: Thread) -> float:
    """Tensile stress area, mm².

    Metric: A_s = π/4·(d − 0.9382·P)² (ISO 898-1:2013). Inch: A_t = π/4·(D − 0.9743/n)² (ASME B1.1-2003).
    """
    if thread.system == METRIC:
        return pi / 4 * (thread.diameter_mm - 0.9382 * thread.pitch) ** 2
    d = thread.diameter_mm / MM_PER_IN
    return pi / 4 * (d - 0.9743 / thread.pitch) ** 2 * MM_PER_IN**2


@dataclass(frozen=True, slots=True)
class Band:
    """A range in mm, smallest first."""

    low: float
    high: float

    def excess(self, value: float) -> float:
        """How far outside the band a value lies; 0 inside; negative below."""
        if value < self.low:
            return value - self.low
        return max(0.0, value - self.high)

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


def outside_band(thread: Thread) -> Band:
    """What a caliper over the crests of a sound bolt may read, mm: always a little under nominal.

    Metric 6g: allowance 15 + 11·P µm, tolerance 180·P^(2/3) − 3.15/√P µm (ISO 965-1:2013, from memory).
    Inch 2A: tolerance 0.060·p^(2/3) in, allowance 0.3 of the pitch diameter tolerance
    0.0015·D^(1/3) + 0.0015·√Le + 0.015·p^(2/3) in, with Le = 9·p (ASME B1.1-2003, from memory).
    """
    d, p = thread.diameter_mm, thread.pitch_mm
    if thread.system == METRIC:
        allowance = (15 + 11 * p) / 1000
        tolerance = (180 * p ** (2 / 3) - 3.15 / sqrt(p)) / 1000
    else:
        d_in, p_in = d / MM_PER_IN, p / MM_PER_IN
        pitch_tolerance = 0.0015 * d_in ** (1 / 3) + 0.0015 * sqrt(9 * p_in) + 0.015 * p_in ** (2 / 3)
        allowance = 0.3 * pitch_tolerance * MM_PER_IN
        tolerance = 0.060 * p_in ** (2 / 3) * MM_PER_IN
    return Band(d - allowance - tolerance, d - allowance)


def inside_band(thread: Thread) -> Band:
    """What a caliper across the crests inside a sound nut may read, mm.

    From the basic minor diameter up by the 6H tolerance: 433·P − 190·P^1.22 µm below P = 1 mm, else
    230·P^0.7 µm (ISO 965-1:2013, from memory). The inch 2B tolerance is close to it and the same is used.
    """
    p = thread.pitch_mm
    minor = diameters(thread).minor
    tolerance = (433 * p - 190 * p**1.22 if p < 1 else 230 * p**0.7) / 1000
    return Band(minor, minor + tolerance)

"""Which threads there are, and what each is called.

Metric: ISO 261:1998 (general plan) and ISO 262:1998 (sizes for screws, bolts and nuts), M3 to M24.
Inch: ASME B1.1-2003, UNC and UNF, #4 to 1 in.
Not listed here, read all the same: any other diameter or pitch. It is then `known` = False.
"""

from dataclasses import dataclass
from fractions import Fraction

from .units import MM_PER_IN, fraction_text, number_text

METRIC, INCH = "metric", "inch"


@dataclass(frozen=True, slots=True)
class Sized:
    """One row of the plan: a size, its coarse pitch and its fine pitches (mm, or threads per inch)."""

    size: str
    coarse: float
    fine: tuple[float, ...] = ()


METRIC_THREADS = (
    Sized("M3", 0.5, (0.35,)),
    Sized("M3.5", 0.6, (0.35,)),
    Sized("M4", 0.7, (0.5,)),
    Sized("M5", 0.8, (0.5,)),
    Sized("M6", 1, (0.75,)),
    Sized("M7", 1, (0.75,)),
    Sized("M8", 1.25, (1, 0.75)),
    Sized("M10", 1.5, (1.25, 1)),
    Sized("M12", 1.75, (1.5, 1.25)),
    Sized("M14", 2, (1.5, 1.25)),
    Sized("M16", 2, (1.5,)),
    Sized("M18", 2.5, (2, 1.5)),
    Sized("M20", 2.5, (2, 1.5)),
    Sized("M22", 2.5, (2, 1.5)),
    Sized("M24", 3, (2,)),
)

INCH_THREADS = (
    Sized("#4", 40, (48,)),
    Sized("#5", 40, (44,)),
    Sized("#6", 32, (40,)),
    Sized("#8", 32, (36,)),
    Sized("#10", 24, (32,)),
    Sized("#12", 24, (28,)),
    Sized("1/4", 20, (28,)),
    Sized("5/16", 18, (24,)),
    Sized("3/8", 16, (24,)),
    Sized("7/16", 14, (20,)),
    Sized("1/2", 13, (20,)),
    Sized("9/16", 12, (18,)),
    Sized("5/8", 11, (18,)),
    Sized("3/4", 10, (16,)),
    Sized("7/8", 9, (14,)),
    Sized("1", 8, (12,)),
)

# Pitches given from memory, not checked against a copy of the standard: M14x1.25 is the spark plug thread.
FROM_MEMORY = frozenset(
    {("M3", 0.35), ("M3.5", 0.35), ("M4", 0.5), ("M5", 0.5), ("M7", 0.75), ("M8", 0.75), ("M14", 1.25)}
)

SIZES = {row.size: row for row in (*METRIC_THREADS, *INCH_THREADS)}


def system_of(size: str) -> str:
    """Metric sizes start with M or end in mm; the rest are inch: '#10', '5/16'."""
    return METRIC if size.startswith("M") or size.endswith("mm") else INCH


def diameter_in_of(size: str) -> Fraction:
    """Nominal diameter in inches. Number sizes: 0.060 + 0.013·n in (ASME B1.1)."""
    if size.startswith("#"):
        return Fraction(60 + 13 * int(size[1:]), 1000)
    whole, _, rest = size.rpartition("-")
    return Fraction(rest) + (Fraction(whole) if whole else 0)


def size_from_inches(value: Fraction) -> str:
    """The canonical size of an inch diameter: '1/4', '1-1/8'."""
    return fraction_text(value)


def diameter_mm_of(size: str) -> float:
    """Nominal (major) diameter in millimetres."""
    if size.startswith("M"):
        return float(size[1:])
    if size.endswith("mm"):
        return float(size[:-2])
    return float(diameter_in_of(size)) * MM_PER_IN


def coarse_pitch(size: str) -> float | None:
    """Coarse pitch of a listed size: mm for metric, threads per inch for inch. None when not listed."""
    row = SIZES.get(size)
    return row.coarse if row else None


def fine_pitch(size: str) -> float | None:
    """First-choice fine pitch of a listed size (UNF for inch). None when not listed."""
    row = SIZES.get(size)
    return row.fine[0] if row and row.fine else None


@dataclass(frozen=True, slots=True)
class Thread:
    """A 60° thread. `pitch` is as the trade states it: mm between crests, or threads per inch."""

    size: str
    pitch: float

    @property
    def system(self) -> str:
        return system_of(self.size)

    @property
    def diameter_mm(self) -> float:
        return diameter_mm_of(self.size)

    @property
    def pitch_mm(self) -> float:
        return self.pitch if self.system == METRIC else MM_PER_IN / self.pitch

    @property
    def tpi(self) -> float:
        return MM_PER_IN / self.pitch if self.system == METRIC else self.pitch

    @property
    def series(self) -> str:
        """'coarse' or 'fine' (ISO 261), 'UNC' or 'UNF' (ASME B1.1), '' for a pitch in neither."""
        row = SIZES.get(self.size)
        if row is None or self.pitch not in (row.coarse, *row.fine):
            return ""
        if self.system == METRIC:
            return "coarse" if self.pitch == row.coarse else "fine"
        return "UNC" if self.pitch == row.coarse else "UNF"

    @property
    def known(self) -> bool:
        return self.series != ""

    @property
    def from_memory(self) -> bool:
        return (self.size, self.pitch) in FROM_MEMORY

    @property
    def name(self) -> str:
        """'M8×1.25', '1/4-20 UNC'."""
        if self.system == METRIC:
            return f"{self.size}×{number_text(self.pitch)}"
        return f"{self.size}-{number_text(self.pitch)} {self.series}".rstrip()


ALL_THREADS = tuple(
    Thread(row.size, pitch) for row in (*METRIC_THREADS, *INCH_THREADS) for pitch in (row.coarse, *row.fine)
)

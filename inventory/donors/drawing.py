"""The side view of a donor with its counts, and the words that say what it shows."""

from collections.abc import Mapping
from dataclasses import dataclass

from .calc.outline import HEIGHT, OUTLINES, WIDTH, Field, Outline
from .models import Donor, Zone
from .queries import Counts

SIGNS = (("pulled", "✓"), ("wanted", "▲"), ("gone", "✕"))
STEP, ACROSS = 18, 46


@dataclass(frozen=True, slots=True)
class Mark:
    kind: str
    text: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Part:
    """One zone: its outline, its marks, and what it says aloud."""

    zone: str
    path: str
    marks: tuple[Mark, ...]
    says: str


@dataclass(frozen=True, slots=True)
class Picture:
    outline: Outline
    parts: tuple[Part, ...]
    alt: str
    elsewhere: str  # what has no zone, in words
    width: int = WIDTH
    height: int = HEIGHT


def words(counts: Counts) -> str:
    said = [f"{getattr(counts, kind)} {kind}" for kind, _ in SIGNS if getattr(counts, kind)]
    return ", ".join(said) or "nothing yet"


def _spot(field: Field, off: float) -> tuple[float, float]:
    """Where a mark stands that is so many away from the middle one."""
    return (field.x + off * ACROSS, field.y) if field.across else (field.x, field.y + off * STEP)


def of_donor(donor: Donor, counts: Mapping[str, Counts]) -> Picture:
    outline = OUTLINES[donor.shape]
    parts = []
    for field in outline.fields:
        here = counts.get(field.zone, Counts())
        shown = [(kind, f"{sign} {getattr(here, kind)}") for kind, sign in SIGNS if getattr(here, kind)]
        marks = tuple(Mark(kind, text, *_spot(field, n - (len(shown) - 1) / 2)) for n, (kind, text) in enumerate(shown))
        parts.append(Part(field.zone, field.path, marks, f"{Zone(field.zone).label}: {words(here)}"))
    alt = f"{donor.get_shape_display()} from the side, front to the left. " + ". ".join(one.says for one in parts) + "."
    unsaid = counts.get("")
    return Picture(outline, tuple(parts), alt, words(unsaid) if unsaid else "")

"""What a bolt of a class or grade holds, and how its head says so.

Metric classes: ISO 898-1:2013 tables 3 and 5. Classes 4.8, 5.8, 6.8 and 9.8 from memory.
Inch grades: SAE J429 (as printed in Shigley & Mischke, 5th ed., p. 341). Stainless: ISO 3506-1, from memory;
it states no proof strength, so none is given here.
"""

from dataclasses import dataclass

from .profile import stress_area_mm2
from .threads import METRIC, Thread
from .units import MM_PER_IN, MPA_PER_KSI


@dataclass(frozen=True, slots=True)
class Strength:
    """Least strengths in MPa. `proof` is the stress a bolt must carry with no lasting stretch."""

    tensile: float
    yields: float
    proof: float | None
    source: str
    from_memory: bool = False


_ISO, _SAE, _STAINLESS = "ISO 898-1", "SAE J429", "ISO 3506-1"

METRIC_CLASSES = {
    "4.6": Strength(400, 240, 225, _ISO),
    "4.8": Strength(420, 340, 310, _ISO, from_memory=True),
    "5.6": Strength(500, 300, 280, _ISO),
    "5.8": Strength(520, 420, 380, _ISO, from_memory=True),
    "6.8": Strength(600, 480, 440, _ISO, from_memory=True),
    "8.8": Strength(800, 640, 580, _ISO),
    "9.8": Strength(900, 720, 650, _ISO, from_memory=True),
    "10.9": Strength(1040, 940, 830, _ISO),
    "12.9": Strength(1220, 1100, 970, _ISO),
}
CLASS_88_OVER_16_MM = Strength(830, 660, 600, _ISO)

STAINLESS = {
    "A2-50": Strength(500, 210, None, _STAINLESS, from_memory=True),
    "A2-70": Strength(700, 450, None, _STAINLESS, from_memory=True),
    "A2-80": Strength(800, 600, None, _STAINLESS, from_memory=True),
    "A4-50": Strength(500, 210, None, _STAINLESS, from_memory=True),
    "A4-70": Strength(700, 450, None, _STAINLESS, from_memory=True),
    "A4-80": Strength(800, 600, None, _STAINLESS, from_memory=True),
}

# grade: (largest diameter in inches, proof, yield, tensile in ksi), smallest diameters first
SAE_KSI = {
    "grade 2": ((0.75, 55, 57, 74), (1.5, 33, 36, 60)),
    "grade 5": ((1.0, 85, 92, 120), (1.5, 74, 81, 105)),
    "grade 8": ((1.5, 120, 130, 150),),
}

# The grade's number less two, in radial lines (SAE J429). No lines is grade 2, or nothing known.
RADIAL_LINES = {"grade 2": 0, "grade 5": 3, "grade 8": 6}


def strength(grade: str, diameter_mm: float) -> Strength | None:
    """Strengths of a class or grade at this diameter; None where the grade is not known or not so thick."""
    if grade == "8.8" and diameter_mm > 16:
        return CLASS_88_OVER_16_MM
    if grade in SAE_KSI:
        for largest_in, proof, yields, tensile in SAE_KSI[grade]:
            if diameter_mm <= largest_in * MM_PER_IN + 1e-9:
                return Strength(tensile * MPA_PER_KSI, yields * MPA_PER_KSI, proof * MPA_PER_KSI, _SAE)
        return None
    return METRIC_CLASSES.get(grade) or STAINLESS.get(grade)


def proof_load_n(thread: Thread, grade: str) -> float | None:
    """Proof load in newtons: A_s·S_p. The standard's own table is rounded and may differ by up to 1 %."""
    held = strength(grade, thread.diameter_mm)
    return stress_area_mm2(thread) * held.proof if held and held.proof else None


def tensile_load_n(thread: Thread, grade: str) -> float | None:
    """Least breaking load in newtons: A_s·R_m."""
    held = strength(grade, thread.diameter_mm)
    return stress_area_mm2(thread) * held.tensile if held else None


@dataclass(frozen=True, slots=True)
class Marking:
    """What to look for on the head: text stamped on it, or radial lines; whether it must be there.

    `proves` is False where the mark (or its absence) tells nothing for certain.
    """

    text: str
    lines: int | None
    required: bool
    source: str
    proves: bool = True


def head_marking(grade: str, size: str) -> Marking | None:
    """How a head of this grade is marked. Metric hexagon heads must be marked from M5 up (from memory)."""
    if grade in RADIAL_LINES:
        lines = RADIAL_LINES[grade]
        return Marking("", lines, required=lines > 0, source=_SAE, proves=lines > 0)
    if grade in METRIC_CLASSES:
        must = size.startswith("M") and float(size[1:]) >= 5
        return Marking(grade, None, required=must, source=_ISO)
    if grade in STAINLESS:
        return Marking(grade, None, required=False, source=_STAINLESS)
    return None


def grades_by_lines(lines: int) -> tuple[str, ...]:
    """The SAE grades whose heads carry this many radial lines; empty when none does."""
    return tuple(grade for grade, count in RADIAL_LINES.items() if count == lines)


def suits_system(grade: str, thread: Thread) -> bool:
    """Metric classes belong on metric threads and SAE grades on inch threads; stainless on both."""
    if grade in METRIC_CLASSES:
        return thread.system == METRIC
    return grade not in SAE_KSI or thread.system != METRIC

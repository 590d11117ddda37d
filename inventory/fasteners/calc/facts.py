"""What is worth knowing about a fastener, each with where it comes from."""

from dataclasses import dataclass

from .fastener import Fastener
from .holes import Clearance, Hole, clearance, tap_drill
from .profile import Diameters, diameters, stress_area_mm2
from .strength import Marking, Strength, head_marking, proof_load_n, strength, suits_system, tensile_load_n
from .threads import METRIC, Thread
from .torque import NUT_FACTORS, SHARE_OF_PROOF, Torque, factor_for, torque_estimate
from .units import MM_PER_IN, MPA_PER_KSI, N_PER_LBF
from .wrenches import Wrench, across_flats, key

_INCH_OF = {
    "mm": ("in", MM_PER_IN),
    "mm²": ("in²", MM_PER_IN**2),
    "N": ("lbf", N_PER_LBF),
    "MPa": ("ksi", MPA_PER_KSI),
}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A figure in one metric unit (mm, mm², N or MPa) and in its inch fellow, with its source."""

    value: float
    unit: str
    source: str
    from_memory: bool = False

    @property
    def inch_value(self) -> float:
        return self.value / _INCH_OF[self.unit][1]

    @property
    def inch_unit(self) -> str:
        return _INCH_OF[self.unit][0]


@dataclass(frozen=True, slots=True)
class Facts:
    """None where the thing has no such fact or no table here has it.

    Cautions are codes for the page to word: 'grade unknown', 'no proof strength' (stainless and the like),
    'grade of the other system', 'prevailing torque' (a locking nut or patch adds its own drag to the torque),
    'soft material', 'embrittlement' (12.9: no plating or pickling without care), 'unlisted thread'.
    `manual_wins` is always true.
    """

    thread: Thread | None
    pitch: Quantity | None
    diameters: Diameters | None
    tap_drill: Hole | None
    clearance: Clearance | None
    across_flats: Wrench | None
    key: Wrench | None
    stress_area: Quantity | None
    strength: Strength | None
    proof_load: Quantity | None
    tensile_load: Quantity | None
    torque: Torque | None
    marking: Marking | None
    cautions: tuple[str, ...]
    manual_wins: bool = True


_BOLTS = ("bolt", "stud", "rod")
_BOLT_FLATS = ("hex", "flange", "serrated flange", "hex washer")
_NUT_FLATS = ("hex", "flange", "serrated flange", "jam", "high", "castle", "dome", "coupling")
_SOFT = ("brass", "nylon", "aluminium", "copper", "bronze", "titanium", "rubber", "fibre")


def facts(f: Fastener, *, nut_factor: str = "", share_of_proof: float = SHARE_OF_PROOF) -> Facts:
    """All facts on a fastener. `nut_factor` names one of NUT_FACTORS; '' takes the one for its finish."""
    thread = f.thread
    holds = thread if thread and f.kind in _BOLTS and f.material not in _SOFT else None
    factor = NUT_FACTORS[nut_factor] if nut_factor else factor_for(f.finish)
    area = stress_area_mm2(thread) if thread else None
    return Facts(
        thread=thread,
        pitch=_pitch(thread),
        diameters=diameters(thread) if thread else None,
        tap_drill=tap_drill(thread) if thread and f.kind != "rivet nut" else None,
        clearance=clearance(f.size) if f.kind in (*_BOLTS, "nut", "washer") else None,
        across_flats=_flats(f),
        key=_key(f),
        stress_area=_quantity(area, "mm²", "ISO 898-1" if f.system == METRIC else "ASME B1.1"),
        strength=strength(f.grade, f.diameter_mm) if holds else None,
        proof_load=_load(proof_load_n, holds, f.grade),
        tensile_load=_load(tensile_load_n, holds, f.grade),
        torque=torque_estimate(holds, f.grade, factor, share_of_proof) if holds else None,
        marking=head_marking(f.grade, f.size) if f.kind in _BOLTS else None,
        cautions=_cautions(f),
    )


def _quantity(value: float | None, unit: str, source: str, from_memory: bool = False) -> Quantity | None:
    return None if value is None else Quantity(value, unit, source, from_memory)


def _pitch(thread: Thread | None) -> Quantity | None:
    if thread is None:
        return None
    source = ("ISO 261" if thread.system == METRIC else "ASME B1.1") if thread.known else ""
    return Quantity(thread.pitch_mm, "mm", source, thread.from_memory)


def _load(of, thread: Thread | None, grade: str) -> Quantity | None:
    held = strength(grade, thread.diameter_mm) if thread else None
    return _quantity(of(thread, grade), "N", held.source, held.from_memory) if held else None


def _flats(f: Fastener) -> Wrench | None:
    if (f.kind == "bolt" and f.form in _BOLT_FLATS) or (f.kind == "nut" and f.form in _NUT_FLATS):
        return across_flats(f.size, kind=f.kind, form=f.form, standard=f.standard)
    return None


def _key(f: Fastener) -> Wrench | None:
    if f.drive != "hex socket":
        return None
    return key(f.size, "set screw" if f.kind == "set screw" else f.form)


def _cautions(f: Fastener) -> tuple[str, ...]:
    if not f.thread:
        return ()
    held = strength(f.grade, f.diameter_mm)
    bolt = f.kind in _BOLTS
    told = {
        "soft material": f.material in _SOFT,
        "grade unknown": bolt and held is None and f.material not in _SOFT,
        "no proof strength": bolt and held is not None and held.proof is None,
        "grade of the other system": bolt and not suits_system(f.grade, f.thread),
        "prevailing torque": bool(f.locking),
        "embrittlement": f.grade == "12.9",
        "unlisted thread": not f.thread.known,
    }
    return tuple(code for code, holds in told.items() if holds)

"""What is known of a fastener in words and figures for a page: each fact in both systems, with where it comes from."""

from dataclasses import dataclass, fields

from .calc.facts import Facts, Quantity
from .calc.fastener import Fastener
from .calc.reading import Reading
from .calc.threads import METRIC
from .calc.units import MM_PER_IN, number_text
from .calc.writing import length_text

FIELDS = {
    "kind": "What it is",
    "form": "Head or form",
    "size": "Size",
    "pitch": "Pitch",
    "length": "Length",
    "drive": "Drive",
    "drive_size": "Drive size",
    "grade": "Class or grade",
    "material": "Material",
    "finish": "Finish",
    "locking": "Locking",
    "extent": "Thread along it",
    "standard": "Standard",
    "left_hand": "Hand",
}
CAUTIONS = {
    "soft material": "Soft metal or plastic: no strength is given here. Tighten by feel, or by its maker’s figure.",
    "grade unknown": "Its class or grade isn’t known, so no load and no torque can be given. Look at the head.",
    "no proof strength": "Stainless has no proof load in its standard, so no torque is estimated. It galls: grease it.",
    "grade of the other system": "Class and thread are of different systems. Look at the head again.",
    "prevailing torque": "It locks by drag: add that drag to the torque, and don’t use it a second time where it holds "
    "something that matters.",
    "embrittlement": "12.9 must not be pickled or plated in the shop: it turns brittle.",
    "unlisted thread": "This pitch is in no table here. Try it by hand before it is trusted.",
}
DOUBTS = {
    "grade": "The class or grade can mean two things here; it was left open.",
    "standard": "The standard named and the words say different things.",
    "thread": "That thread form is not kept here.",
}


@dataclass(frozen=True, slots=True)
class Row:
    label: str
    metric: str
    inch: str
    source: str


def fields_of(f: Fastener) -> list[tuple[str, str]]:
    """What it is, field by field: (label, value), those that are known."""
    return [(FIELDS[one.name], text) for one in fields(f) if (text := value_text(f, one.name))]


def value_text(f: Fastener, name: str) -> str:
    value = getattr(f, name)
    if name == "left_hand":
        return "left" if value else ""
    if name == "pitch" and value:
        return f"{number_text(value)} mm" if f.system == METRIC else f"{number_text(value)} per inch"
    if name == "length" and value:
        text = length_text(f)
        return f"{text} mm" if f.system == METRIC else text if text.endswith(("mm", '"')) else f"{text} in"
    return str(value or "")


def sizeless(reading: Reading) -> list[tuple[str, str]]:
    """What a text says that names no size, field by field: 'ISO 4017' is a hexagon bolt, threaded all along."""
    said = dict(reading.understood)
    if reading.fastener or "kind" not in said or "thread" in reading.doubts:
        return []
    return [(FIELDS[name], str(said[name])) for name in FIELDS if said.get(name) and name != "left_hand"]


def remarks(reading: Reading) -> list[str]:
    """What was guessed, what may be meant otherwise, and what was not understood."""
    found = [DOUBTS.get(doubt, f"Unsure of the {FIELDS.get(doubt, doubt).lower()}.") for doubt in reading.doubts]
    if reading.fastener and reading.assumed:
        said = ", ".join(
            f"{FIELDS[name].lower()} {value_text(reading.fastener, name)}"
            for name in reading.assumed
            if name in FIELDS and value_text(reading.fastener, name)
        )
        found.append(f"Taken as usual: {said}.")
    if reading.left:
        found.append(f"Not understood: {' '.join(reading.left)}.")
    return found


def facts_rows(f: Fastener, facts: Facts) -> list[Row]:
    """The table of a fastener: label, metric, inch, source."""
    rows = [_pitch(facts), _hole("Drill before tapping", facts.tap_drill)]
    if facts.clearance:
        rows += [_hole(f"Clearance hole, {fit}", getattr(facts.clearance, fit)) for fit in ("close", "normal", "loose")]
    rows += [
        _wrench("Across flats", facts.across_flats),
        _wrench("Key", facts.key),
        _quantity("Stress area", facts.stress_area),
        _load("Proof load", facts.proof_load),
        _load("Breaking load, at least", facts.tensile_load),
    ]
    if facts.marking:
        said = facts.marking.text or f"{facts.marking.lines or 'no'} lines"
        rows.append(Row("On its head", said, "", facts.marking.source))
    return [row for row in rows if row]


def _source(source: str, from_memory: bool = False) -> str:
    return f"{source}, from memory" if from_memory and source else source or "computed"


def _pitch(facts: Facts) -> Row | None:
    if facts.thread is None or facts.pitch is None:
        return None
    metric, inch = f"{number_text(facts.thread.pitch_mm)} mm", f"{number_text(facts.thread.tpi)} per inch"
    return Row("Pitch", metric, inch, _source(facts.pitch.source, facts.pitch.from_memory))


def _hole(label: str, hole) -> Row | None:
    if hole is None:
        return None
    inch = f"{hole.mm / MM_PER_IN:.3f} in"
    if hole.drill != number_text(hole.mm):
        inch = f"{hole.drill} ({inch})"
    return Row(label, f"{hole.mm:.2f}".rstrip("0").rstrip(".") + " mm", inch, _source(hole.source))


def _wrench(label: str, wrench) -> Row | None:
    if wrench is None:
        return None
    is_inch = "/" in wrench.name or wrench.name in ("1", "2")
    metric = f"{wrench.mm:.1f}".rstrip("0").rstrip(".") + " mm"
    if wrench.also_mm:
        metric += " (" + ", ".join(f"{number_text(also)}" for also in wrench.also_mm) + " on older ones)"
    inch = f"{wrench.name} in" if is_inch else f"{wrench.mm / MM_PER_IN:.3f} in"
    return Row(label, metric, inch, _source(wrench.source, wrench.from_memory))


def _quantity(label: str, q: Quantity | None) -> Row | None:
    if q is None:
        return None
    return Row(label, f"{q.value:.1f} {q.unit}", f"{q.inch_value:.4f} {q.inch_unit}", _source(q.source, q.from_memory))


def _load(label: str, q: Quantity | None) -> Row | None:
    if q is None:
        return None
    return Row(
        label, f"{q.value / 1000:.1f} kN", f"{_round(q.inch_value)} {q.inch_unit}", _source(q.source, q.from_memory)
    )


def _round(value: float) -> str:
    """Three figures: more would promise what a table does not hold."""
    return f"{float(f'{value:.3g}'):,.0f}"


@dataclass(frozen=True, slots=True)
class TorqueSaid:
    """The estimate in words: two figures, for it is good for no more."""

    nm: str
    lbf_ft: str
    clamp: str
    scatter: str
    share: str
    factor: str
    source: str


def torque_said(facts: Facts) -> TorqueSaid | None:
    t = facts.torque
    if t is None:
        return None
    low, high = t.clamp_low_n, t.clamp_high_n
    return TorqueSaid(
        nm=_two(t.nm),
        lbf_ft=_two(t.lbf_ft),
        clamp=f"{t.clamp_n / 1000:.1f} kN ({_round(t.clamp_lbf)} lbf)",
        scatter=f"{low / 1000:.0f} to {high / 1000:.0f} kN ({_round(low * t.clamp_lbf / t.clamp_n)} to "
        f"{_round(high * t.clamp_lbf / t.clamp_n)} lbf)",
        share=f"{t.share_of_proof * 100:.0f} %",
        factor=f"{t.factor.name}, K = {t.factor.k:.2f}",
        source=t.factor.source,
    )


def _two(value: float) -> str:
    return f"{float(f'{value:.2g}'):g}"


def cautions_said(facts: Facts) -> list[str]:
    return [CAUTIONS[code] for code in facts.cautions]

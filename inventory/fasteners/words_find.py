"""Threads that a measured one may be, and what of the shop's will do or will not, in words for a page."""

from collections.abc import Iterable
from dataclasses import dataclass

from .calc.identify import Likely
from .calc.strength import METRIC_CLASSES, RADIAL_LINES, STAINLESS, suits_system
from .calc.substitutes import FLAT_SEATED, MOST_WASHERS, Misfit, Stocked, Substitute
from .calc.threads import METRIC
from .calc.units import number_text
from .words import FIELDS, value_text

MARK_NONE = (
    "No mark proves nothing. A metric hexagon bolt from M5 up must have its number (ISO 898-1, from memory); an inch "
    "bolt without lines is grade 2, or nobody knows (SAE J429). Take it for the weakest."
)


@dataclass(frozen=True, slots=True)
class LikelySaid:
    name: str
    query: str
    fits: bool
    off: str
    here: int


def likely_said(one: Likely, grade: str, kind: str, stock: Iterable[Stocked]) -> LikelySaid:
    """A thread in words, with how far the readings are from it, and how many bolts (or nuts) of it the shop has."""
    thread = one.thread
    by = "×" if thread.system == METRIC else "-"
    name = f"{thread.size}{by}{number_text(thread.pitch)}"
    off = [f"across {_signed(one.diameter_off, 2)} from nominal"]
    if one.outside:
        off.append(f"{abs(one.outside):.2f} mm beyond what a sound one measures")
    if one.pitch_off is not None:
        off.append(f"pitch {_signed(one.pitch_off, 3)}" if round(one.pitch_off, 3) else "pitch the same")
    if one.flats_off is not None:
        off.append(f"hexagon {_signed(one.flats_off, 2)}" + (": of another size" if one.other_head else ""))
    said = {"coarse": "coarse", "fine": "fine"}.get(thread.series, "")
    here = sum((have.fastener.thread, have.fastener.kind) == (thread, kind) for have in stock)
    query = [name, "nut" if kind == "nut" else grade if suits_system(grade, thread) else ""]
    return LikelySaid(name + (f", {said}" if said else ""), " ".join(query).strip(), one.fits, ", ".join(off), here)


def mark_said(mark: str) -> str:
    """What the mark on a head stands for."""
    if mark == "none":
        return MARK_NONE
    held = METRIC_CLASSES.get(mark) or STAINLESS.get(mark)
    if held:
        memory = ", from memory" if held.from_memory else ""
        return f"{mark} breaks at {held.tensile:.0f} N/mm² or more ({held.source}{memory})."
    return f"{RADIAL_LINES[mark]} lines are {mark} (SAE J429): an inch bolt." if mark in RADIAL_LINES else ""


def _signed(mm: float, places: int) -> str:
    return f"{mm:+.{places}f} mm".replace("-", "−")


@dataclass(frozen=True, slots=True)
class SubstituteSaid:
    ref: object
    fit: str
    weaker: bool
    differs: str
    washers: str
    short: int
    free: int


def substitute_said(one: Substitute) -> SubstituteSaid:
    """What of the shop's would do, and what is different about it: its length with the washers that take it up."""
    f = one.fastener
    differs = [
        f"{FIELDS[d.field].lower()} {value_text(f, d.field) or 'not known'}"
        for d in one.differences
        if d.field != "length"
    ]
    washers = ""
    if one.washers:
        washers = (
            f"{one.extra_mm:g} mm too long: {one.washers} flat washer{'s' if one.washers > 1 else ''} under the head"
        )
    return SubstituteSaid(one.ref, _fit(one), one.strength < 0, ", ".join(differs), washers, one.short, one.count)


def _fit(one: Substitute) -> str:
    """'The same', 'Longer and stronger', 'WEAKER and longer': only what is so."""
    strength = {-1: "WEAKER" if one.fastener.grade else "STRENGTH NOT KNOWN", 0: "", 1: "stronger"}[one.strength]
    length = "longer" if one.extra_mm else ""
    both = [strength, length] if one.strength < 0 else [length, strength]
    said = " and ".join(filter(None, both)) or ("the same" if one.fit == "same" else "fits")
    return said[0].upper() + said[1:]


@dataclass(frozen=True, slots=True)
class MisfitSaid:
    ref: object
    why: str


def misfit_said(one: Misfit) -> MisfitSaid:
    """Why something of the shop's will not do, in words: 'another pitch, 1 mm; 5 mm too short'."""
    f = one.fastener
    off = f"{abs(one.off_mm):.1f}".rstrip("0").rstrip(".")
    flat = f.form in FLAT_SEATED
    packed = f"more than {MOST_WASHERS} flat washers take up" if flat else "and no washer goes under its head"
    said = {
        "pitch": f"another pitch, {value_text(f, 'pitch')}: it does not screw in",
        "hand": "left-hand thread" if f.left_hand else "right-hand thread",
        "head": f"{f.form or 'another form'}: it does not seat the same",
        "material": f"it is {f.material or 'steel'}",
        "locking": "it does not lock",
        "short": f"{off} mm too short" if one.off_mm else "its length isn’t known",
        "long": f"{off} mm too long, {packed}",
        "weaker": f"weaker: {f.grade}" if f.grade else "how strong it is isn’t known",
    }
    return MisfitSaid(one.ref, "; ".join(said[code] for code in one.reasons))

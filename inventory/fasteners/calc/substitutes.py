"""Will something here do? For a wanted fastener, what the stock has that fits, and what differs about it.

Rules. Thread, hand and kind must be the same. Never shorter; longer only by what washers under the head can
take up. Never weaker, nor of unknown strength where a strength is wanted, unless asked. A countersunk head has
no stand-in; only heads that seat flat and take full tightening stand in for each other. A locking nut is
replaced by a locking nut. Common practice, no source; ISO 898-1, SAE J429 and ISO 3506-1 for strengths.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from .fastener import Fastener
from .strength import strength
from .washers import flat_washer_mm

FLAT_SEATED = frozenset({"hex", "flange", "serrated flange", "socket"})
_NUTS_ALIKE = frozenset({"hex", "flange", "serrated flange", "high"})
_STEEL = frozenset({"", "stainless"})
# Differences worth naming that do not stop a thing from fitting.
_NAMED = ("form", "drive", "grade", "material", "finish", "locking", "extent", "standard")
# Four bridge one step of length, 5 mm, at M6 and M8; a taller stack is no way to build.
MOST_WASHERS = 4


@dataclass(frozen=True, slots=True)
class Stocked:
    """Something the shop has: a reference of the caller's own, what it is, how many."""

    ref: object
    fastener: Fastener
    count: int = 1


@dataclass(frozen=True, slots=True)
class Difference:
    field: str
    wanted: object
    have: object


@dataclass(frozen=True, slots=True)
class Substitute:
    """fit: 'same', 'other' (only named differences), 'stronger', 'longer' (may be stronger too) or 'weaker'.

    strength: −1 weaker or not known to be as strong, 0 the same or not asked for, 1 stronger. washers: how many flat
    washers take up the extra length, extra_mm. short: how many fewer than were wanted.
    """

    ref: object
    fastener: Fastener
    fit: str
    strength: int
    differences: tuple[Difference, ...]
    washers: int
    extra_mm: float
    count: int
    short: int


@dataclass(frozen=True, slots=True)
class Misfit:
    """Why one of the stock will not do. Reasons are codes, the worst first: 'pitch', 'hand', 'head', 'material',
    'locking', 'short' and 'long' (by `off_mm`, negative when short), 'weaker'."""

    ref: object
    fastener: Fastener
    reasons: tuple[str, ...]
    off_mm: float
    count: int


def substitutes(
    wanted: Fastener,
    stock: Iterable[Stocked],
    *,
    count: int = 1,
    most_washers: int = MOST_WASHERS,
    allow_weaker: bool = False,
) -> tuple[Substitute, ...]:
    """What fits, best first. Fields the wanted one leaves open are met by anything."""
    found = []
    for have in stock:
        one = _held_against(wanted, have, count, most_washers)
        if one and (allow_weaker or one.fit != "weaker"):
            found.append(one)
    order = ("same", "other", "stronger", "longer", "weaker")
    return tuple(
        sorted(found, key=lambda s: (s.short > 0, order.index(s.fit), len(s.differences), s.extra_mm, -s.count))
    )


def misfits(
    wanted: Fastener, stock: Iterable[Stocked], *, most_washers: int = MOST_WASHERS, allow_weaker: bool = False
) -> tuple[Misfit, ...]:
    """What is of the kind and size and yet won't do, and why; what comes nearest first."""
    found = []
    for have in stock:
        if (have.fastener.kind, have.fastener.size) != (wanted.kind, wanted.size):
            continue
        reasons = _against(wanted, have.fastener, most_washers)
        if not allow_weaker and _strength_against(wanted, have.fastener) < 0:
            reasons = (*reasons, "weaker")
        if reasons:
            lengths = wanted.length_mm, have.fastener.length_mm
            off = float(lengths[1] - lengths[0]) if None not in lengths else 0.0
            found.append(Misfit(have.ref, have.fastener, reasons, off, have.count))
    return tuple(sorted(found, key=lambda one: (len(one.reasons), abs(one.off_mm), -one.count)))


def _against(wanted: Fastener, f: Fastener, most_washers: int) -> tuple[str, ...]:
    """Why it won't go in its place, strength aside."""
    packed = _packing(wanted, f, most_washers)
    longer = None not in (wanted.length_mm, f.length_mm) and f.length_mm > wanted.length_mm
    told = {
        "pitch": f.pitch != wanted.pitch,
        "hand": f.left_hand != wanted.left_hand,
        "head": not _seats(wanted, f),
        "material": not _made_of(wanted, f),
        "locking": not _locks(wanted, f),
        "short": packed is None and not longer,
        "long": packed is None and longer,
    }
    return tuple(code for code, holds in told.items() if holds)


def _held_against(wanted: Fastener, have: Stocked, count: int, most_washers: int) -> Substitute | None:
    f = have.fastener
    if (f.kind, f.size) != (wanted.kind, wanted.size) or _against(wanted, f, most_washers):
        return None
    washers, extra = _packing(wanted, f, most_washers)
    differences = _differences(wanted, f)
    compared = _strength_against(wanted, f)
    if compared < 0:
        fit = "weaker"
    elif extra > 0:
        fit = "longer"
    elif compared > 0:
        fit = "stronger"
    else:
        fit = "other" if differences else "same"
    return Substitute(
        have.ref, f, fit, compared, differences, washers, float(extra), have.count, short=max(0, count - have.count)
    )


def _seats(wanted: Fastener, f: Fastener) -> bool:
    if not wanted.form or f.form == wanted.form:
        return True
    alike = {"bolt": FLAT_SEATED, "nut": _NUTS_ALIKE}.get(f.kind, frozenset())
    return {wanted.form, f.form} <= alike


def _made_of(wanted: Fastener, f: Fastener) -> bool:
    """Brass, copper or nylon is wanted for a reason; steel and stainless may stand in for each other."""
    return f.material == wanted.material or {wanted.material, f.material} <= _STEEL


def _locks(wanted: Fastener, f: Fastener) -> bool:
    return not wanted.locking or bool(f.locking)


def _packing(wanted: Fastener, f: Fastener, most: int) -> tuple[int, Fraction] | None:
    """How many washers and how many mm too long; None when it will not do."""
    if wanted.length_mm is None or wanted.length_mm == f.length_mm:
        return 0, Fraction(0)
    if f.length_mm is None or f.kind != "bolt" or f.length_mm < wanted.length_mm:
        return None
    thickness = flat_washer_mm(f.size)
    if thickness is None or f.form not in FLAT_SEATED:
        return None
    extra = f.length_mm - wanted.length_mm
    washers = ceil(extra / Fraction(str(thickness)))
    return (washers, extra) if washers <= most else None


def _strength_against(wanted: Fastener, f: Fastener) -> int:
    """−1 weaker or not known to be as strong, 0 the same or not asked, 1 stronger."""
    if not wanted.grade or wanted.grade == f.grade:
        return 0
    number = _nut_class(wanted.grade), _nut_class(f.grade)
    if number[0] is not None:
        return -1 if number[1] is None else (number[1] > number[0]) - (number[1] < number[0])
    asked, held = strength(wanted.grade, wanted.diameter_mm), strength(f.grade, f.diameter_mm)
    if asked is None or held is None:
        return -1
    if held.tensile < asked.tensile or held.yields < asked.yields:
        return -1
    return int((held.tensile, held.yields) != (asked.tensile, asked.yields))


def _nut_class(grade: str) -> int | None:
    """ISO 898-2 classes rise with their number, and so do the grades of SAE J995."""
    word, _, number = grade.partition(" ")
    return int(number) if word == "class" else None


def _differences(wanted: Fastener, f: Fastener) -> tuple[Difference, ...]:
    found = [Difference("length", wanted.length, f.length)] if wanted.length and wanted.length != f.length else []
    for name in _NAMED:
        asked, held = getattr(wanted, name), getattr(f, name)
        if asked and asked != held and not (name == "standard" and not held):
            found.append(Difference(name, asked, held))
    return tuple(found)

"""Writes a fastener one way only, so that the same thing always reads the same."""

from dataclasses import replace
from fractions import Fraction

from .fastener import SIZED_DRIVES, THREADED, Fastener
from .threads import METRIC
from .units import MM_FROM, fraction_text, number_text, on_the_rule

_BOLT_WORDS = {
    "hex": "hex bolt", "flange": "flange bolt", "serrated flange": "serrated flange bolt",
    "socket": "socket cap screw", "low socket": "low socket screw", "carriage": "carriage bolt",
    "square": "square head bolt", "eye": "eye bolt", "U": "U-bolt", "T-head": "T-head bolt",
    "thumb": "thumb screw", "shoulder": "shoulder screw", "banjo": "banjo bolt",
    "button": "button head screw", "pan": "pan head screw", "": "",
}  # fmt: skip


def format(f: Fastener) -> str:
    """'M8×1.25×25 hex bolt 8.8 zinc', '1/4-20×3/4 button head screw'. `parse` undoes it."""
    return " ".join(part for part in (dimensions(f), *_words(f)) if part)


def short(f: Fastener) -> str:
    """What fits on a drawer: 'M8×25', 'M8×1×25', '1/4-20×3/4'. A coarse metric pitch goes without saying."""
    thread = f.thread
    if thread and thread.series == "coarse":
        return f.size + (f"×{length_text(f)}" if f.length else "")
    return dimensions(f)


def key(f: Fastener) -> str:
    """The same text for all that is the same thing. The number of a standard is only another name for it."""
    return format(replace(f, standard="")).lower()


def dimensions(f: Fastener) -> str:
    """Size, pitch and length: 'M8×1.25×25', '1/4-20×3/4', '4.2mm×19'."""
    text = f.size + ('"' if f.size.isdigit() and not f.pitch else "")
    if f.pitch and f.kind in THREADED:
        text += ("×" if f.system == METRIC else "-") + number_text(f.pitch)
    return text + (f"×{length_text(f)}" if f.length else "")


def length_text(f: Fastener) -> str:
    """The length in the unit of its size; an inch length off the rule in millimetres, with 'mm'."""
    if f.length is None:
        return ""
    if f.system == METRIC:
        return number_text(f.length)
    if not on_the_rule(f.length):
        return number_text(f.length * Fraction("25.4")) + "mm"
    return fraction_text(f.length) + ('"' if f.length >= MM_FROM else "")


def _words(f: Fastener) -> tuple[str, ...]:
    drive = f.drive
    if f.drive_size:
        drive = SIZED_DRIVES[f.drive] + f.drive_size
    elif drive and replace(f, drive="").drive == drive:
        drive = ""
    if f.kind == "bolt":
        name = (_BOLT_WORDS.get(f.form) or f"{f.form} head screw") if f.form else ""
        return (name, f.locking, drive, *_tail(f))
    return (f.form, f.locking, f.kind, drive, *_tail(f))


def _tail(f: Fastener) -> tuple[str, ...]:
    return (
        {"full": "full thread", "partial": "partial thread"}.get(f.extent, ""),
        f.grade,
        "" if f.grade.startswith("A") and f.material == "stainless" else f.material,
        f.finish,
        "LH" if f.left_hand else "",
        f.standard,
    )

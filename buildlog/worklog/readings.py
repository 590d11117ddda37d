"""A measure as the log shows it: the words, the sizes in both systems, and how well they are known."""

from dataclasses import dataclass

from buildlog.measures.calc.instruments import INSTRUMENTS, half_width_mm, half_width_text
from buildlog.measures.calc.lengths import both
from buildlog.measures.calc.reading import Unreadable, find, read
from buildlog.measures.models import How

HOW = How.choices
PARTS_OF_AN_INCH = [(16, "1/16"), (32, "1/32"), (64, "1/64")]
NAMES = {key: label.lower() for key, label in HOW}


@dataclass(frozen=True, slots=True)
class Reading:
    """label: 'hatch opening'. own, other: the sizes in the system they were typed in, and in the other one."""

    label: str
    own: str
    other: str
    how: str
    within: str


def reading(text: str, measured: str, *, unit: str, how: str, plus_minus: str = "", round_to: int = 32) -> Reading:
    """From an entry's fields. The words around the sizes are those of the text as it stands."""
    lengths = read(measured, unit or "mm")
    found = find(text, unit or "mm")
    label = found.label if found and found.typed == measured else text
    within, half_width = "", None
    if how in INSTRUMENTS:
        given = given_mm(plus_minus, lengths[0].system)
        within = half_width_text(lengths[0], how, given)
        half_width = half_width_mm(lengths[0], how, given)
    pairs = [both(length, round_to, half_width_mm=half_width) for length in lengths]
    return Reading(
        label, " × ".join(own for own, _ in pairs), " × ".join(other for _, other in pairs), NAMES.get(how, ""), within
    )


def given_mm(plus_minus: str, system: str):
    """A typed plus-or-minus in exact millimetres; None when there is none, or none that can be read."""
    try:
        return abs(read(plus_minus, system)[0].mm) if plus_minus else None
    except Unreadable:
        return None

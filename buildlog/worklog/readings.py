"""A measure as the log shows it: the words, the sizes in both systems, and how well they are known."""

from dataclasses import dataclass

from buildlog.measures.calc.instruments import INSTRUMENTS, half_width_mm, half_width_text
from buildlog.measures.calc.lengths import both
from buildlog.measures.calc.reading import BETWEEN, Unreadable, find, read, read_all
from buildlog.measures.models import How

HOW = How.choices
PARTS_OF_AN_INCH = [(16, "1/16"), (32, "1/32"), (64, "1/64")]
NAMES = {key: label.lower() for key, label in HOW}


@dataclass(frozen=True, slots=True)
class Reading:
    """line: the line as it was written, in pieces of words and a size: [('hatch opening ', '43 5/16 in'), …].

    own, other: the sizes in the system they were typed in, and in the other one.
    """

    line: tuple[tuple[str, str], ...]
    own: str
    other: str
    how: str
    within: str

    @property
    def words(self) -> str:
        """The line with its sizes in place, each with its unit."""
        return "".join(words + size for words, size in self.line).strip()

    @property
    def label(self) -> str:
        """What was measured, where the line ends with its only size: 'hatch opening'; else ''."""
        (words, size), *more = self.line
        return words.rstrip(" :,;=") if size and not more else ""

    @property
    def known(self) -> str:
        """'tape ± 1/32 in'."""
        return " ".join(filter(None, (self.how, self.within)))


def reading(text: str, measured: str, *, unit: str, how: str, plus_minus: str = "", round_to: int = 32) -> Reading:
    """From an entry's fields. The words around the sizes are those of the text as it stands."""
    groups = read_all(measured, unit or "mm")
    first = groups[0][0]
    within, half_width = "", None
    if how in INSTRUMENTS:
        given = given_mm(plus_minus, first.system)
        within = half_width_text(first, how, given)
        half_width = half_width_mm(first, how, given)
    pairs = [[both(length, round_to, half_width_mm=half_width) for length in lengths] for lengths in groups]
    own, other = ([" × ".join(pair[side] for pair in group) for group in pairs] for side in (0, 1))
    found = find(text, unit or "mm")
    if found and found.typed == measured:
        line = [(group.before, size) for group, size in zip(found.groups, own, strict=True)]
        line += [(found.after, "")] if found.after.strip() else []
    else:
        line = [(f"{text} ", BETWEEN.join(own))]
    return Reading(tuple(line), BETWEEN.join(own), BETWEEN.join(other), NAMES.get(how, ""), within)


def given_mm(plus_minus: str, system: str):
    """A typed plus-or-minus in exact millimetres; None when there is none, or none that can be read."""
    try:
        return abs(read(plus_minus, system)[0].mm) if plus_minus else None
    except Unreadable:
        return None

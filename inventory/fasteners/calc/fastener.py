"""What a fastener is, as fields. Every Fastener that can be made is sound, and says a thing one way only."""

import re
from dataclasses import dataclass
from fractions import Fraction

from .standards import implied_by
from .threads import METRIC, Thread, coarse_pitch, diameter_mm_of, size_from_inches, system_of
from .units import on_the_rule

_HEADS = (
    "hex", "flange", "serrated flange", "hex washer", "pan", "button", "flanged button", "countersunk",
    "raised countersunk", "cheese", "round", "truss", "socket", "low socket", "carriage", "square", "eye",
    "U", "T-head", "thumb", "shoulder", "banjo",
)  # fmt: skip
_TAPPING_HEADS = (
    "pan", "countersunk", "raised countersunk", "hex", "hex washer", "flange", "truss", "round", "cheese",
)  # fmt: skip

# kind: the forms it comes in. A bolt's form is its head, a set screw's its point.
FORMS = {
    "bolt": _HEADS,
    "stud": (),
    "rod": (),
    "set screw": ("flat point", "cup point", "cone point", "dog point"),
    "nut": (
        "hex", "flange", "serrated flange", "jam", "high", "castle", "wing", "dome", "square", "weld", "cage",
        "clip", "coupling", "barrel", "tee", "eye", "knurled",
    ),
    "rivet nut": ("flange", "countersunk", "small head", "hex body"),
    "insert": (),
    "washer": ("flat", "small", "penny", "spring", "star", "wave", "cone", "crush", "cup", "square"),
    "self-tapper": _TAPPING_HEADS,
    "self-driller": _TAPPING_HEADS,
    "wood screw": (*_TAPPING_HEADS, "square"),
    "blind rivet": ("dome", "countersunk", "large flange"),
    "solid rivet": ("round", "countersunk", "pan"),
    "split pin": (),
    "roll pin": (),
}  # fmt: skip
THREADED = frozenset({"bolt", "stud", "rod", "set screw", "nut", "rivet nut", "insert"})
MACHINE_SIZED = THREADED | {"washer"}

DRIVES = ("hex socket", "cross", "cross Z", "six-lobe", "slot", "square drive", "twelve-point")
SIZED_DRIVES = {"six-lobe": "T", "cross": "PH", "cross Z": "PZ"}
MATERIALS = ("stainless", "brass", "nylon", "aluminium", "copper", "bronze", "titanium", "rubber", "fibre")
FINISHES = (
    "zinc", "yellow zinc", "zinc flake", "black", "plain", "galvanised", "cadmium", "chrome", "nickel",
    "phosphate", "coppered", "painted",
)  # fmt: skip
LOCKING = {"nut": ("nylon insert", "all-metal lock"), "bolt": ("patch",), "set screw": ("patch",)}
EXTENTS = ("full", "partial")
GRADE = re.compile(
    r"(4\.6|4\.8|5\.6|5\.8|6\.8|8\.8|9\.8|10\.9|12\.9"
    r"|class (4|5|6|8|9|10|12)|grade (1|2|5|8)|A[1245]|A[245]-(50|70|80)|(14|22|33|45)H|(100|140|200|300)HV)"
)
_SIZE = re.compile(r"M[1-9]\d*(\.\d*[1-9])?|(0|[1-9]\d*)(\.\d*[1-9])?mm|#(0|[1-9]\d?)|\d+(-\d+/\d+|/\d+)?")

# What is meant where nobody says: a nut is a hexagon, a washer is flat, a button head takes a key.
_USUAL_FORM = {"nut": "hex", "washer": "flat"}
_USUAL_DRIVE = dict.fromkeys(("socket", "low socket", "button", "flanged button"), "hex socket")


@dataclass(frozen=True, slots=True)
class Fastener:
    """One fastener. Text fields are '' where nothing is known. ValueError for words not in the lists.

    size: 'M8', '1/4', '#10', or '4.2mm' for what has no machine thread (self-tappers, rivets, pins).
    pitch: mm, or threads per inch for an inch size; the coarse one is meant where none is given.
    length: in mm, or inches for an inch size; under the head, overall for a countersunk one. A washer has no
    length: here it is the outside diameter.
    """

    kind: str
    size: str
    pitch: float | None = None
    length: Fraction | None = None
    form: str = ""
    drive: str = ""
    drive_size: str = ""
    grade: str = ""
    material: str = ""
    finish: str = ""
    locking: str = ""
    extent: str = ""
    standard: str = ""
    left_hand: bool = False

    def __post_init__(self):
        _check_words(self)
        for field, value in _settled(self).items():
            object.__setattr__(self, field, value)
        if self.form and self.form not in FORMS[self.kind]:
            raise ValueError(f"form: {self.form}")

    @property
    def system(self) -> str:
        return system_of(self.size)

    @property
    def diameter_mm(self) -> float:
        return diameter_mm_of(self.size)

    @property
    def thread(self) -> Thread | None:
        return Thread(self.size, self.pitch) if self.pitch else None

    @property
    def length_mm(self) -> Fraction | None:
        if self.length is None or self.system == METRIC:
            return self.length
        return self.length * Fraction("25.4")


def _check_words(f: Fastener) -> None:
    allowed = {
        "kind": FORMS,
        "drive": DRIVES,
        "material": MATERIALS,
        "finish": FINISHES,
        "locking": LOCKING.get(f.kind, ()),
        "extent": EXTENTS,
    }
    for field, words in allowed.items():
        value = getattr(f, field)
        if value not in words and (value or field == "kind"):
            raise ValueError(f"{field}: {value}")
    if f.grade and not GRADE.fullmatch(f.grade):
        raise ValueError(f"grade: {f.grade}")
    if not _SIZE.fullmatch(f.size) or not _canonical_inch(f.size) or not diameter_mm_of(f.size):
        raise ValueError(f"size: {f.size}")
    if f.size.endswith("mm") == (f.kind in MACHINE_SIZED) and system_of(f.size) == METRIC:
        raise ValueError(f"size: {f.size}")
    if f.length is not None and f.length <= 0:
        raise ValueError(f"length: {f.length}")
    if f.pitch is not None and not 0 < Thread(f.size, f.pitch).pitch_mm < diameter_mm_of(f.size):
        raise ValueError(f"pitch: {f.pitch}")


def _canonical_inch(size: str) -> bool:
    """'1/4' and '1-1/8', but neither '2/8' nor '9/8'."""
    if size[0] in "M#" or size.endswith("mm"):
        return True
    whole, _, rest = size.rpartition("-")
    if rest.endswith("/0"):
        return False
    return size_from_inches(Fraction(rest) + (int(whole) if whole else 0)) == size


def _settled(f: Fastener) -> dict:
    """The fields that follow from the others, with what the standard says first and what is usual last."""
    told = implied_by(f.standard)
    if told and told.kind != f.kind:
        raise ValueError(f"standard: {f.standard}")
    form = f.form or (told.form if told else "") or _USUAL_FORM.get(f.kind, "")
    drive = f.drive or (told.drive if told else "")
    if f.kind == "bolt" and not form and drive == "hex socket":
        form = "socket"
    if not drive:
        drive = "hex socket" if f.kind == "set screw" else _USUAL_DRIVE.get(form, "") if f.kind == "bolt" else ""
    pitch = None
    if f.kind in THREADED:
        pitch = round(float(f.pitch), 4) if f.pitch else coarse_pitch(f.size)
    return {
        "form": form,
        "drive": drive,
        "drive_size": f.drive_size if drive in SIZED_DRIVES else "",
        "locking": f.locking or (told.locking if told else ""),
        "extent": f.extent or (told.extent if told else ""),
        "material": f.material or ("stainless" if f.grade.startswith("A") else ""),
        "pitch": pitch,
        "length": _to_the_micron(f.length, f.size),
    }


def _to_the_micron(length: Fraction | None, size: str) -> Fraction | None:
    """Nobody buys by less than 0.001 mm; an inch length on the rule stays exact."""
    if length is None:
        return None
    length = Fraction(length)
    if system_of(size) == METRIC:
        return Fraction(max(1, round(length * 1000)), 1000)
    if on_the_rule(length):
        return length
    return Fraction(max(1, round(length * 25400)), 25400)

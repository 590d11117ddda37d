"""What to drill: before tapping, and for a bolt to pass.

Sources. Tap drills, metric: ISO 2306:1972. Tap drills, inch: shop handbook drills for about 75 % of full
thread, checked by depth. Clearance, metric: ISO 273:1979 fine, medium and coarse, here close, normal and
loose. Clearance, inch: ASME B18.2.8-1999; the standard's own text was not seen. Number and letter drills:
ASME B94.11M. Some shop charts print 14/15, 16/17 and 18/19 mm for M12, M14 and M16 medium and coarse. That
is not ISO 273.
"""

from dataclasses import dataclass
from fractions import Fraction

from .threads import METRIC, Thread, system_of
from .units import MM_PER_IN, number_text

NUMBER_DRILLS_IN = {
    "#3": 0.2130, "#7": 0.2010, "#14": 0.1820, "#16": 0.1770, "#21": 0.1590, "#25": 0.1495, "#29": 0.1360,
    "#33": 0.1130, "#36": 0.1065, "#37": 0.1040, "#38": 0.1015, "#42": 0.0935, "#43": 0.0890, "#31": 0.1200,
    "#30": 0.1285, "#27": 0.1440, "#23": 0.1540, "#18": 0.1695, "#13": 0.1850, "#15": 0.1800, "#9": 0.1960,
    "#5": 0.2055, "#2": 0.2210, "B": 0.2380, "F": 0.2570, "I": 0.2720, "Q": 0.3320, "U": 0.3680,
}  # fmt: skip

TAP_METRIC_MM = {
    ("M3", 0.5): 2.5, ("M3.5", 0.6): 2.9, ("M4", 0.7): 3.3, ("M5", 0.8): 4.2, ("M6", 1): 5.0, ("M7", 1): 6.0,
    ("M8", 1.25): 6.8, ("M10", 1.5): 8.5, ("M12", 1.75): 10.2, ("M14", 2): 12.0, ("M16", 2): 14.0,
    ("M18", 2.5): 15.5, ("M20", 2.5): 17.5, ("M22", 2.5): 19.5, ("M24", 3): 21.0,
    ("M8", 1): 7.0, ("M10", 1.25): 8.8, ("M10", 1): 9.0, ("M12", 1.5): 10.5, ("M12", 1.25): 10.8,
    ("M14", 1.5): 12.5, ("M16", 1.5): 14.5, ("M18", 1.5): 16.5,
}  # fmt: skip

TAP_INCH = {
    ("#4", 40): "#43", ("#4", 48): "#42", ("#5", 40): "#38", ("#5", 44): "#37", ("#6", 32): "#36",
    ("#6", 40): "#33", ("#8", 32): "#29", ("#8", 36): "#29", ("#10", 24): "#25", ("#10", 32): "#21",
    ("#12", 24): "#16", ("#12", 28): "#14", ("1/4", 20): "#7", ("1/4", 28): "#3", ("5/16", 18): "F",
    ("5/16", 24): "I", ("3/8", 16): "5/16", ("3/8", 24): "Q", ("7/16", 14): "U", ("7/16", 20): "25/64",
    ("1/2", 13): "27/64", ("1/2", 20): "29/64", ("9/16", 12): "31/64", ("9/16", 18): "33/64",
    ("5/8", 11): "17/32", ("5/8", 18): "37/64", ("3/4", 10): "21/32", ("3/4", 16): "11/16",
    ("7/8", 9): "49/64", ("7/8", 14): "13/16", ("1", 8): "7/8", ("1", 12): "59/64",
}  # fmt: skip

CLEARANCE_METRIC_MM = {
    "M3": (3.2, 3.4, 3.6), "M3.5": (3.7, 3.9, 4.2), "M4": (4.3, 4.5, 4.8), "M5": (5.3, 5.5, 5.8),
    "M6": (6.4, 6.6, 7.0), "M7": (7.4, 7.6, 8.0), "M8": (8.4, 9.0, 10.0), "M10": (10.5, 11.0, 12.0),
    "M12": (13.0, 13.5, 14.5), "M14": (15.0, 15.5, 16.5), "M16": (17.0, 17.5, 18.5),
    "M18": (19.0, 20.0, 21.0), "M20": (21.0, 22.0, 24.0), "M22": (23.0, 24.0, 26.0),
    "M24": (25.0, 26.0, 28.0),
}  # fmt: skip

CLEARANCE_INCH = {
    "#4": ("#31", "#30", "#27"), "#5": ("9/64", "5/32", "11/64"), "#6": ("#23", "#18", "#13"),
    "#8": ("#15", "#9", "#3"), "#10": ("#5", "#2", "B"), "1/4": ("17/64", "9/32", "19/64"),
    "5/16": ("21/64", "11/32", "23/64"), "3/8": ("25/64", "13/32", "27/64"),
    "7/16": ("29/64", "15/32", "31/64"), "1/2": ("17/32", "9/16", "39/64"),
    "5/8": ("21/32", "11/16", "47/64"), "3/4": ("25/32", "13/16", "29/32"),
    "7/8": ("29/32", "15/16", "1-1/32"), "1": ("1-1/32", "1-3/32", "1-5/32"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Hole:
    """A drill: its diameter, the name on the drill ('#7', 'F', '27/64', '6.8'), the source of the choice.

    `computed`: no table has this thread; the size is d − P.
    """

    mm: float
    drill: str
    source: str
    computed: bool = False


@dataclass(frozen=True, slots=True)
class Clearance:
    close: Hole
    normal: Hole
    loose: Hole


def drill_in(name: str) -> float:
    """Diameter in inches of a number, letter or fraction drill. KeyError or ValueError for others."""
    if name[0] == "#" or name.isalpha():
        return NUMBER_DRILLS_IN[name]
    whole, _, rest = name.rpartition("-")
    return float(Fraction(rest)) + (int(whole) if whole else 0)


def tap_drill(thread: Thread) -> Hole:
    """The drill before the tap; d − P rounded to 0.1 mm where no table has the thread."""
    key = (thread.size, thread.pitch)
    if key in TAP_METRIC_MM:
        mm = TAP_METRIC_MM[key]
        return Hole(mm, number_text(mm), "ISO 2306")
    if key in TAP_INCH:
        name = TAP_INCH[key]
        return Hole(drill_in(name) * MM_PER_IN, name, "handbook, about 75 % thread")
    mm = round(thread.diameter_mm - thread.pitch_mm, 1)
    return Hole(mm, number_text(mm), "d − P", computed=True)


def thread_depth_share(thread: Thread, drilled_mm: float) -> float:
    """Share of the full thread cut in a hole of this size: (d − hole) / (1.29904·P)."""
    return (thread.diameter_mm - drilled_mm) / (1.29904 * thread.pitch_mm)


def clearance(size: str) -> Clearance | None:
    """Holes for a bolt of this size to pass. None where the tables have no such size (#12, 9/16)."""
    if system_of(size) == METRIC:
        row = CLEARANCE_METRIC_MM.get(size)
        return row and Clearance(*(Hole(mm, number_text(mm), "ISO 273") for mm in row))
    names = CLEARANCE_INCH.get(size)
    return names and Clearance(*(Hole(drill_in(n) * MM_PER_IN, n, "ASME B18.2.8") for n in names))

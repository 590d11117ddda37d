"""Which spanner or key fits.

Across flats: ISO 272:1982, ISO 4014 and 4017:2011, ISO 4032:2012; ASME B18.2.1-2010 for bolts, B18.2.2-2010
for nuts (nuts from memory). Heads to the old DIN 931 and 933 differ at M10, M12, M14 and M22 and older
vehicles are full of them. Flange nuts: EN 1661. Keys: ISO 4762, ISO 7380-1, ISO 10642, ISO 4026, ASME B18.3.
"""

from dataclasses import dataclass
from fractions import Fraction

from .threads import METRIC, system_of
from .units import MM_PER_IN, number_text

HEX_ISO_MM = {
    "M3": 5.5, "M3.5": 6, "M4": 7, "M5": 8, "M6": 10, "M7": 11, "M8": 13, "M10": 16, "M12": 18, "M14": 21,
    "M16": 24, "M18": 27, "M20": 30, "M22": 34, "M24": 36,
}  # fmt: skip
HEX_OLD_DIN_MM = {**HEX_ISO_MM, "M10": 17, "M12": 19, "M14": 22, "M22": 32}
FLANGE_NUT_MM = {"M5": 8, "M6": 10, "M8": 13, "M10": 15, "M12": 18, "M14": 21, "M16": 24, "M20": 30}
HEX_BOLT_IN = {
    "1/4": "7/16", "5/16": "1/2", "3/8": "9/16", "7/16": "5/8", "1/2": "3/4", "9/16": "13/16", "5/8": "15/16",
    "3/4": "1-1/8", "7/8": "1-5/16", "1": "1-1/2",
}  # fmt: skip
HEX_NUT_IN = {**HEX_BOLT_IN, "7/16": "11/16", "9/16": "7/8"}

KEY_SOCKET_MM = {
    "M3": 2.5, "M4": 3, "M5": 4, "M6": 5, "M8": 6, "M10": 8, "M12": 10, "M14": 12, "M16": 14, "M20": 17,
    "M24": 19,
}  # fmt: skip
KEY_BUTTON_MM = {"M3": 2, "M4": 2.5, "M5": 3, "M6": 4, "M8": 5, "M10": 6, "M12": 8, "M16": 10}
KEY_COUNTERSUNK_MM = {**KEY_BUTTON_MM, "M14": 10, "M18": 12, "M20": 12, "M22": 14, "M24": 14}
KEY_SET_SCREW_MM = {
    "M3": 1.5, "M4": 2, "M5": 2.5, "M6": 3, "M8": 4, "M10": 5, "M12": 6, "M16": 8, "M20": 10, "M24": 12,
}  # fmt: skip
KEY_SOCKET_IN = {
    "#4": "3/32", "#5": "3/32", "#6": "7/64", "#8": "9/64", "#10": "5/32", "1/4": "3/16", "5/16": "1/4",
    "3/8": "5/16", "7/16": "3/8", "1/2": "3/8", "5/8": "1/2", "3/4": "5/8", "7/8": "3/4", "1": "3/4",
}  # fmt: skip

# M7 and the inch nuts were not checked against a copy of the standard.
FROM_MEMORY = frozenset({("bolt", "M7"), ("nut", "M7"), *(("nut", size) for size in HEX_NUT_IN)})


@dataclass(frozen=True, slots=True)
class Wrench:
    """A spanner or key: its size in mm and by name, its source, and other sizes met in practice (mm)."""

    mm: float
    name: str
    source: str
    from_memory: bool = False
    also_mm: tuple[float, ...] = ()


def inch_mm(name: str) -> float:
    """'1-1/8' in mm."""
    whole, _, rest = name.rpartition("-")
    return (float(Fraction(rest)) + (int(whole) if whole else 0)) * MM_PER_IN


def _inch(name: str, source: str, from_memory: bool = False) -> Wrench:
    return Wrench(inch_mm(name), name, source, from_memory)


def across_flats(size: str, *, kind: str = "bolt", form: str = "hex", standard: str = "") -> Wrench | None:
    """The spanner for a hexagon. `standard` 'DIN …' gives the old DIN size, with the ISO one in `also_mm`.

    None where no table here has the size, and for flange bolts, which keep their own flats.
    """
    nut, memory = kind == "nut", (kind, size) in FROM_MEMORY
    if "flange" in form:
        mm = FLANGE_NUT_MM.get(size) if nut else None
        return Wrench(mm, number_text(mm), "EN 1661") if mm else None
    if system_of(size) != METRIC:
        name = (HEX_NUT_IN if nut else HEX_BOLT_IN).get(size)
        return _inch(name, "ASME B18.2.2" if nut else "ASME B18.2.1", memory) if name else None
    iso, old = HEX_ISO_MM.get(size), HEX_OLD_DIN_MM.get(size)
    if iso is None:
        return None
    mm, other = (old, iso) if standard.startswith("DIN") else (iso, old)
    source = standard or ("ISO 4032" if nut else "ISO 4014, ISO 4017")
    return Wrench(mm, number_text(mm), source, memory, (other,) if other != mm else ())


def key(size: str, form: str) -> Wrench | None:
    """The hexagon key for a socket, button or countersunk head, or a set screw; else None."""
    if system_of(size) != METRIC:
        name = KEY_SOCKET_IN.get(size) if form == "socket" else None
        return _inch(name, "ASME B18.3") if name else None
    tables = {
        "socket": (KEY_SOCKET_MM, "ISO 4762"),
        "button": (KEY_BUTTON_MM, "ISO 7380-1"),
        "countersunk": (KEY_COUNTERSUNK_MM, "ISO 10642"),
        "set screw": (KEY_SET_SCREW_MM, "ISO 4026"),
    }
    table, source = tables.get(form, ({}, ""))
    mm = table.get(size)
    return Wrench(mm, number_text(mm), source) if mm else None

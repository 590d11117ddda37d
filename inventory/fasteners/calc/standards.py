"""What a standard's number says about the part, for the numbers met on boxes and order lists.

Titles of the ISO, DIN, EN and ASME documents themselves. An unknown number is kept and says nothing.
"""

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Implied:
    kind: str
    form: str = ""
    drive: str = ""
    extent: str = ""
    locking: str = ""


_hex_partial = Implied("bolt", "hex", extent="partial")
_hex_full = Implied("bolt", "hex", extent="full")
_socket = Implied("bolt", "socket", "hex socket")
_button = Implied("bolt", "button", "hex socket")
_countersunk_key = Implied("bolt", "countersunk", "hex socket")
_pan_cross, _countersunk_cross = Implied("bolt", "pan", "cross"), Implied("bolt", "countersunk", "cross")
_cheese_slot, _countersunk_slot = Implied("bolt", "cheese", "slot"), Implied("bolt", "countersunk", "slot")
_flat_point, _cone_point = Implied("set screw", "flat point"), Implied("set screw", "cone point")
_dog_point, _cup_point = Implied("set screw", "dog point"), Implied("set screw", "cup point")
_nut, _jam = Implied("nut", "hex"), Implied("nut", "jam")
_nylon, _metal = (
    Implied("nut", "hex", locking="nylon insert"),
    Implied("nut", "hex", locking="all-metal lock"),
)
_flange_nut, _flange_bolt = Implied("nut", "flange"), Implied("bolt", "flange")
_flat, _penny, _spring = Implied("washer", "flat"), Implied("washer", "penny"), Implied("washer", "spring")
_star = Implied("washer", "star")

IMPLIED = {
    "ISO 4014": _hex_partial, "ISO 4016": _hex_partial, "ISO 8765": _hex_partial, "DIN 931": _hex_partial,
    "DIN 960": _hex_partial, "DIN 601": _hex_partial, "ISO 4017": _hex_full, "ISO 4018": _hex_full,
    "ISO 8676": _hex_full, "DIN 933": _hex_full, "DIN 961": _hex_full, "DIN 558": _hex_full,
    "ISO 15071": _flange_bolt, "ISO 4162": _flange_bolt, "EN 1665": _flange_bolt, "DIN 6921": _flange_bolt,
    "ISO 4762": _socket, "DIN 912": _socket, "ISO 14579": Implied("bolt", "socket", "six-lobe"),
    "DIN 7984": Implied("bolt", "low socket", "hex socket"), "ISO 7380": _button, "ISO 7380-1": _button,
    "ISO 7380-2": Implied("bolt", "flanged button", "hex socket"), "ISO 10642": _countersunk_key,
    "DIN 7991": _countersunk_key, "ISO 7045": _pan_cross, "DIN 7985": _pan_cross,
    "ISO 14583": Implied("bolt", "pan", "six-lobe"), "ISO 7046": _countersunk_cross,
    "DIN 965": _countersunk_cross, "ISO 14581": Implied("bolt", "countersunk", "six-lobe"),
    "ISO 7047": Implied("bolt", "raised countersunk", "cross"),
    "DIN 966": Implied("bolt", "raised countersunk"), "ISO 1207": _cheese_slot, "DIN 84": _cheese_slot,
    "ISO 1580": Implied("bolt", "pan", "slot"), "ISO 2009": _countersunk_slot, "DIN 963": _countersunk_slot,
    "ISO 8677": Implied("bolt", "carriage"), "DIN 603": Implied("bolt", "carriage"),
    "DIN 580": Implied("bolt", "eye"), "DIN 444": Implied("bolt", "eye"), "DIN 582": Implied("nut", "eye"),
    "ISO 4026": _flat_point, "DIN 913": _flat_point, "ISO 4027": _cone_point, "DIN 914": _cone_point,
    "ISO 4028": _dog_point, "DIN 915": _dog_point, "ISO 4029": _cup_point, "DIN 916": _cup_point,
    "ISO 4032": _nut, "ISO 8673": _nut, "ISO 4034": _nut, "DIN 934": _nut, "DIN 555": _nut,
    "ISO 4033": Implied("nut", "high"), "ISO 4035": _jam, "ISO 8675": _jam, "DIN 439": _jam, "DIN 936": _jam,
    "ISO 7040": _nylon, "ISO 7041": _nylon, "ISO 10512": _nylon, "DIN 982": _nylon, "DIN 985": _nylon,
    "ISO 10511": Implied("nut", "jam", locking="nylon insert"), "ISO 7042": _metal, "ISO 7719": _metal,
    "DIN 980": _metal, "ISO 4161": _flange_nut, "EN 1661": _flange_nut, "DIN 6923": _flange_nut,
    "ISO 7043": Implied("nut", "flange", locking="nylon insert"),
    "DIN 6926": Implied("nut", "flange", locking="nylon insert"),
    "ISO 7044": Implied("nut", "flange", locking="all-metal lock"), "DIN 1587": Implied("nut", "dome"),
    "DIN 917": Implied("nut", "dome"), "DIN 986": Implied("nut", "dome", locking="nylon insert"),
    "DIN 315": Implied("nut", "wing"), "DIN 935": Implied("nut", "castle"),
    "DIN 979": Implied("nut", "castle"), "DIN 929": Implied("nut", "weld"),
    "DIN 928": Implied("nut", "weld"), "DIN 557": Implied("nut", "square"),
    "DIN 562": Implied("nut", "square"), "DIN 6334": Implied("nut", "coupling"),
    "DIN 466": Implied("nut", "knurled"), "ISO 7089": _flat, "ISO 7090": _flat, "ISO 7091": _flat,
    "DIN 125": _flat, "DIN 126": _flat, "ISO 7092": Implied("washer", "small"),
    "DIN 433": Implied("washer", "small"), "ISO 7093": _penny, "ISO 7093-1": _penny, "ISO 7094": _penny,
    "DIN 9021": _penny, "DIN 440": _penny, "DIN 127": _spring, "DIN 128": _spring, "DIN 7980": _spring,
    "DIN 6797": _star, "DIN 6798": _star, "DIN 137": Implied("washer", "wave"),
    "DIN 6796": Implied("washer", "cone"), "DIN 7603": Implied("washer", "crush"),
    "DIN 436": Implied("washer", "square"), "DIN 975": Implied("rod"), "DIN 976": Implied("rod"),
    "DIN 938": Implied("stud"), "DIN 939": Implied("stud"), "DIN 835": Implied("stud"),
    "ISO 7049": Implied("self-tapper", "pan", "cross"), "DIN 7981": Implied("self-tapper", "pan"),
    "ISO 7050": Implied("self-tapper", "countersunk", "cross"),
    "DIN 7982": Implied("self-tapper", "countersunk"),
    "ISO 7051": Implied("self-tapper", "raised countersunk"),
    "DIN 7983": Implied("self-tapper", "raised countersunk"), "ISO 1479": Implied("self-tapper", "hex"),
    "DIN 7976": Implied("self-tapper", "hex"), "ISO 10509": Implied("self-tapper", "flange"),
    "DIN 7504": Implied("self-driller"), "DIN 571": Implied("wood screw", "hex"),
    "DIN 7337": Implied("blind rivet"), "ISO 15977": Implied("blind rivet", "dome"),
    "ISO 15978": Implied("blind rivet", "countersunk"), "ISO 1234": Implied("split pin"),
    "DIN 94": Implied("split pin"), "ISO 8752": Implied("roll pin"), "DIN 1481": Implied("roll pin"),
}  # fmt: skip

WRITTEN = re.compile(
    r"\b(?:(?:din|bs)[\s-]*(?=en|iso))?(?:en[\s-]*(?=iso))?"
    r"(iso|din|en|asme|ansi|bs|jis|sae|uni|gost)[\s-]*((?:b|j)?\s?\d+(?:\.\d+)*(?:-[12](?![\d.]))?)"
    r"(?:\s?-?[ab]\b)?(?::\d{4})?",
    re.IGNORECASE,
)


def named(match: re.Match) -> str:
    """'DIN 933' from whatever way the number was written."""
    return f"{match[1].upper()} {match[2].upper().replace(' ', '')}"


def implied_by(standard: str) -> Implied | None:
    """What the number says about the part; None for a number not listed."""
    return IMPLIED.get(standard)

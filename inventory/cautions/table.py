"""What can hurt somebody in a workshop: the signal word, what to do, and where that is written.

Signal words as ANSI Z535.4-2007, 4.14, has them, and of which ISO 3864-2 has the first three: DANGER will cause death
or serious injury if it is not avoided, WARNING could, CAUTION could cause minor or moderate injury.
"""

from collections.abc import Iterable
from dataclasses import dataclass

DANGER, WARNING, CAUTION = "danger", "warning", "caution"
GRAVEST_FIRST = (DANGER, WARNING, CAUTION)
DEFER = "Follow local codes, and a licensed trade where one is required."


@dataclass(frozen=True, slots=True)
class Caution:
    key: str
    word: str
    hazard: str
    line: str
    source: str


CAUTIONS = {
    caution.key: caution
    for caution in (
        Caution(
            "jack", DANGER, "Under a raised vehicle",
            "Crib, block or stand the load at once after lifting. Never go under a vehicle on a jack alone.",
            "29 CFR 1910.244(a)(2)(iii)",
        ),
        Caution(
            "tank", DANGER, "Heat on a fuel tank or drum",
            "No welding, cutting or heating on a used tank or container until it is cleaned and made safe. "
            "“Empty” is not clean.",
            "29 CFR 1910.252(a)(3); AWS F4.1",
        ),
        Caution(
            "hollow", DANGER, "Heat on a closed hollow part",
            "Vent and purge hollow spaces before heating.",
            "29 CFR 1910.252(a)(3)(ii), cited from memory",
        ),
        Caution(
            "galvanizing", DANGER, "Sealed tube to the galvanizer",
            "Vent and drain every cavity before it goes into the bath.",
            "ASTM A385; ISO 14713-2",
        ),
        Caution(
            "cleaner", DANGER, "Chlorinated cleaner near an arc",
            "Never weld near brake cleaner or chlorinated vapour: it turns into phosgene.",
            "ANSI Z49.1, as welder manuals cite it",
        ),
        Caution(
            "airbag", DANGER, "Airbags and belt pretensioners",
            "Battery off, wait as the manual says, carry with the face away from you. "
            "Undeployed units ship as Class 9, UN 3268.",
            "49 CFR 173.166; 40 CFR 261.4(j); waiting time: common practice, no source",
        ),
        Caution(
            "fuel", WARNING, "Fuel still in it",
            "Drain it first, outdoors, without flame or spark, into cans made for fuel; close them and label them.",
            "29 CFR 1910.106, cited from memory",
        ),
        Caution(
            "refrigerant", WARNING, "Refrigerant",
            "Do not vent it; have it recovered before opening or scrapping. Paid work needs approved equipment "
            "and a certified technician.",
            "40 CFR 82.154(a); 40 CFR 82.34(a)",
        ),
        Caution(
            "battery", WARNING, "Battery",
            "Disconnect ground first and reconnect it last. Hydrogen: no sparks.",
            "Common practice, no source",
        ),
        Caution(
            "zinc", WARNING, "Welding galvanized steel",
            "Ventilate. Zinc oxide fume: at most 5 mg/m³.",
            "29 CFR 1910.252(c), 1910.1000",
        ),
        Caution(
            "stored", WARNING, "Springs, torsion bars, pressure lines",
            "Energy is stored in them. Release it under control.",
            "Common practice, no source",
        ),
        Caution(
            "dust", WARNING, "Dust and paint of old parts",
            "Brake, clutch and gasket dust may hold asbestos, paint may hold lead. No dry blowing, no dry sanding.",
            "29 CFR 1910.1001 App. F; 29 CFR 1926.62, cited from memory",
        ),
    )
}  # fmt: skip


def chosen(keys: Iterable[str]) -> list[Caution]:
    """The cautions of these keys, the gravest first; a key that is not known any more is left out."""
    return sorted((CAUTIONS[key] for key in keys if key in CAUTIONS), key=lambda one: GRAVEST_FIRST.index(one.word))

"""Flat washers: how thick, so that a longer bolt can be packed out.

Metric: ISO 7089:2000, nominal thickness (from memory; the largest allowed thickness of each was checked).
Inch: ASME B18.22.1 type A plain, nominal thickness of the narrow series, from memory.
"""

FLAT_MM = {
    "M3": 0.5, "M3.5": 0.5, "M4": 0.8, "M5": 1, "M6": 1.6, "M7": 1.6, "M8": 1.6, "M10": 2, "M12": 2.5,
    "M14": 2.5, "M16": 3, "M18": 3, "M20": 3, "M22": 3, "M24": 4, "#4": 0.8, "#5": 0.9, "#6": 1.2, "#8": 1.2,
    "#10": 1.2, "#12": 1.7, "1/4": 1.65, "5/16": 1.65, "3/8": 1.65, "7/16": 1.65, "1/2": 2.4, "9/16": 2.4,
    "5/8": 2.4, "3/4": 3.4, "7/8": 3.4, "1": 3.4,
}  # fmt: skip


def flat_washer_mm(size: str) -> float | None:
    """Nominal thickness in mm of the flat washer for a size; None where not listed."""
    return FLAT_MM.get(size)

"""What a head says of the thread under it: its width across flats, and what is marked on it."""

from .strength import METRIC_CLASSES, SAE_KSI
from .threads import INCH, METRIC, Thread
from .wrenches import HEX_BOLT_IN, HEX_ISO_MM, HEX_NUT_IN, HEX_OLD_DIN_MM, inch_mm

# A sound hexagon measures up to about a fortieth of its width under nominal (ISO 4759-1 grade A: 13 mm is 12.73 at
# least, from memory; ASME B18.2.1: 1/2 in is 0.489), and over it by nothing. The caliper's own error comes on top.
UNDER, ERROR_MM = 0.025, 0.1


def hexagons_mm(size: str) -> tuple[float, ...]:
    """Widths across flats that heads and nuts of the size have: ISO 272 and older DIN, ASME B18.2.1 and B18.2.2."""
    tables = (HEX_ISO_MM, HEX_OLD_DIN_MM), (HEX_BOLT_IN, HEX_NUT_IN)
    metric = {table[size] for table in tables[0] if size in table}
    inch = {inch_mm(table[size]) for table in tables[1] if size in table}
    return tuple(sorted(float(width) for width in metric | inch))


def flats_off(thread: Thread, measured_mm: float) -> float | None:
    """How far the reading is from the nearest of the size's hexagons, mm; None where no table has the size."""
    widths = hexagons_mm(thread.size)
    offs = (measured_mm - width for width in widths)
    return min(offs, key=lambda off: (not is_such_a_head(off, measured_mm), abs(off))) if widths else None


def is_such_a_head(off_mm: float, measured_mm: float) -> bool:
    """Whether a hexagon that measures so may be one of the width it is off from."""
    return -(ERROR_MM + UNDER * measured_mm) <= off_mm <= ERROR_MM


def system_by_grade(grade: str) -> str:
    """The system of threads whose heads carry this class or grade; '' where both may (stainless, or no mark)."""
    return METRIC if grade in METRIC_CLASSES else INCH if grade in SAE_KSI else ""

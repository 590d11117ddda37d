"""Lengths as people type them, kept exact.

A length is a Fraction of millimetres and a note of which system it was typed in. 1 in = 25.4 mm exactly, so
going from one system to the other and back loses nothing (NIST SP 811, appendix B.6). Floats never enter.
"""

from dataclasses import dataclass
from fractions import Fraction

MM = "mm"
INCH = "in"

MM_PER_INCH = Fraction(254, 10)
PLACES = 6  # of a decimal as it was typed
# Millimetres in one of each unit a length may be typed in.
UNITS = {
    "um": Fraction(1, 1000),
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": MM_PER_INCH,
    "ft": 12 * MM_PER_INCH,
    "thou": MM_PER_INCH / 1000,
}
SYSTEM = {"um": MM, "mm": MM, "cm": MM, "m": MM, "in": INCH, "ft": INCH, "thou": INCH}


@dataclass(frozen=True, slots=True)
class Length:
    """mm: exact millimetres. system: 'mm' or 'in', whichever it was typed in. typed: the words, as typed."""

    mm: Fraction
    system: str
    typed: str

    @property
    def inches(self) -> Fraction:
        return self.mm / MM_PER_INCH


@dataclass(frozen=True, slots=True)
class Fractional:
    """whole + top/bottom, in lowest terms. exact: False when rounding moved the value."""

    whole: int
    top: int
    bottom: int
    exact: bool
    negative: bool = False


def half_up(value: Fraction) -> int:
    """The nearest whole number; a tie goes away from zero.

    Python's own round() sends ties to the even number (1/2 to 0, 3/2 to 2), which no rule on a tape does.
    """
    size = (2 * abs(value) + 1) // 2
    return -size if value < 0 else size


def to_fraction(inches: Fraction, denominator: int) -> Fractional:
    """Inches to the nearest 1/denominator, ties up, reduced (8/16 to 1/2) and carried (31.6/32 to 1)."""
    parts = abs(half_up(inches * denominator))
    rounded = Fraction(parts, denominator)
    whole, rest = divmod(rounded, 1)
    return Fractional(
        whole=int(whole),
        top=rest.numerator,
        bottom=rest.denominator,
        exact=rounded == abs(inches),
        negative=inches < 0 and parts > 0,
    )


def fraction_text(value: Fractional) -> str:
    """'43 5/16', '3/8', '0': the way it is read off a tape."""
    sign = "-" if value.negative else ""
    if not value.top:
        return f"{sign}{value.whole}"
    lead = f"{value.whole} " if value.whole else ""
    return f"{sign}{lead}{value.top}/{value.bottom}"


def decimal_text(value: Fraction, places: int) -> str:
    """Half-up to so many places, zeros at the end dropped: 1100.14, 62.5, 25."""
    scaled = half_up(value * 10**places)
    digits = f"{abs(scaled):0{places + 1}d}"
    text = f"{digits[: len(digits) - places]}.{digits[len(digits) - places :]}".rstrip("0").rstrip(".")
    return f"-{text}" if scaled < 0 else text


def mm_text(length: Length, places: int = 1) -> str:
    """'1100.1 mm'; what is smaller than a millimetre with at least two figures: 0.013 mm."""
    return f"{decimal_text(length.mm, max(places, places_of(length.mm)))} mm"


def inch_text(length: Length, denominator: int = 32) -> str:
    """'43 5/16 in'. A length typed in inches is shown as it was typed if its fraction is another than the page's
    (1/64 on a page of 1/32nds, 1/3), so that nothing typed is ever rounded away; a decimal inch ('0.0598 in') stays
    decimal. What would be rounded to nothing is a decimal too."""
    inches = length.inches
    if length.system == INCH and (inches * denominator).denominator != 1:
        bottom = inches.denominator
        if bottom <= 128 and "." not in length.typed and (bottom & (bottom - 1) == 0 or "/" in length.typed):
            return f"{fraction_text(to_fraction(inches, bottom))} in"
        return f"{decimal_text(inches, PLACES)} in"
    if inches and not half_up(inches * denominator):
        return f"{decimal_text(inches, places_of(inches))} in"
    return f"{fraction_text(to_fraction(inches, denominator))} in"


def places_of(value: Fraction) -> int:
    """How many decimal places show the first two figures of what is smaller than one; 0 for anything else."""
    size, places = abs(value), 0
    while size and size < 1 and places < 8:
        size, places = size * 10, places + 1
    return places + 1 if places else 0


def places_for(half_width: Fraction) -> int:
    """How many decimal places a length known to plus or minus so much is rounded to: to a third of that, or finer."""
    return next(places for places in range(1, 9) if Fraction(1, 2 * 10**places) <= half_width / 3 or places == 8)


def both(
    length: Length, denominator: int = 32, places: int = 1, half_width_mm: Fraction | None = None
) -> tuple[str, str]:
    """The length in the system it was typed in, then in the other.

    Where it is known better than the rounding of the other system would keep, by a caliper or a micrometer, the other
    is a decimal as fine as that: 1.25 mm ± 0.05 mm is 0.049 in, not 1/16 in.
    """
    if half_width_mm:
        places = max(places, places_for(half_width_mm))
    mm, inch = mm_text(length, places), inch_text(length, denominator)
    if length.system == INCH:
        return inch, mm
    if half_width_mm and half_width_mm < MM_PER_INCH / denominator / 2:
        inch = f"{decimal_text(length.inches, places_for(half_width_mm / MM_PER_INCH))} in"
    # Typed millimetres keep all their places: 62.55 mm is not shown as 62.6.
    return f"{decimal_text(length.mm, PLACES)} mm", inch

"""Lengths and sizes between millimetres and inches, and inch fractions as a rule shows them.

1 in = 25.4 mm exactly (ISO 80000-3; yard and pound agreement of 1959). 1 lbf = 4.4482216152605 N exactly.
"""

from fractions import Fraction

MM_PER_IN = 25.4
N_PER_LBF = 4.4482216152605
NM_PER_LBF_FT = N_PER_LBF * 0.3048
MPA_PER_KSI = N_PER_LBF * 1000 / MM_PER_IN**2

# A steel rule and a drill index go down to sixty-fourths.
FINEST = 64
# Nobody keeps an inch bolt this long in a drawer: a whole number from here up, with no unit, is millimetres.
MM_FROM = 13


def fraction_text(value: Fraction) -> str:
    """Write a number of inches as the trade does: '3/4', '1-1/2', '2'."""
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole}-{rest}" if whole else str(rest)


def on_the_rule(value: Fraction) -> bool:
    """Say whether this many inches falls on a mark of a rule divided into sixty-fourths."""
    return FINEST % value.denominator == 0


def number_text(value: float | Fraction) -> str:
    """Write a number with no trailing noughts: '25', '1.25', '0.6'."""
    if isinstance(value, Fraction):
        value = float(value)
    return f"{value:.4f}".rstrip("0").rstrip(".")

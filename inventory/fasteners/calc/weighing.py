"""Counting by weight: weigh some, weigh the lot, and say how far the number can be trusted.

n = W / w with w = s / k: the lot's weight over the mean weight of k pieces weighed together as s.
Uncertainty after JCGM 100:2008 (GUM): a scale of division d reads within ±d/2, a standard uncertainty of
d/√12 (4.3.7); each weight is a difference of two readings; pieces differ among themselves by a share c, which adds
c·√(n + n²/k); parts combine by root sum of squares (5.1.2); stated at k = 2, about 95 % (6.3.3).
"""

from dataclasses import dataclass
from math import ceil, sqrt

# Bolts from one box differ by about this share of their weight (common practice, no source).
PIECE_SCATTER = 0.005


@dataclass(frozen=True, slots=True)
class Counted:
    """`pieces` is the nearest whole number. `plus_minus` at 95 %. `too_coarse`: it may be off by one or more.

    better_sample: pieces to weigh first for a sure count, or None when no sample on this scale would do.
    """

    pieces: int
    exact: float
    plus_minus: float
    too_coarse: bool
    better_sample: int | None


def count_by_weight(
    *,
    sample_pieces: int,
    sample_weight: float,
    total_weight: float,
    division: float,
    piece_scatter: float = PIECE_SCATTER,
) -> Counted:
    """How many pieces weigh `total_weight`. Weights without the box, all in one unit; division: of the scale.

    ValueError names what cannot be: a sample of nothing, a weight below it, a scale without divisions.
    """
    wrong = {
        "sample_pieces": sample_pieces < 1,
        "sample_weight": sample_weight <= 0,
        "total_weight": total_weight < 0,
        "division": division <= 0,
        "piece_scatter": piece_scatter < 0,
    }
    if any(wrong.values()):
        raise ValueError(", ".join(name for name, is_wrong in wrong.items() if is_wrong))
    piece = sample_weight / sample_pieces
    number = total_weight / piece
    spread = _plus_minus(number, sample_pieces, piece, division, piece_scatter)
    return Counted(
        pieces=round(number),
        exact=number,
        plus_minus=spread,
        too_coarse=spread >= 0.5,
        better_sample=_better_sample(number, sample_pieces, piece, division, piece_scatter),
    )


def _plus_minus(number: float, sample: int, piece: float, division: float, scatter: float) -> float:
    reading = division / sqrt(12) * sqrt(2)
    lot = reading / piece
    sampling = number * reading / (sample * piece)
    varying = scatter * sqrt(number + number**2 / sample)
    return 2 * sqrt(lot**2 + sampling**2 + varying**2)


def _better_sample(number: float, sample: int, piece: float, division: float, scatter: float) -> int | None:
    """The smallest sample, by steps of about a fifth, that brings the spread under half a piece."""
    while sample <= max(number, 1):
        if _plus_minus(number, sample, piece, division, scatter) < 0.5:
            return sample
        sample = ceil(sample * 1.2) if sample > 4 else sample + 1
    return None

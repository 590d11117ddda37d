"""Fit words into a rectangle by rule: nothing is ever cut, it wraps where it may and shrinks where it must.

Sizes are mm of type size (1 em). Widths come from `measure(text, weight)` in em. Heights of the face used, in em:
capitals and digits 0.70, ascenders 0.74, descenders 0.22 (read from the font file; a test holds them to it).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate

Measure = Callable[[str, int], float]

CAP = 0.70
TALL = 0.74
DEEP = 0.22
LINES = 5  # more lines than this read worse than smaller type


@dataclass(frozen=True)
class Fitted:
    """Lines of one size. `height` is of the whole block in mm, `first` from its top to the first baseline."""

    lines: tuple[str, ...]
    size: float
    weight: int
    pitch: float
    first: float
    height: float
    width: float


NOTHING = Fitted((), 0, 400, 0, 0, 0, 0)


def at_dots(address: str) -> list[str]:
    """An address in the pieces it may be wrapped into; the dot stays at the end of its line."""
    pieces = address.split("·")
    return [piece + "·" for piece in pieces[:-1]] + pieces[-1:]


def at_spaces(words: str) -> list[str]:
    """Words in the pieces they may be wrapped into; the space stays at the end and is dropped at a line's end."""
    pieces = [piece for piece in words.split(" ") if piece]
    return [piece + " " for piece in pieces[:-1]] + pieces[-1:]


def fit(
    pieces: Sequence[str], w: float, h: float, most: float, weight: int, measure: Measure, gain: float = 1.1
) -> Fitted:
    """The largest size up to `most` at which the pieces fit into w x h mm. More lines are taken only when
    the type grows by `gain`. Capitals and digits alone are set tighter, as they have no descenders."""
    if not any(pieces) or w <= 0 or h <= 0:
        return NOTHING
    upright = all(c.isdigit() or c.isupper() or c in "·- " for piece in pieces for c in piece)
    top, bottom, pitch = (CAP, 0.03, 0.92) if upright else (TALL, DEEP, 1.1)
    best = NOTHING
    for count in range(1, min(len(pieces), LINES) + 1):
        lines = _split(pieces, count, weight, measure)
        widest = max(measure(line, weight) for line in lines)
        tall = top + bottom + pitch * (len(lines) - 1)
        size = min(most, w / widest, h / tall)
        if size > best.size * gain:
            best = Fitted(tuple(lines), size, weight, pitch * size, top * size, tall * size, widest * size)
    return best


def _split(pieces: Sequence[str], count: int, weight: int, measure: Measure) -> list[str]:
    """The pieces over `count` lines so that the widest line is as narrow as can be."""
    ends = list(accumulate((measure(piece, weight) for piece in pieces), initial=0.0))
    total = len(pieces)
    # cost[i]: the widest line when the first i pieces are set; cut[k][i]: where line k then starts
    cost = list(ends)
    cuts = []
    for _ in range(count - 1):
        row, cut = [float("inf")] * (total + 1), [0] * (total + 1)
        for i in range(1, total + 1):
            row[i], cut[i] = min((max(cost[j], ends[i] - ends[j]), j) for j in range(i))
        cost = row
        cuts.append(cut)
    lines, end = [], total
    for cut in reversed(cuts):
        lines.append("".join(pieces[cut[end] : end]).strip())
        end = cut[end]
    lines.append("".join(pieces[:end]).strip())
    return [line for line in reversed(lines) if line]

"""Drawings of places as plain geometry: a rack or organizer from the front, a container or yard from above.

Lengths are units of the SVG's viewBox, 360 wide: on a phone one unit is about one CSS pixel. Nothing here has
a colour or a word of its own; `state` names what a stylesheet colours, and texts come in with the values.
Not to scale.
"""

from collections.abc import Sequence
from dataclasses import dataclass

WIDTH = 360.0
EDGE = 1.0  # half the frame's 2-unit line, so that it is not cut off
LETTER = 0.58  # advance of a character of the face in use, in units of its size, on the wide side


@dataclass(frozen=True, slots=True)
class Thing:
    """A cell of a front, or a place in a plan. `ref` comes back untouched with its box."""

    ref: object
    label: str
    row: int = 0
    col: int = 0
    rows: int = 1
    cols: int = 1
    state: str = ""
    side: str = ""


@dataclass(frozen=True, slots=True)
class Box:
    x: float
    y: float
    width: float
    height: float
    ref: object
    text: str
    size: float
    state: str

    @property
    def text_x(self) -> float:
        return round(self.x + self.width / 2, 2)

    @property
    def text_y(self) -> float:
        """The base line that puts capitals and figures (0.7 of the size high) in the middle."""
        return round(self.y + self.height / 2 + 0.35 * self.size, 2)


@dataclass(frozen=True, slots=True)
class Line:
    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True)
class Drawing:
    width: float
    height: float
    frame: tuple[float, float, float, float]
    boxes: tuple[Box, ...]
    lines: tuple[Line, ...] = ()
    gap: Line | None = None  # the doorway: a piece of the frame that is open


def fit(text: str, width: float, height: float, most: float, least: float = 9.0) -> tuple[str, float]:
    """The text and its size to stay within the box; cut with … where even the least size is too wide."""
    if not text:
        return "", least
    size = min(most, height * 0.62, width / (LETTER * len(text)))
    if size >= least:
        return text, round(size, 2)
    if height * 0.62 < least:
        return "", least
    fits = int(width / (LETTER * least))
    return (text if len(text) <= fits else text[: fits - 1] + "…" if fits > 2 else ""), least


def _box(x: float, y: float, width: float, height: float, thing: Thing, most: float) -> Box:
    text, size = fit(thing.label, width - 4, height, most)
    return Box(round(x, 2), round(y, 2), round(width, 2), round(height, 2), thing.ref, text, size, thing.state)


def row_height(rows: int) -> float:
    """High enough for a finger (24 units at least), low enough that a tall cabinet fits a phone's screen."""
    return max(26.0, min(42.0, 240.0 / rows))


def front(things: Sequence[Thing], row_cols: Sequence[int], *, shelves: bool) -> Drawing:
    """A rack (with its shelves as lines) or an organizer, seen from where a person stands before it.

    `row_cols` says how many cells each row has from the top down; each row fills the width.
    """
    rows = len(row_cols)
    pitch = row_height(rows)
    high = pitch * rows
    inner = WIDTH - 2 * EDGE
    gap = 3.0 if max(row_cols, default=1) <= 14 else 1.5
    boxes = []
    for thing in things:
        step = inner / row_cols[thing.row]
        boxes.append(
            _box(
                EDGE + step * thing.col + gap,
                EDGE + pitch * thing.row + gap + 1,
                step * thing.cols - 2 * gap,
                pitch * thing.rows - 2 * gap - 2,
                thing,
                most=19,
            )
        )
    lines = [
        Line(EDGE, EDGE + pitch * row, WIDTH - EDGE, EDGE + pitch * row) for row in range(1, rows if shelves else 1)
    ]
    return Drawing(WIDTH, high + 2 * EDGE, (EDGE, EDGE, inner, high), tuple(boxes), tuple(lines))


BAND = 60.0  # how far a rack stands out from its wall
CLEAR = 5.0  # between things, and between a thing and its wall
DOOR = 84.0


def plan(things: Sequence[Thing], *, door: bool) -> Drawing:
    """A container or yard from above, its door at the bottom: what stands along the walls, the rest between."""
    at = {side: [t for t in things if t.side == side] for side in ("left", "right", "back", "front")}
    middle = [t for t in things if t.side not in at]
    left = BAND + CLEAR if at["left"] else 0.0
    right = BAND + CLEAR if at["right"] else 0.0
    top = BAND + CLEAR if at["back"] else 0.0
    bottom = BAND + CLEAR if at["front"] else 0.0
    inner = WIDTH - 2 * EDGE
    free = inner - left - right - CLEAR
    across = max(1, min(len(middle), int(free // 100)))
    middle_rows = -(-len(middle) // across)
    body = max(
        110.0 if door or not middle else 0.0,
        64.0 * max(len(at["left"]), len(at["right"])),
        (BAND + CLEAR) * middle_rows + (30.0 if middle and (at["left"] or at["right"]) else 0.0),
    )
    high = top + body + bottom + CLEAR
    boxes = []

    def along(items: list[Thing], x: float, y: float, width: float, height: float, *, upright: bool) -> None:
        """Items side by side in a strip, the first one at its top or left end."""
        step = (height if upright else width) / max(1, len(items))
        for number, thing in enumerate(items):
            place = (x, y + step * number, width, step) if upright else (x + step * number, y, step, height)
            px, py, w, h = place
            boxes.append(_box(px, py, w - (0 if upright else CLEAR), h - (CLEAR if upright else 0), thing, most=26))

    x0, y0 = EDGE + CLEAR, EDGE + CLEAR
    along(at["back"], x0, y0, inner - CLEAR, BAND, upright=False)
    along(at["left"], x0, y0 + top, BAND, body, upright=True)
    along(at["right"], EDGE + inner - CLEAR - BAND, y0 + top, BAND, body, upright=True)
    along(
        at["front"],
        x0,
        y0 + top + body,
        (inner - CLEAR - DOOR) if door else inner - CLEAR,
        BAND,
        upright=False,
    )
    for row in range(middle_rows):
        line = middle[row * across : (row + 1) * across]
        pad = max(0.0, body - (BAND + CLEAR) * middle_rows) / 2
        y = y0 + top + pad + (BAND + CLEAR) * row
        along(line, x0 + left, y, free * len(line) / across, BAND, upright=False)
    gap = None
    if door:
        x1 = (WIDTH - EDGE - CLEAR - DOOR) if at["front"] else (WIDTH - DOOR) / 2
        gap = Line(x1, EDGE + high, x1 + DOOR, EDGE + high)
    return Drawing(WIDTH, round(high + 2 * EDGE, 2), (EDGE, EDGE, inner, round(high, 2)), tuple(boxes), (), gap)

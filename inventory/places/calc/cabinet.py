"""A cabinet of drawers from the front, to the scale of its drawers, with what each holds in short.

Lengths are CSS pixels: the drawing is as wide as its words need and is pushed sideways on a phone, not shrunk.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from .drawing import LETTER, fit

USUAL_MM = (55, 36)  # a drawer's face where nobody has measured it
PHONE = 350.0  # a cabinet of few drawers fills the width of a common phone
LEAST_W, LEAST_H = 72.0, 52.0  # room for a thumb, and for 'M10×1×100' under the drawer's number
HEAD, LINE, TEXT, LEAST_TEXT = 15.0, 14.0, 13.0, 10.5
EDGE, GAP = 2.0, 1.5


@dataclass(frozen=True, slots=True)
class Face:
    """A drawer as it is asked for: its place in the grid and what is to be written on it."""

    ref: object
    label: str
    row: int
    col: int
    rows: int
    cols: int
    lines: tuple[str, ...] = ()
    state: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    text: str
    x: float
    y: float
    size: float
    begins: bool = True  # a thing; False where one goes on from the line above


@dataclass(frozen=True, slots=True)
class Drawer:
    x: float
    y: float
    width: float
    height: float
    ref: object
    state: str
    label: Words
    words: tuple[Words, ...]
    dividers: tuple[float, ...]  # heights of the lines between things that share the drawer
    said: str  # everything it holds, in full
    cut: bool  # whether the words on it are less than that

    @property
    def right(self) -> float:
        return round(self.x + self.width, 1)


@dataclass(frozen=True, slots=True)
class Cabinet:
    width: float
    height: float
    drawers: tuple[Drawer, ...]

    @property
    def inner(self) -> tuple[float, float]:
        """Width and height of the frame, whose line lies one pixel in."""
        return round(self.width - 2, 1), round(self.height - 2, 1)


def cabinet(faces: Sequence[Face], rows: int, cols: int, width_mm: float, height_mm: float) -> Cabinet:
    """Every drawer face in proportion; one scale for both directions."""
    scale = max(LEAST_W / width_mm, LEAST_H / height_mm, (PHONE - 2 * EDGE) / (cols * width_mm))
    step_x, step_y = width_mm * scale, height_mm * scale
    drawers = tuple(_drawer(face, step_x, step_y) for face in faces)
    return Cabinet(round(cols * step_x + 2 * EDGE, 1), round(rows * step_y + 2 * EDGE, 1), drawers)


def _drawer(face: Face, step_x: float, step_y: float) -> Drawer:
    x, y = EDGE + face.col * step_x + GAP, EDGE + face.row * step_y + GAP
    width, height = face.cols * step_x - 2 * GAP, face.rows * step_y - 2 * GAP
    room = max(1, int((height - HEAD - 3) // LINE))
    words: list[Words] = []
    for thing in _written(face.lines, width - 10, room):
        for line in thing:
            text, size = fit(line, width - 10, LINE / 0.6, TEXT, LEAST_TEXT)
            down = HEAD + LINE * len(words) + 10
            words.append(Words(text, round(x + 5, 1), round(y + down, 1), size, begins=line is thing[0]))
    dividers = tuple(round(words_.y - 10, 1) for words_ in words[1:] if words_.begins)
    label = Words(face.label, round(x + 5, 1), round(y + 12, 1), 11.0)
    said = ", ".join(face.lines)
    return Drawer(
        round(x, 1),
        round(y, 1),
        round(width, 1),
        round(height, 1),
        face.ref,
        face.state,
        label,
        tuple(words),
        dividers,
        said,
        len(face.lines) != sum(one.begins for one in words) or any(one.text.endswith("…") for one in words),
    )


def _written(lines: tuple[str, ...], width: float, room: int) -> list[tuple[str, ...]]:
    """Each thing on a line, or on two where one is too narrow for it and there is room."""
    if len(lines) > room:
        lines = (*lines[: room - 1], f"+ {len(lines) - room + 1} more") if room > 1 else (f"{len(lines)} things",)
    spare = room - len(lines)
    written = []
    for line in lines:
        broken = _broken(line, width) if spare else (line,)
        spare -= len(broken) - 1
        written.append(broken)
    return written


def _broken(line: str, width: float) -> tuple[str, ...]:
    """'5/16-24', '×1-1/4' where both do not fit side by side."""
    most = int(width / (LETTER * LEAST_TEXT))
    ends = [at for at, letter in enumerate(line) if letter in "× " and 0 < at <= most]
    return (line[: ends[-1]], line[ends[-1] :].strip()) if len(line) > most and ends else (line,)

"""Grids: how the cells of a rack or an organizer are numbered, joined and left out.

Rows and columns are counted from 0 at the top left, as the grid is seen from where a person stands.
The numbering is what is painted on the cells, and may begin at any corner. Numbers belong to the cell
they are stuck on: joining two cells or leaving one unused never renumbers another.

Common practice, no published source. The letters I and O are left out, because on a greasy label they
read as 1 and 0.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

MOST_ROWS = 40
MOST_COLS = 60

CORNERS = ("top-left", "top-right", "bottom-left", "bottom-right")
ALONG = ("row", "column")
STYLES = ("numbers", "letters")

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass
class GridError(Exception):
    """The grid cannot be so. `reason` is one of: size, outside, overlap, ragged, twice, numbering."""

    reason: str
    row: int | None = None
    col: int | None = None
    label: str = ""


@dataclass(frozen=True, slots=True)
class Numbering:
    """How cells are numbered.

    corner: the cell that comes first. along: whether the next number is beside it or above/below it.
    restart: each row (or column) begins again at `first`. style: plain numbers, or a letter for the row and
    a number in it (B3). digits: at least so many figures (2 makes 03).
    """

    corner: str = "top-left"
    along: str = "row"
    restart: bool = False
    style: str = "numbers"
    first: int = 1
    digits: int = 1

    def __post_init__(self) -> None:
        known = self.corner in CORNERS and self.along in ALONG and self.style in STYLES
        if not (known and 0 <= self.first <= 9999 and 1 <= self.digits <= 4):
            raise GridError("numbering")


@dataclass(frozen=True, slots=True)
class Row:
    """One row: how many cells, and what is its own: another first number, or counted the other way round."""

    cols: int
    first: int | None = None
    backwards: bool = False


@dataclass(frozen=True, slots=True)
class Span:
    """A rectangle of cells joined to one: its top left cell and its size in cells."""

    row: int
    col: int
    rows: int = 1
    cols: int = 1

    def squares(self) -> list[tuple[int, int]]:
        return [(self.row + r, self.col + c) for r in range(self.rows) for c in range(self.cols)]


@dataclass(frozen=True, slots=True)
class Cell:
    row: int
    col: int
    rows: int
    cols: int
    label: str
    unused: bool = False


def even_rows(rows: int, cols: int) -> tuple[Row, ...]:
    """A grid whose rows are all alike."""
    return (Row(cols),) * rows


def row_letter(number: int) -> str:
    """The letter of the row with this number from 0: A to Z without I and O, then AA, AB, …"""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, len(LETTERS))
        text = LETTERS[rest] + text
    return text


def row_labels(count: int, numbering: Numbering) -> tuple[str, ...]:
    """What the rows are called from the top down, as the shelves of a rack: 1 is at the numbering's corner."""
    names = [row_letter(n) if numbering.style == "letters" else str(n + 1) for n in range(count)]
    return tuple(names if numbering.corner.startswith("top") else reversed(names))


def number_cells(
    rows: Sequence[Row],
    numbering: Numbering,
    *,
    joined: Collection[Span] = (),
    unused: Collection[tuple[int, int]] = (),
) -> tuple[Cell, ...]:
    """All cells in the order of their numbers; those covered by a joined neighbour are left out.

    A joined cell carries the number that comes first among those it covers. Raises GridError.
    """
    check_size(rows)
    labels = square_labels(rows, numbering)
    cover = check_spans(rows, joined)
    for square in unused:
        if square not in labels:
            raise GridError("outside", *square)
        if square in cover:
            raise GridError("overlap", *square)
    cells, done = [], set()
    for square, label in labels.items():
        span = cover.get(square, Span(*square))
        if span not in done:
            done.add(span)
            cells.append(Cell(span.row, span.col, span.rows, span.cols, label, square in unused))
    return tuple(cells)


def check_size(rows: Sequence[Row]) -> None:
    if not 1 <= len(rows) <= MOST_ROWS:
        raise GridError("size")
    for number, row in enumerate(rows):
        if not 0 <= row.cols <= MOST_COLS:
            raise GridError("size", row=number)


def check_spans(rows: Sequence[Row], joined: Collection[Span]) -> dict[tuple[int, int], Span]:
    """Which span covers a square. Joined cells lie within the grid, apart, over rows that are divided alike."""
    cover: dict[tuple[int, int], Span] = {}
    for span in joined:
        for row, col in span.squares():
            if not (0 <= row < len(rows) and 0 <= col < rows[row].cols):
                raise GridError("outside", row, col)
            if rows[row].cols != rows[span.row].cols:
                raise GridError("ragged", row, col)
            if (row, col) in cover:
                raise GridError("overlap", row, col)
            cover[row, col] = span
    return cover


def square_labels(rows: Sequence[Row], numbering: Numbering) -> dict[tuple[int, int], str]:
    """The label of every square, in the order of the numbers.

    Labels are unique in the whole grid, or within each row when numbers restart there (then the row is part
    of the address, as the shelf of a rack is). Raises GridError 'twice' where a row's own first number runs
    into another row's.
    """
    top_first = numbering.corner.startswith("top")
    down = range(len(rows)) if top_first else range(len(rows) - 1, -1, -1)
    lettered = numbering.style == "letters"
    labels: dict[tuple[int, int], str] = {}
    if lettered or numbering.along == "row":
        number = numbering.first
        for nth, row in enumerate(down):
            if numbering.restart or lettered:
                number = numbering.first
            if rows[row].first is not None:
                number = rows[row].first
            for col in _across(rows[row], numbering):
                letter = row_letter(nth) if lettered else ""
                labels[row, col] = letter + str(number).zfill(numbering.digits)
                number += 1
    else:
        if any(row.first is not None or row.backwards for row in rows):
            raise GridError("numbering")
        number = numbering.first
        widest = max(row.cols for row in rows)
        for col in _across(Row(widest), numbering):
            if numbering.restart:
                number = numbering.first
            for row in down:
                if col < rows[row].cols:
                    labels[row, col] = str(number).zfill(numbering.digits)
                    number += 1
    _check_unique(labels, by_row=numbering.restart and numbering.along == "row", by_col=numbering.restart)
    return labels


def _across(row: Row, numbering: Numbering) -> range:
    from_left = numbering.corner.endswith("left") != row.backwards
    return range(row.cols) if from_left else range(row.cols - 1, -1, -1)


def _check_unique(labels: dict[tuple[int, int], str], *, by_row: bool, by_col: bool) -> None:
    seen = set()
    for (row, col), label in labels.items():
        scope = row if by_row else col if by_col else 0
        if (scope, label) in seen:
            raise GridError("twice", row, col, label)
        seen.add((scope, label))

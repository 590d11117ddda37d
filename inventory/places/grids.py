"""A rack, an organizer or a shelf as the grid it is: its rows, and which place has which cell.

In a rack the rows are its shelves and the cells are their bins; an organizer has its drawers directly; a shelf that
stands alone is a grid of one row.
"""

from dataclasses import dataclass, field

from .calc.grid import GridError, Numbering, Row, Span, number_cells
from .models import Kind, Location

CELL_KIND = {Kind.RACK: Kind.BIN, Kind.SHELF: Kind.BIN, Kind.ORGANIZER: Kind.DRAWER}
REFUSALS = {
    "size": "A grid has 1 to 40 rows of up to 60 cells each.",
    "outside": "A joined or unused cell would lie outside the grid. Split it first.",
    "overlap": "Two joined cells would overlap.",
    "ragged": "Cells can only be joined over rows that are divided alike.",
    "twice": "The number {label} would come twice. Let a row begin with another number.",
    "numbering": "Counting by column goes with rows that are all numbered alike.",
}


def refusal(error: GridError) -> str:
    """What to tell a person about a grid that cannot be."""
    return REFUSALS[error.reason].format(label=error.label)


@dataclass
class Grid:
    holder: Location
    shelves: list[Location] = field(default_factory=list)  # of a rack, from the top
    cells: dict[tuple[int, int], Location] = field(default_factory=dict)  # by row and column

    @property
    def has_shelves(self) -> bool:
        return self.holder.kind == Kind.RACK

    @property
    def row_cols(self) -> list[int]:
        if self.has_shelves:
            return [shelf.cols or 0 for shelf in self.shelves]
        return [self.holder.cols or 0] * (self.holder.rows or 0)

    @property
    def numbering(self) -> Numbering:
        return numbering_of(self.holder)

    def rows(self) -> tuple[Row, ...]:
        own = self.holder.numbering.get("rows", {})
        return tuple(Row(cols, **own.get(str(number), {})) for number, cols in enumerate(self.row_cols))

    def labels(self) -> dict[tuple[int, int], str]:
        """What each cell would be called by the numbering alone. Raises GridError."""
        spans = [Span(row, col, c.row_span, c.col_span) for (row, col), c in self.cells.items()]
        joined = [span for span in spans if span.rows * span.cols > 1]
        return {(cell.row, cell.col): cell.label for cell in number_cells(self.rows(), self.numbering, joined=joined)}

    def parent_of(self, row: int) -> Location:
        """The place that a cell of this row belongs to: the shelf in a rack, else the holder itself."""
        return self.shelves[row] if self.has_shelves else self.holder

    def squares(self) -> dict[tuple[int, int], Location]:
        """Which cell covers a square; squares nobody covers are not in it."""
        return {
            square: cell
            for (row, col), cell in self.cells.items()
            for square in Span(row, col, cell.row_span, cell.col_span).squares()
        }

    def square_of(self, cell: Location) -> tuple[int, int] | None:
        """The row and column of a cell (its top left ones where it is joined); None for what has no cell here."""
        return next((square for square, one in self.cells.items() if one.pk == cell.pk), None)

    def in_order(self) -> list[Location]:
        """The cells as their numbers go; shelf by shelf where numbers begin again on each."""
        by_shelf = self.has_shelves and self.numbering.restart
        key = {cell.pk: (row if by_shelf else 0, *as_number(cell.short)) for (row, _), cell in self.cells.items()}
        return sorted(self.cells.values(), key=lambda cell: key[cell.pk])

    def neighbours(self, cell: Location) -> list[Location]:
        """Used cells beside this one that it could be joined with: of the same parent and as long on that edge."""
        row, col = self.square_of(cell)
        squares = self.squares()
        edges = [(row, col - 1), (row, col + cell.col_span), (row - 1, col), (row + cell.row_span, col)]
        found = [squares[edge] for edge in edges if edge in squares]
        return [
            other
            for other in found
            if other.parent_id == cell.parent_id
            and not other.unused
            and (
                (other.row, other.row_span) == (cell.row, cell.row_span)
                or (other.col, other.col_span) == (cell.col, cell.col_span)
            )
        ]


def as_number(short: str) -> tuple:
    """What short names are sorted by: figures by their size, the rest by length and letters (2, 10, A9, A10)."""
    letters = short.rstrip("0123456789")
    return (len(letters), letters, int(short[len(letters) :] or 0))


def numbering_of(holder: Location) -> Numbering:
    kept = {key: value for key, value in (holder.numbering or {}).items() if key != "rows"}
    return Numbering(**kept)


def holder_of(place: Location) -> Location | None:
    """The rack, organizer or lone shelf whose grid the place is, or has a cell or a row in; None for the rest."""
    if place.kind in (Kind.RACK, Kind.ORGANIZER):
        return place
    if place.kind == Kind.SHELF:
        return place.parent if place.parent and place.parent.kind == Kind.RACK and place.row is not None else place
    if place.row is not None and place.parent is not None:
        return holder_of(place.parent)
    return None


def free_cell(parent: Location | None, kind: str, short: str) -> dict[str, int]:
    """The row and column the grid keeps for this number in this place, where nobody has that cell; else {}."""
    holder = holder_of(parent) if parent and kind == CELL_KIND.get(parent.kind) else None
    if holder is None:
        return {}
    grid = load(holder)
    taken = grid.squares()
    try:
        labels = grid.labels()
    except GridError:
        return {}
    for (row, col), label in labels.items():
        if label == short and (row, col) not in taken and grid.parent_of(row).pk == parent.pk:
            return {"row": 0 if grid.has_shelves else row, "col": col}
    return {}


def load(holder: Location) -> Grid:
    """The grid with all its cells, in one query."""
    inside = Location.objects.filter(path__within=holder.path, retired_at=None, row__isnull=False)
    inside = inside.exclude(pk=holder.pk).order_by("row", "col", "pk")
    grid = Grid(holder)
    if grid.has_shelves:
        found = list(inside)
        grid.shelves = [place for place in found if place.parent_id == holder.pk and place.kind == Kind.SHELF]
        number = {shelf.pk: row for row, shelf in enumerate(grid.shelves)}
        for place in found:
            if place.parent_id in number:
                place.parent = grid.shelves[number[place.parent_id]]
                grid.cells[number[place.parent_id], place.col or 0] = place
    else:
        for place in inside.filter(parent=holder):
            place.parent = holder
            grid.cells[place.row, place.col or 0] = place
    return grid

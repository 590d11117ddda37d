"""Changes to racks and organizers: set one up, lay it out anew, join cells and part them, leave one unused."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass

from django.core.exceptions import ValidationError
from django.utils import timezone

from .actions import must_be_empty
from .calc.grid import GridError, Numbering, Row, Span, even_rows, number_cells, row_labels
from .changes import Edit, write
from .grids import CELL_KIND, Grid, as_number, holder_of, load, refusal
from .models import Kind, Location, LocationChange, Side

# Letters for racks by the wall they stand at. Letters, because a shelf's number is glued on: L then L2.
RACK_LETTERS = {Side.LEFT: "LMNPQ", Side.RIGHT: "RSTUV", Side.BACK: "BCDEF", Side.FRONT: "GHJK", Side.NONE: "WXYZA"}
RACK_NAMES = {Side.LEFT: "Left rack", Side.RIGHT: "Right rack", Side.BACK: "Back rack", Side.FRONT: "Rack by the door"}


@dataclass(frozen=True, slots=True)
class RackPlan:
    """A rack that is to be made. `bins` is for each shelf; 0 leaves the shelf undivided."""

    side: str
    short: str
    name: str
    shelves: int
    bins: int
    numbering: Numbering


def racks_along(walls: Mapping[str, int], *, shelves: int, bins: int, numbering: Numbering, from_door: bool):
    """Plans of racks that are all alike, so many along each wall, with their letters and names.

    With `from_door` the cells of a rack on the right are counted from its right end, which is the end at the door.
    """
    plans = []
    for side, count in walls.items():
        for number, letter in enumerate(RACK_LETTERS[side][:count], start=1):
            name = RACK_NAMES.get(side, "Rack") + (f" {number}" if count > 1 else "")
            corner = mirrored(numbering.corner) if from_door and side == Side.RIGHT else numbering.corner
            plan = RackPlan(side, letter, name, shelves, bins, Numbering(**{**asdict(numbering), "corner": corner}))
            plans.append(plan)
    return plans


def mirrored(corner: str) -> str:
    """The same corner of the other side."""
    up, side = corner.split("-")
    return f"{up}-{'left' if side == 'right' else 'right'}"


def kept(numbering: Numbering, rows: Mapping[int, Row] | None = None) -> dict:
    """A numbering as its place keeps it: what differs from the plain one, and rows of their own."""
    plain = asdict(Numbering())
    values = {key: value for key, value in asdict(numbering).items() if value != plain[key]}
    own = {
        str(number): {**({"first": row.first} if row.first is not None else {}), "backwards": row.backwards}
        for number, row in (rows or {}).items()
        if row.first is not None or row.backwards
    }
    return {**values, **({"rows": own} if own else {})}


def rack_places(plan: RackPlan, parent: Location | None, order: int = 0) -> list[Location]:
    """The rack, its shelves and their bins, not yet written."""
    rack = Location(
        parent=parent, kind=Kind.RACK, name=plan.name, short=plan.short, side=plan.side, order=order,
        rows=plan.shelves, cols=1, numbering=kept(plan.numbering),
    )  # fmt: skip
    shelves = [
        Location(parent=rack, kind=Kind.SHELF, short=label, row=row, col=0, order=row, rows=1, cols=plan.bins)
        for row, label in enumerate(shelf_labels(plan.shelves, plan.numbering))
    ]
    bins = []
    if plan.bins:
        for cell in _numbered(even_rows(plan.shelves, plan.bins), plan.numbering):
            bins.append(_bin(shelves[cell.row], Kind.BIN, 0, cell.col, cell.label))
    return [rack, *shelves, *bins]


def shelf_labels(count: int, numbering: Numbering) -> tuple[str, ...]:
    """Shelves are numbered whatever their bins are: L2, never LB."""
    return row_labels(count, Numbering(corner=numbering.corner))


def _numbered(rows: Sequence[Row], numbering: Numbering):
    try:
        return number_cells(rows, numbering)
    except GridError as error:
        raise ValidationError(refusal(error)) from error


def _bin(parent: Location, kind: str, row: int, col: int, label: str) -> Location:
    return Location(parent=parent, kind=kind, row=row, col=col, short=label, order=row * 100 + col)


def container_places(*, parent, name: str, short: str, racks: Sequence[RackPlan], **fields) -> list[Location]:
    """A container with its racks, shelves and bins, not yet written."""
    box = Location(parent=parent, kind=Kind.CONTAINER, name=name, short=short, **fields)
    return [box, *(place for n, plan in enumerate(racks) for place in rack_places(plan, box, order=n))]


def organizer_places(*, parent, name: str, short: str, rows: int, cols: int, numbering: Numbering, **fields):
    """An organizer with its drawers, not yet written."""
    cabinet = Location(
        parent=parent, kind=Kind.ORGANIZER, name=name, short=short, rows=rows, cols=cols,
        numbering=kept(numbering), **fields,
    )  # fmt: skip
    cells = _numbered(even_rows(rows, cols), numbering)
    return [cabinet, *(_bin(cabinet, Kind.DRAWER, cell.row, cell.col, cell.label) for cell in cells)]


def set_up(*, places: Sequence[Location], by) -> Location:
    """Write a set of new places, the outermost first, as one change. Answers the outermost.

    Raises ValidationError when an address is taken.
    """
    inside = len(places) - 1
    top = places[0]
    write(location=None, what=f"Set up {top.name or top.short} with {inside} places in it", by=by, made=places)
    return top


def lay_out(
    *, holder: Location, row_cols: Sequence[int], numbering: Numbering, own: Mapping[int, Row], anew: bool, by
) -> LocationChange:
    """Give a rack, organizer or shelf other rows and columns, or number it another way.

    row_cols: cells in each row from the top (an organizer's rows are all alike). own: rows with a numbering of their
    own. anew: all cells are numbered anew; else those there are keep what is stuck on them and new ones go on from it.
    Raises ValidationError for a grid that cannot be, NotEmpty for a cell that would go but holds something.
    """
    grid = load(holder)
    new_rows = tuple(
        Row(cols, own[number].first, own[number].backwards) if number in own else Row(cols)
        for number, cols in enumerate(row_cols)
    )
    stay, go = _sort_cells(grid, row_cols)
    gone_shelves = grid.shelves[len(row_cols) :]
    for place in [*gone_shelves, *go]:
        must_be_empty(place)
    now = timezone.now()
    edits: dict[int, Edit] = {p.pk: (p, {"retired_at": now}) for p in [*go, *gone_shelves]}
    made: list[Location] = []
    holder_fields = {"rows": len(row_cols), "numbering": kept(numbering, dict(enumerate(new_rows)))}
    parents = [holder] * len(row_cols)
    if grid.has_shelves:
        parents = _fit_shelves(grid, row_cols, numbering, anew, edits, made)
    else:
        holder_fields["cols"] = row_cols[0]
    labels = _labels(new_rows, numbering, stay)
    if anew:
        for square, cell in stay.items():
            edits[cell.pk] = (cell, {"short": labels[square]})
    taken = {cell.short for cell in stay.values()} if not anew else set()
    covered = {s for (r, c), cell in stay.items() for s in Span(r, c, cell.row_span, cell.col_span).squares()}
    free = [(square, label) for square, label in labels.items() if square not in covered]
    if not anew and not (numbering.restart or numbering.style == "letters") and stay:
        free = _go_on(free, taken, numbering)
    for (row, col), label in free:
        in_row = 0 if grid.has_shelves else row
        made.append(_bin(parents[row], CELL_KIND[holder.kind], in_row, col, label))
    return write(
        location=holder,
        what=f"Laid out {holder} anew",
        by=by,
        edits=[(holder, holder_fields), *edits.values()],
        made=made,
    )


def _sort_cells(grid: Grid, row_cols: Sequence[int]) -> tuple[dict, list[Location]]:
    """Cells that stay, by square, and those that lie outside the new grid."""
    stay, go = {}, []
    for (row, col), cell in grid.cells.items():
        inside = row < len(row_cols) and col < row_cols[row]
        if inside and (row + cell.row_span > len(row_cols) or col + cell.col_span > row_cols[row]):
            raise ValidationError(f"{cell} is joined over the new edge. Split it first.")
        if inside:
            stay[row, col] = cell
        else:
            go.append(cell)
    return stay, go


def _fit_shelves(grid: Grid, row_cols, numbering, anew: bool, edits: dict[int, Edit], made: list) -> list[Location]:
    """The shelves of a rack as it is to be, from the top; new ones come below those there are."""
    shelves = grid.shelves[: len(row_cols)]
    names = shelf_labels(len(row_cols), numbering)
    for number, shelf in enumerate(shelves):
        fields = {"cols": row_cols[number]} | ({"short": names[number]} if anew else {})
        edits[shelf.pk] = (shelf, fields)
    used = set() if anew else {shelf.short for shelf in shelves}
    for number in range(len(shelves), len(row_cols)):
        label = names[number]
        if label in used:
            label = str(max([int(s) for s in used if s.isdecimal()], default=0) + 1)
        used.add(label)
        below = grid.shelves[-1].row if grid.shelves else -1
        new = Location(
            parent=grid.holder, kind=Kind.SHELF, short=label, row=max(number, below + 1), col=0, order=number,
            rows=1, cols=row_cols[number],
        )  # fmt: skip
        shelves.append(new)
        made.append(new)
    return shelves


def _labels(rows: Sequence[Row], numbering: Numbering, stay: Mapping) -> dict[tuple[int, int], str]:
    joined = [
        Span(r, c, cell.row_span, cell.col_span) for (r, c), cell in stay.items() if cell.row_span * cell.col_span > 1
    ]
    try:
        return {(cell.row, cell.col): cell.label for cell in number_cells(rows, numbering, joined=joined)}
    except GridError as error:
        raise ValidationError(refusal(error)) from error


def _go_on(free: list, taken: set[str], numbering: Numbering) -> list:
    """Numbers after the highest there is, for cells that are added."""
    highest = max((int(label) for label in taken if label.isdecimal()), default=numbering.first - 1)
    return [(square, str(highest + nth).zfill(numbering.digits)) for nth, (square, _) in enumerate(free, start=1)]


def join(*, cell: Location, other: Location, by) -> LocationChange:
    """Two cells side by side become one; it keeps the number that comes first, and the other's address leads to it.

    Raises NotEmpty while the one that goes holds something, ValidationError when they aren't side by side.
    """
    if cell.parent_id != other.parent_id or cell.row is None or other.row is None:
        raise ValidationError("Only two cells of the same rack or organizer can be joined.")
    first, second = sorted((cell, other), key=lambda one: as_number(one.short))
    left, top = min(cell.col, other.col), min(cell.row, other.row)
    width = max(cell.col + cell.col_span, other.col + other.col_span) - left
    height = max(cell.row + cell.row_span, other.row + other.row_span) - top
    if width * height != cell.row_span * cell.col_span + other.row_span * other.col_span:
        raise ValidationError(f"{cell} and {other} don’t lie side by side. Pick its neighbour.")
    must_be_empty(second)
    keep = {"row": top, "col": left, "row_span": height, "col_span": width}
    edits: list[Edit] = [(second, {"retired_at": timezone.now()}), (first, keep)]
    change = write(location=holder_of(cell), what=f"Joined {second} to {first}", by=by, edits=edits)
    change.former.create(location=first, address=second.address, address_key=second.address_key)
    return change


def split(*, cell: Location, by) -> LocationChange:
    """A joined cell becomes single cells again; those that went come back with their numbers."""
    grid = load(holder_of(cell))
    squares = Span(*grid.square_of(cell), cell.row_span, cell.col_span).squares()[1:]
    rows_alone = grid.rows()
    labels = _labels(rows_alone, grid.numbering, {})
    went = {
        (one.row, one.col): one
        for one in Location.objects.filter(parent=cell.parent, retired_at__isnull=False, row__isnull=False).order_by(
            "pk"
        )
    }
    edits: list[Edit] = [(cell, {"row_span": 1, "col_span": 1})]
    made = []
    in_use = {one.short for one in grid.cells.values()}
    for at_row, col in squares:
        own = went.get((0 if grid.has_shelves else at_row, col))
        if own and own.short not in in_use:
            edits.append((own, {"retired_at": None}))
        else:
            label = labels[at_row, col]
            label = label if label not in in_use else f"{cell.short}{'BCDEFGH'[len(made) % 7]}"
            made.append(_bin(cell.parent, cell.kind, 0 if grid.has_shelves else at_row, col, label))
    return write(location=grid.holder, what=f"Split {cell} again", by=by, edits=edits, made=made)


def leave_unused(*, cell: Location, unused: bool, by) -> LocationChange:
    """A cell that can't be used (a post stands in it), or can be again. Raises NotEmpty while it holds something."""
    if cell.row is None:
        raise ValidationError(f"{cell} isn’t a cell of a rack or an organizer. Take it out of use instead.")
    if unused:
        must_be_empty(cell)
    said = f"Left {cell} unused" if unused else f"{cell} is used again"
    return write(location=cell, what=said, by=by, edits=[(cell, {"unused": unused})])

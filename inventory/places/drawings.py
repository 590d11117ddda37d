"""The drawing on a place's page, with the words that say what it shows."""

from collections.abc import Mapping
from dataclasses import dataclass

from inventory.web.slots import Inside

from .calc.cabinet import PHONE, USUAL_MM, Cabinet, Face, cabinet
from .calc.drawing import Drawing, Thing, front, plan
from .grids import Grid, holder_of
from .models import Kind, Location, Side

MOST_IN_PLAN = 30  # more than that is read as a list, not as a drawing
ENDS = {
    Side.LEFT: ("door", "back wall"),
    Side.RIGHT: ("back wall", "door"),
    Side.BACK: ("left wall", "right wall"),
    Side.FRONT: ("right wall", "left wall"),
}


@dataclass(frozen=True, slots=True)
class Picture:
    """`links`: each box leads to its place. Else the drawing is one picture, and leads to `whole` if that is given."""

    drawing: Drawing
    alt: str
    caption: str
    left: str = ""
    right: str = ""
    links: bool = False
    whole: Location | None = None


def count(number: int, one: str) -> str:
    return f"{number} {one}" if number == 1 else f"{number} {one}{'es' if one.endswith(('s', 'ch')) else 's'}"


def size(grid: Grid) -> str:
    """'3 shelves of 8 bins', '4 rows of 8 drawers', in words."""
    cols = grid.row_cols
    cell = "bin" if grid.holder.kind != Kind.ORGANIZER else "drawer"
    alike = len(set(cols)) == 1
    across = count(cols[0], cell) if alike and cols else f"{min(cols, default=0)} to {max(cols, default=0)} {cell}s"
    if grid.holder.kind == Kind.SHELF:
        return across
    rows = len(cols)
    row = ("shelf" if rows == 1 else "shelves") if grid.has_shelves else ("row" if rows == 1 else "rows")
    return f"{rows} {row}, not divided" if alike and cols and not cols[0] else f"{rows} {row} of {across}"


def of_grid(grid: Grid, *, here: Location | None = None, kinds: Mapping[int, int] | None = None) -> Picture | None:
    """A rack, organizer or shelf from the front. With a cell as `here` only that is filled and the rest is outline."""
    cols = grid.row_cols
    if not cols:
        return None
    kinds = kinds or {}
    is_cell = here is not None and grid.square_of(here) is not None
    things = [
        Thing(cell, "" if is_cell and cell.pk != here.pk else cell.short, row, col, cell.row_span, cell.col_span,
              _state(cell, here, kinds))
        for (row, col), cell in sorted(grid.cells.items(), key=lambda item: item[0])
    ]  # fmt: skip
    for row, number in enumerate(cols):
        if not number:
            shelf = grid.shelves[row]
            things.append(Thing(shelf, shelf.address, row, 0, 1, 1, _state(shelf, here, kinds)))
    drawing = front(things, [number or 1 for number in cols], shelves=grid.has_shelves)
    left, right = ENDS.get(grid.holder.side, ("", ""))
    name = grid.holder.title
    seen = "seen from the aisle" if left else "seen from the front"
    alt = f"{name}, {seen}: {size(grid)}."
    if is_cell:
        alt += f" {here.title} is filled in: {place_in_words(grid, here)}."
    caption = f"{name[:1].lower()}{name[1:]}, {seen}"
    return Picture(drawing, alt, caption, left, right, links=not is_cell, whole=grid.holder if is_cell else None)


@dataclass(frozen=True, slots=True)
class CabinetPicture:
    cabinet: Cabinet
    alt: str
    caption: str
    across: int  # drawers in a row

    @property
    def broad(self) -> bool:
        """Whether a phone shows only part of it at a time."""
        return self.cabinet.width > PHONE


def drawn_cabinet(grid: Grid, inside: Mapping[int, Inside]) -> CabinetPicture | None:
    """A cabinet to the scale of its drawers, each with what it holds in short."""
    holder, cols = grid.holder, grid.row_cols
    if not cols or not cols[0]:
        return None
    known = bool(holder.cell_width and holder.cell_height)
    faces = [
        Face(cell, cell.short, row, col, cell.row_span, cell.col_span, *_inside(cell, inside.get(cell.pk)))
        for (row, col), cell in sorted(grid.cells.items(), key=lambda item: item[0])
    ]
    drawn = cabinet(faces, len(cols), cols[0], holder.cell_width or USUAL_MM[0], holder.cell_height or USUAL_MM[1])
    scale = (
        f"to scale, drawers {holder.cell_width} × {holder.cell_height} mm"
        if known
        else "not to scale: say how wide and high its drawers are under Name and notes"
    )
    return CabinetPicture(drawn, f"{holder.title} from the front: {size(grid)}.", scale, cols[0])


def _inside(cell: Location, held: Inside | None) -> tuple[tuple[str, ...], str]:
    """The lines on a drawer and its state: low, unused, or empty where only its name says what belongs in it."""
    if cell.unused:
        return (), "unused"
    if held is None:
        return ((cell.name,) if cell.name else ()), "empty"
    return held.lines, " ".join(word for word, true in (("low", held.low), ("empty", not held.there)) if true)


def _state(place: Location, here: Location | None, kinds: Mapping[int, int]) -> str:
    """What the stylesheet colours: here, on (of the shelf whose page it is), unused, holds."""
    if here is not None and place.pk == here.pk:
        return "here"
    if place.unused:
        return "unused"
    on = here is not None and here.kind == Kind.SHELF and place.parent_id == here.pk
    return " ".join(word for word, true in (("on", on), ("holds", kinds.get(place.pk))) if true)


def place_in_words(grid: Grid, cell: Location) -> str:
    """'shelf 2 of 3 from the top, 6 of 8 from the left'."""
    row, col = grid.square_of(cell)
    cols = grid.row_cols
    across = f"{col + 1} of {cols[row]} from the left"
    if len(cols) == 1:
        return across
    return f"{'shelf' if grid.has_shelves else 'row'} {row + 1} of {len(cols)} from the top, {across}"


def of_plan(place: Location, inside: list[Location], *, here: Location | None = None, kinds=None) -> Picture | None:
    """A container or yard from above, with what stands in it."""
    if not 0 < len(inside) <= MOST_IN_PLAN:
        return None
    kinds = kinds or {}
    things = [
        Thing(child, child.short or child.name, state=_state(child, here, kinds), side=child.side) for child in inside
    ]
    door = place.kind == Kind.CONTAINER
    alt = f"{place.title} from above: {'; '.join(_stands(child) for child in inside[:12])}."
    if here is not None:
        alt += f" {here.title} is filled in."
    caption = f"{place.title}, from above{', the door below' if door else ''}"
    return Picture(plan(things, door=door), alt, caption, links=here is None, whole=place if here else None)


def _stands(place: Location) -> str:
    where = Side(place.side).label.lower() if place.side else ""
    return f"{place.title} {where}".strip()


def needs_plan_of(place: Location) -> Location | None:
    """The place whose plan shows where this one stands: its own, or its parent's where it has no drawing itself."""
    if holder_of(place) is not None:
        return None
    if place.kind in (Kind.SITE, Kind.CONTAINER, Kind.BENCH, Kind.VEHICLE):
        return place
    return place.parent if place.parent and place.parent.kind in (Kind.SITE, Kind.CONTAINER, Kind.BENCH) else None

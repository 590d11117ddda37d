"""Changes to the tree of places: add, rename, move a branch, take out of use, put in order, undo."""

from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from .changes import CannotUndo, Edit, place_address, plant, undo, write
from .grids import free_cell
from .models import Kind, Location, LocationChange

__all__ = ["CannotUndo", "NotEmpty", "add_place", "move_place", "place_address", "rename", "reorder", "retire", "undo"]


class NotEmpty(ValidationError):
    """A place that is to go still holds something. `holdings` are some of what is in it."""

    def __init__(self, place: Location, holdings: list):
        self.place, self.holdings = place, holdings
        things = ", ".join(f"{row.part} at {row.location}" for row in holdings[:3])
        super().__init__(f"{place} isn’t empty: {things}{' and more' if len(holdings) > 3 else ''}. Move that first.")


def add_place(
    *, kind: str, name: str = "", short: str = "", parent: Location | None = None, by=None, **fields: Any
) -> Location:
    """One new place in the tree, with its address and path; in a grid it takes the free cell of its number.

    Raises ValidationError when another place in use has the address.
    """
    short = short.strip().upper()
    cell = free_cell(parent, kind, short)
    place = Location(parent=parent, kind=kind, name=name.strip(), short=short, **(cell | fields))
    place.address, place.address_key, place.path = "-", "-", "-"
    place.clean_fields(exclude=["parent"])
    if not (place.name or place.short):
        raise ValidationError("Give it a name or a short name.")
    if by is None:
        plant([place])
    else:
        write(location=None, what=f"Made {place_address(parent, kind, place.short) or place.name}", by=by, made=[place])
    return place


def rename(*, place: Location, by, **fields: Any) -> LocationChange:
    """Change what a place is called and says (name, short, side, away, note); the branch below follows.

    Raises ValidationError when an address in the branch would clash.
    """
    was = str(place)
    fields["short"] = fields.get("short", place.short).strip().upper()
    if not (fields["short"] or fields.get("name", place.name)):
        raise ValidationError("Give it a name or a short name.")
    change_of_address = fields["short"] != place.short
    change = write(location=place, what=f"Changed {was}", by=by, edits=[(place, fields)])
    if change_of_address:
        change.what = f"{was} became {place}"
        change.save(update_fields=["what"])
    return change


def move_place(*, place: Location, to: Location | None, by, short: str | None = None, side: str = "") -> LocationChange:
    """A whole place with all it holds stands somewhere else: one move of the place, none of its parts.

    A bin that is put back where its number is free in the grid has its cell again.

    Raises ValidationError when it would stand inside itself, is there already, or its address is taken there.
    """
    if to is not None and to.path.startswith(place.path):
        raise ValidationError(f"{to} is inside {place}. Pick a place outside it.")
    if to == place.parent and place.side == side:
        raise ValidationError("It stands there already. Pick another place.")
    was = str(place)
    fields = {
        "parent_id": to.pk if to else None,
        "short": (place.short if short is None else short).strip().upper(),
        "side": side,
    }
    if to != place.parent:
        cell = {"row": None, "col": None, "row_span": 1, "col_span": 1}
        fields |= cell | free_cell(to, place.kind, fields["short"])
    if to is not None and to.kind == Kind.RACK and place.kind == Kind.SHELF and to != place.parent:
        below = to.children.filter(retired_at=None, row__isnull=False).order_by("row").last()
        fields |= {"row": below.row + 1 if below else 0, "col": 0}
    change = write(location=place, what=f"Moved {was} to {to or 'the top'}", by=by, edits=[(place, fields)])
    if str(place) != was:
        change.what = f"Moved {was} to {to or 'the top'}: now {place}"[:200]
        change.save(update_fields=["what"])
    return change


def lies_in(place: Location, limit: int = 4) -> list:
    """Some of what the place and everything in it hold."""
    holding = Location.holdings.rel.related_model
    rows = holding.objects.filter(location__path__within=place.path).select_related("part", "location")
    return list(rows.order_by("location__address_key", "pk")[:limit])


def must_be_empty(place: Location) -> None:
    """Raises NotEmpty, with what is in it, while the place or anything in it holds something."""
    if holdings := lies_in(place):
        raise NotEmpty(place, holdings)


@transaction.atomic
def retire(*, place: Location, by) -> LocationChange:
    """Take an empty place, with the empty places in it, out of use. Its history stays. Raises NotEmpty."""
    must_be_empty(place)
    now = timezone.now()
    branch = Location.objects.under(place).filter(retired_at=None)
    edits: list[Edit] = [(place if row.pk == place.pk else row, {"retired_at": now}) for row in branch]
    return write(location=place, what=f"Took {place} out of use", by=by, edits=edits)


def bring_back(*, place: Location, by) -> LocationChange:
    """A place that was out of use is used again, with those in it that went with it."""
    went = Location.objects.under(place).filter(retired_at=place.retired_at)
    edits: list[Edit] = [(place if row.pk == place.pk else row, {"retired_at": None}) for row in went]
    if place.parent and place.parent.retired_at:
        raise ValidationError(f"{place.parent.title} is out of use too. Bring that back first.")
    if place.row is not None and _cell_taken(place):
        edits[0][1].update(row=None, col=None)
    return write(location=place, what=f"Brought {place} back into use", by=by, edits=edits)


def _cell_taken(place: Location) -> bool:
    others = Location.objects.filter(parent=place.parent, row=place.row, col=place.col, retired_at=None)
    return others.exclude(pk=place.pk).exists()


def reorder(*, place: Location, up: bool, by) -> LocationChange | None:
    """Show a place one earlier or later among its neighbours. None when it is at the end already."""
    neighbours = list(Location.objects.filter(parent=place.parent, retired_at=None, row=None).in_order())
    at = next(number for number, row in enumerate(neighbours) if row.pk == place.pk)
    to = at - 1 if up else at + 1
    if not 0 <= to < len(neighbours):
        return None
    neighbours.insert(to, neighbours.pop(at))
    edits: list[Edit] = [(row, {"order": number}) for number, row in enumerate(neighbours) if row.order != number]
    said = "earlier" if up else "later"
    edits.sort(key=lambda edit: edit[0].pk != place.pk)
    return write(location=place, what=f"Put {place} one {said}", by=by, edits=edits)

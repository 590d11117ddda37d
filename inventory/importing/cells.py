"""Racks that a list made get cells, so that they are drawn as racks that were set up are."""

import re
from collections import defaultdict
from collections.abc import Sequence

from inventory.places.models import Kind, Location


def give_cells(new: Sequence[Location]) -> None:
    """Place the shelves of each new rack from the top, and the bins of each new shelf side by side, by their numbers.

    The list knows only the bins that hold something, so the drawing shows those and no gaps; laying the rack out anew
    adds the rest. A rack that holds more than shelves is left as a list.
    """
    inside: dict[int, list[Location]] = defaultdict(list)
    for place in new:
        if place.parent is not None:
            inside[id(place.parent)].append(place)
    for rack in new:
        shelves = inside[id(rack)]
        if rack.kind != Kind.RACK or not shelves or any(shelf.kind != Kind.SHELF for shelf in shelves):
            continue
        rack.rows, rack.cols = len(shelves), 1
        for row, shelf in enumerate(sorted(shelves, key=_number)):
            shelf.row, shelf.col, shelf.order = row, 0, row
            bins = sorted((place for place in inside[id(shelf)] if place.kind == Kind.BIN), key=_number)
            shelf.rows, shelf.cols = 1, len(bins)
            for col, place in enumerate(bins):
                place.row, place.col, place.order = 0, col, col


def _number(place: Location) -> list:
    """Sorts 2 before 14, and A before B."""
    return [(int(piece), "") if piece.isdigit() else (0, piece) for piece in re.findall(r"\d+|\D+", place.short)]

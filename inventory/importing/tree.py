"""The tree of places held in memory: finds the place that words mean, or plans the ones that are missing."""

import re
from collections import defaultdict

from inventory.places.actions import place_address
from inventory.places.calc.address import address_key, squeezed
from inventory.places.models import FormerAddress, Kind, Location, Side

from .calc.headings import plain
from .calc.place import Place, Step

LONGEST_SHORT = 12
LONGEST_ADDRESS = 120


class Unplaced(Exception):
    """The words fit several places, or would make an address that is too long. `code` says which."""

    def __init__(self, code: str):
        super().__init__(code)
        self.code = code


class Tree:
    """Answers with saved places, or with unsaved ones that `new` lists from the outside in."""

    def __init__(self):
        self.new: list[Location] = []
        self._children: dict[int | None, list[Location]] = defaultdict(list)  # by id() of the parent
        self._all: list[Location] = []
        self._keys: dict[str, Location] = {}
        self._squeezed: dict[str, set[Location]] = defaultdict(set)
        self._answers: dict[tuple, Location] = {}
        found = {place.pk: place for place in Location.objects.current().order_by("path")}
        for place in found.values():
            place.parent = found.get(place.parent_id)
            self._add(place)
        self._former = {
            row.address_key: found[row.location_id]
            for row in FormerAddress.objects.order_by("until")
            if row.location_id in found
        }

    def _add(self, place: Location) -> None:
        self._all.append(place)
        self._children[id(place.parent) if place.parent else None].append(place)
        if place.short:
            self._keys.setdefault(place.address_key, place)
            if place.pk:
                for typed in (place.address, place.address_key):
                    self._squeezed[squeezed(typed)].add(place)

    def find(self, place: Place) -> Location:
        """Raises Unplaced."""
        key = (place.steps, place.address)
        if key not in self._answers:
            self._answers[key] = self._find(place)
        return self._answers[key]

    def _find(self, place: Place) -> Location:
        if place.address:
            typed = address_key(place.address)
            if there := self._keys.get(typed) or self._former.get(typed):
                return there
            meant = self._squeezed.get(squeezed(typed), set()) | self._squeezed.get(squeezed(place.address), set())
            if len(meant) == 1:  # c1l2-14
                return next(iter(meant))
        at: Location | None = None
        for number, step in enumerate(place.steps):
            at = self._below(at, step) or self._make(at, step, alone=number == 0)
        return at

    def find_donor(self, words: str) -> Location:
        """The vehicle called that ('Corvane estate', 'D2', 'Corvane estate [D2]'); planned where there is none."""
        match = re.match(r"^(.+?)\s*\[([^\]]+)\]$", words)
        words, short = match.groups() if match else (words, "")
        vehicles = [p for p in self._all if p.kind == Kind.VEHICLE]
        name, key = plain(words), address_key(words)
        for place in vehicles:
            if plain(place.name) == name or place.address_key == key:
                return place
        if not short:
            taken = {p.address_key for p in self._all}
            short = next(f"D{n}" for n in range(1, 10_000) if f"D{n}" not in taken)
        return self._make(None, Step("vehicle", words, short), alone=False)

    def beside(self, place: Location) -> str:
        """'C1·L2 has 9 to 16' where a planned place would come beside cells that are numbered without a gap; else ''.

        With gaps the cells came from a list, which names only the bins that hold something.
        """
        parent = place.parent
        if place.pk or not (parent and parent.pk):
            return ""
        cells = [p.short for p in self._children[id(parent)] if p.pk and p.col is not None]
        numbers = sorted(int(short) for short in cells if short.isdecimal())
        whole = len(numbers) > 1 and numbers[-1] - numbers[0] + 1 == len(numbers)
        return f"{parent} has {numbers[0]} to {numbers[-1]}" if whole else ""

    def _below(self, parent: Location | None, step: Step) -> Location | None:
        """The child that the step means; else the only one at any depth; None where there is none."""
        near = self._children[id(parent) if parent else None]
        if found := self._fitting(near, step):
            return self._one(found)
        deep = [p for p in self._all if p not in near and (parent is None or self._inside(p, parent))]
        found = self._fitting(deep, step)
        return self._one(found) if found else None

    @staticmethod
    def _fitting(places: list[Location], step: Step) -> list[Location]:
        name, short = plain(step.name), step.short.upper()
        if named := [p for p in places if plain(p.name or p.title) == name]:
            return named
        if step.bare:
            return [p for p in places if p.kind == step.kind]
        return [p for p in places if _alike(p.kind, step.kind) and short and p.short == short]

    @staticmethod
    def _one(found: list[Location]) -> Location:
        if len(found) > 1:
            raise Unplaced("several")
        return found[0]

    @staticmethod
    def _inside(place: Location, parent: Location) -> bool:
        while place := place.parent:
            if place is parent:
                return True
        return False

    def _make(self, parent: Location | None, step: Step, *, alone: bool) -> Location:
        if parent is None and alone and step.kind != Kind.SITE:
            # the one yard the shop had before; a site of this very list is no sign of where the rest stands
            sites = [p for p in self._children[None] if p.kind == Kind.SITE and p.pk]
            parent = sites[0] if len(sites) == 1 else None
        place = Location(parent=parent, kind=step.kind, name=step.name[:80], short="", side=_side(step))
        if step.short:
            place.short = self._free_short(parent, step)
        place.address = place_address(parent, place.kind, place.short)
        place.address_key = address_key(place.address)
        if len(place.address) > LONGEST_ADDRESS:
            raise Unplaced("too-deep")
        self.new.append(place)
        self._add(place)
        return place

    def _free_short(self, parent: Location | None, step: Step) -> str:
        """The wanted piece; with a number after it where another place has that address."""
        wanted = step.short.upper()[:LONGEST_SHORT]
        for number in range(1, 10_000):
            short = wanted if number == 1 else f"{wanted[: LONGEST_SHORT - 5]}{_mark(wanted)}{number}"
            if address_key(place_address(parent, step.kind, short)) not in self._keys:
                return short
        raise Unplaced("several")


def _side(step: Step) -> str:
    """A 'left rack' stands along the left wall in the plan of what it is in."""
    first = step.name.split(" ")[0].lower()
    return first if step.kind == Kind.RACK and first in Side.values else Side.NONE


def _mark(wanted: str) -> str:
    return "-" if wanted[-1:].isdigit() else ""


def _alike(kind: str, other: str) -> bool:
    """A box and a drawer are easily taken for one another; a rack and a bin are not."""
    loose = {Kind.BIN, Kind.DRAWER}
    return kind == other or {kind, other} <= loose

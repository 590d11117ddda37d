"""What bringing in a list would do, row by row. Reads the shop, writes nothing."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from inventory.parts.hardware import key_of
from inventory.parts.models import Condition, Origin, Part, Unit
from inventory.places.models import Location

from .calc.headings import plain
from .calc.rows import Problem, Reading
from .cells import give_cells
from .models import ImportedRow
from .tree import Tree, Unplaced

PUT_IN, LIST_ONLY, KNOWN, CHANGED, LEFT_OUT, ERROR = "put_in", "list_only", "known", "changed", "left_out", "error"
ORDER = {ERROR: 0, CHANGED: 1, LEFT_OUT: 2, PUT_IN: 3, LIST_ONLY: 3, KNOWN: 5}
Progress = Callable[[int, int], None]  # (done, of)


def untold(done: int, of: int) -> None:
    """Nobody asked how far it is."""


@dataclass(slots=True)
class Planned:
    reading: Reading
    outcome: str
    part: Part | None = None
    place: Location | None = None
    new_part: bool = False
    problems: tuple[Problem, ...] = ()
    before: Decimal | None = None  # for CHANGED: how many the earlier list said


@dataclass(slots=True)
class Plan:
    rows: list[Planned] = field(default_factory=list)
    new_places: list[Location] = field(default_factory=list)
    new_parts: list[Part] = field(default_factory=list)

    @property
    def counts(self) -> dict[str, int]:
        counted = Counter(row.outcome for row in self.rows)
        return {name: counted[name] for name in ORDER} | {
            "new_places": len(self.new_places),
            "new_parts": len(self.new_parts),
            "to_do": counted[PUT_IN] + counted[LIST_ONLY],
        }

    @property
    def not_understood(self) -> list[int]:
        """The numbers of the rows that stay out, the first twenty."""
        return sorted(row.reading.row for row in self.rows if row.outcome == ERROR)[:20]

    def worst_first(self) -> list[Planned]:
        return sorted(self.rows, key=lambda row: (ORDER[row.outcome], not row.problems, row.reading.row))


def known_rows(fingerprints: Iterable[str]) -> dict[str, Decimal]:
    """The fingerprints among these that lists still standing have brought in, with how many each."""
    wanted = list(fingerprints)
    return {
        print_: quantity
        for start in range(0, len(wanted), 500)
        for print_, quantity in ImportedRow.objects.filter(
            fingerprint__in=wanted[start : start + 500], source__batch__undone_by=None
        ).values_list("fingerprint", "quantity")
    }


def make_plan(readings: Iterable[Reading], progress: Progress = untold) -> Plan:
    """Matches each row with the parts and places there are, and plans the ones that are missing."""
    plan = Plan()
    readings = list(readings)
    tree = Tree()
    names = {r.name for r in readings if r.name}
    parts = _PartList({plain(name) for name in names}, {key_of(name) for name in names} - {""})
    known = known_rows(r.fingerprint for r in readings if r.fingerprint)
    for reading in readings:  # places before donors: a donor that holds things is one of the places
        _place(reading, tree, known)
    for number, reading in enumerate(readings):
        plan.rows.append(_planned(reading, tree, parts, known))
        if number % 500 == 0:
            progress(number, len(readings))
    give_cells(tree.new)
    plan.new_places, plan.new_parts = tree.new, parts.new
    return plan


def _place(reading: Reading, tree: Tree, known: dict[str, Decimal]) -> Location | Problem | None:
    if reading.left_out or reading.errors or reading.fingerprint in known or not reading.place.steps:
        return None
    try:
        return tree.find(reading.place)
    except Unplaced as trouble:
        return Problem("place", trouble.code, reading.place_text)


def _planned(reading: Reading, tree: Tree, parts: "_PartList", known: dict[str, Decimal]) -> Planned:
    if reading.left_out:
        return Planned(reading, LEFT_OUT)
    if reading.errors:
        return Planned(reading, ERROR, problems=reading.errors)
    amount = reading.quantity.amount or Decimal(0)
    if reading.fingerprint in known:
        before = known[reading.fingerprint]
        return Planned(reading, KNOWN if before == amount else CHANGED, before=before)
    place = _place(reading, tree, known)
    if isinstance(place, Problem):
        return Planned(reading, ERROR, problems=(place,))
    donor = tree.find_donor(reading.donor) if reading.donor else None
    part, new = parts.match(reading, donor)
    outcome = PUT_IN if amount and place else LIST_ONLY
    beside = tree.beside(place) if place else ""
    remarks = (*reading.remarks, Problem("place", "beside", beside)) if beside else reading.remarks
    return Planned(reading, outcome, part, place, new, remarks)


class _PartList:
    """The shop's parts by what tells them apart; rows that fit none become new ones, once each."""

    def __init__(self, names: set[str], keys: set[str]):
        self.new: list[Part] = []
        self._parts: dict[tuple, Part] = {}
        self._notes: dict[int, list[str]] = defaultdict(list)
        fields = ("pk", "name", "fastener_key", "part_numbers", "condition", "origin", "side", "donor_id", "unit")
        for values in Part.objects.current().values_list(*fields).iterator(chunk_size=5000):
            if plain(values[1]) in names or values[2] in keys:
                part = Part(**dict(zip(fields, values, strict=True)))
                self._parts.setdefault(_identity(part, part.donor_id), part)

    def match(self, reading: Reading, donor: Location | None) -> tuple[Part, bool]:
        """(the part, whether it is new)"""
        part = Part(
            name=reading.name,
            part_numbers="\n".join(reading.numbers),
            other_names="\n".join(reading.other_names),
            condition=reading.condition or Condition.GOOD,
            origin=reading.origin or Origin.FOUND,
            side=reading.side,
            donor=donor,
            unit=reading.unit or Unit.PIECES,
            keep_at_least=reading.keep_at_least or 0,
            note=reading.note,
        )
        part.read_name()
        key = _identity(part, donor and (donor.pk or id(donor)))
        if there := self._parts.get(key):
            if there.pk is None and reading.note and reading.note not in there.note:
                there.note = f"{there.note}\n{reading.note}".strip()
            return there, False
        self._parts[key] = part
        self.new.append(part)
        return part, True


def _identity(part: Part, donor) -> tuple:
    """A fastener goes by what it is, anything else by its name."""
    numbers = frozenset("".join(c for c in n.casefold() if c.isalnum()) for n in part.number_list)
    return part.fastener_key or plain(part.name), numbers, part.condition, part.origin, part.side, donor, part.unit

"""What filling a cabinet would do, line by line. Reads the shop, writes nothing."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from inventory.parts import hardware
from inventory.parts.models import Origin, Part
from inventory.places.grids import load
from inventory.places.models import Location

from .calc.lines import Line

TROUBLE = {
    "line": "Give the drawer, then what is in it, as B3 M8x25 hex 8.8, 40.",
    "range": "For lengths it needs a size, as C1 M6 hex 8.8, lengths 10 to 50.",
    "lengths": "There is no usual length between those two.",
    "drawer": "This cabinet has no drawer of that name.",
    "further": "The range is longer than the cabinet: it has no drawers left.",
    "long": "Shorter, please: a name has up to 120 characters.",
}


@dataclass(slots=True)
class Planned:
    line: Line
    drawer: Location | None = None
    part: Part | None = None
    trouble: str = ""

    @property
    def new(self) -> bool:
        return self.part is not None and self.part.pk is None


def make_plan(cabinet: Location, lines: Iterable[Line]) -> list[Planned]:
    """Each line with its drawer and its part; a part that is not in the list yet is made once and not saved."""
    cells = [cell for cell in load(cabinet).in_order() if not cell.unused]
    at = {cell.short.upper(): number for number, cell in enumerate(cells)}
    lines = list(lines)
    known = _Known(line.what for line in lines)
    plan = []
    for line in lines:
        number = at.get(line.drawer)
        trouble = line.trouble or ("drawer" if number is None else "")
        if not trouble and number + line.further >= len(cells):
            trouble = "further"
        if not trouble and len(line.what) > 120:
            trouble = "long"
        if trouble:
            plan.append(Planned(line, trouble=TROUBLE[trouble]))
        else:
            plan.append(Planned(line, cells[number + line.further], known.part(line.what)))
    return plan


class _Known:
    """The parts there are by what they are, else by name; new ones once each. Two queries."""

    def __init__(self, texts: Iterable[str]):
        texts = set(texts)
        keys = {hardware.key_of(text) for text in texts} - {""}
        self._by_key: dict[str, Part] = {}
        for part in Part.objects.current().filter(fastener_key__in=keys).order_by("pk"):
            self._by_key.setdefault(part.fastener_key, part)
        self._by_name: dict[str, Part] = {}
        for part in Part.objects.current().filter(name__in=texts).order_by("pk"):
            self._by_name.setdefault(part.name.casefold(), part)

    def part(self, text: str) -> Part:
        key = hardware.key_of(text)
        book, word = (self._by_key, key) if key else (self._by_name, text.casefold())
        if word not in book:
            book[word] = Part(name=text, origin=Origin.BOUGHT)
            book[word].read_name()
        return book[word]


def counts(plan: Iterable[Planned]) -> list[tuple[Location, Part, Decimal]]:
    """How many of what are in which drawer, where the lines say so; the same thing twice in a drawer adds up."""
    found: dict = {}
    for row in plan:
        if row.line.count is not None and not row.trouble:
            pair = (row.drawer.pk, id(row.part))
            drawer, part, before = found.get(pair, (row.drawer, row.part, Decimal(0)))
            found[pair] = (drawer, part, before + row.line.count)
    return list(found.values())

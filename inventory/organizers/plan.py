"""What filling a cabinet would do, line by line. Reads the shop, writes nothing."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.parts import hardware
from inventory.parts.models import Holding, Origin, Part
from inventory.places.grids import load
from inventory.places.models import Location

from .calc.lines import Line, read_lines

TROUBLE = {
    "line": "Say what is in it, as B3 M8x25 hex 8.8, 40.",
    "range": "For lengths it needs a size, as C1 M6 hex 8.8, lengths 10 to 50.",
    "lengths": "There is no usual length between those two.",
    "drawer": "This cabinet has no drawer of that name.",
    "further": "No drawer is left for it.",
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


def make_plan(cabinet: Location, text: str, *, keep: int = 0) -> list[Planned]:
    """Each line with its drawer and its part; a part that is not in the list yet is made once and not saved.

    `keep`: how many at least are to be kept of each new part.
    """
    cells = [cell for cell in load(cabinet).in_order() if not cell.unused]
    at = {cell.short.upper(): number for number, cell in enumerate(cells)}
    lines = read_lines(text, at.keys())
    known = _Known((line.what for line in lines), keep)
    empty = _empty(cabinet, cells, but={at[line.drawer] + line.further for line in lines if line.drawer in at})
    plan, last = [], -1
    for line in lines:
        last = at[line.drawer] + line.further if line.drawer in at else _next(empty, last, len(cells))
        trouble = line.trouble or ("further" if last >= len(cells) else "long" if len(line.what) > 120 else "")
        if trouble:
            plan.append(Planned(line, trouble=TROUBLE[trouble]))
        else:
            plan.append(Planned(line, cells[last], known.part(line.what)))
    return plan


def _empty(cabinet: Location, cells: Sequence[Location], *, but: set[int]) -> list[int]:
    """The drawers that hold nothing, are meant for nothing, and are not named in the list either."""
    held = set(Holding.objects.inside(cabinet).filter(quantity__gt=0).values_list("location", flat=True))
    return [number for number, cell in enumerate(cells) if not cell.name and cell.pk not in held and number not in but]


def _next(empty: list[int], last: int, end: int) -> int:
    """The next empty drawer after the last one; `end` where there is none."""
    return next((number for number in empty if number > last), end)


class _Known:
    """The parts there are by what they are, else by name; new ones once each. Two queries."""

    def __init__(self, texts: Iterable[str], keep: int):
        self._keep, texts = Decimal(keep), set(texts)
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
            book[word] = Part(name=text, origin=Origin.BOUGHT, keep_at_least=self._keep)
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

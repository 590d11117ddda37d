"""What filling a cabinet would do, line by line. Reads the shop, writes nothing."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.parts import hardware
from inventory.parts.models import Holding, Origin, Part
from inventory.parts.queries import NEW, called
from inventory.places.grids import load
from inventory.places.models import Location
from inventory.web.picker import Choice

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
    """`which`: where it may be several parts, those and a new one; `part` is None until the form says which."""

    line: Line
    drawer: Location | None = None
    part: Part | None = None
    trouble: str = ""
    which: tuple[Choice, ...] = ()

    @property
    def new(self) -> bool:
        return self.part is not None and self.part.pk is None

    @property
    def asks(self) -> bool:
        return not self.trouble and self.part is None

    @property
    def field(self) -> str:
        """Under what name the form says which: the same drawer and thing, wherever in the list they stand."""
        return f"which-{self.drawer.pk}-{_word(self.line.what)}"

    @property
    def picked(self) -> str:
        return "" if self.part is None else str(self.part.pk or NEW)


def make_plan(cabinet: Location, text: str, *, keep: int = 0, said: Mapping[str, str] | None = None) -> list[Planned]:
    """Each line with its drawer and its part; a part that is not in the list yet is made once and not saved.

    `keep`: how many at least are to be kept of each new part. `said`: which part is meant, by the row's field.
    """
    cells = [cell for cell in load(cabinet).in_order() if not cell.unused]
    at = {cell.short.upper(): number for number, cell in enumerate(cells)}
    lines = read_lines(text, at.keys())
    known = _Known({line.what for line in lines}, keep)
    held = set(Holding.objects.inside(cabinet).filter(quantity__gt=0).values_list("location", "part"))
    taken = {at[line.drawer] + line.further for line in lines if line.drawer in at}
    empty = _empty(cells, held={place for place, _ in held}, but=taken)
    plan, last = [], -1
    for line in lines:
        last = at[line.drawer] + line.further if line.drawer in at else _take_next(empty, last, len(cells))
        trouble = line.trouble or ("further" if last >= len(cells) else "long" if len(line.what) > 120 else "")
        if trouble:
            plan.append(Planned(line, trouble=TROUBLE[trouble]))
        else:
            plan.append(_meant(Planned(line, cells[last]), known, held, said or {}))
    return plan


def _meant(row: Planned, known: "_Known", held: set[tuple[int, int]], said: Mapping[str, str]) -> Planned:
    """With its part: the one there is or a new one; of several the one that is said, or that lies in the drawer."""
    some = known.parts(row.line.what)
    if len(some) > 1:
        row.which = (*map(_choice, some), Choice(NEW, f"New part: {row.line.what}", "None of these"))
        there = [part for part in some if (row.drawer.pk, part.pk) in held]
        picked = said.get(row.field, "")
        some = there if not picked else [part for part in some if str(part.pk) == picked]
        if len(some) != 1 and picked != NEW:
            return row
    row.part = some[0] if some else known.new(row.line.what)
    return row


def _choice(part: Part) -> Choice:
    off = f" off {part.donor}" if part.donor else ""
    return Choice(str(part.pk), str(part), f"{part.get_condition_display()} · {part.get_origin_display()}{off}")


def _empty(cells: Sequence[Location], *, held: set[int], but: set[int]) -> list[int]:
    """The drawers that hold nothing, are meant for nothing, and are not named in the list either."""
    return [number for number, cell in enumerate(cells) if not cell.name and cell.pk not in held and number not in but]


def _take_next(empty: list[int], last: int, end: int) -> int:
    """The next empty drawer after the last one, empty no more; `end` where there is none."""
    number = next((number for number in empty if number > last), end)
    if number != end:
        empty.remove(number)
    return number


def _word(text: str) -> str:
    """The same for a fastener however it is written, and for anything else its name."""
    return hardware.key_of(text) or text.casefold()


class _Known:
    """The parts there are, by what is typed for them; new ones once each. Two queries."""

    def __init__(self, texts: set[str], keep: int):
        self._keep, self._new = Decimal(keep), {}
        self._named: dict[str, set[Part]] = defaultdict(set)
        self._keyed: dict[str, set[Part]] = defaultdict(set)
        for part in self._among({hardware.key_of(text) for text in texts} - {""}, {text.casefold() for text in texts}):
            self._keyed[part.fastener_key].add(part)
            for name in called(part):
                self._named[name].add(part)

    def _among(self, keys: set[str], names: set[str]) -> Iterable[Part]:
        """Compared here: the database takes capitals and small letters for the same in A to Z only."""
        current = Part.objects.current()
        rows = current.only("name", "side", "part_numbers", "fastener_key").iterator()
        numbers = [part.pk for part in rows if part.fastener_key in keys or not names.isdisjoint(called(part))]
        return current.filter(pk__in=numbers).select_related("donor")

    def parts(self, text: str) -> list[Part]:
        """Those the text may stand for."""
        key = hardware.key_of(text)
        found = self._named[text.casefold()] | (self._keyed[key] if key else set())
        return sorted(found, key=lambda part: part.pk)

    def new(self, text: str) -> Part:
        word = _word(text)
        if word not in self._new:
            self._new[word] = Part(name=text, origin=Origin.BOUGHT, keep_at_least=self._keep)
            self._new[word].read_name()
        return self._new[word]


def counts(plan: Iterable[Planned]) -> list[tuple[Location, Part, Decimal]]:
    """How many of what are in which drawer, where the lines say so; the same thing twice in a drawer adds up."""
    found: dict = {}
    for row in plan:
        if row.line.count is not None and not row.trouble:
            pair = (row.drawer.pk, id(row.part))
            drawer, part, before = found.get(pair, (row.drawer, row.part, Decimal(0)))
            found[pair] = (drawer, part, before + row.line.count)
    return list(found.values())

"""Whether the drawers can supply the fasteners a task uses: said on its page at once."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from inventory.fasteners import queries as fasteners
from inventory.fasteners.calc.reading import parse
from inventory.fasteners.calc.substitutes import substitutes
from inventory.fasteners.calc.writing import format as written
from inventory.fasteners.words_find import SubstituteSaid, substitute_said
from inventory.parts import hardware
from inventory.web.slots import Panel

from .calc.shares import Share
from .queries import spoken_for


@dataclass(frozen=True, slots=True)
class Supply:
    """A fastener that is wanted, and what of the shop's would do best; None where nothing would."""

    what: str
    count: int
    best: SubstituteSaid | None


def from_drawers(lines, shares: Mapping[int, Share]) -> list[Panel]:
    """The fasteners among what a task uses: its lines with their parts, and what each line has claimed.

    What other tasks have claimed is not there for this one. No query where the task uses no fasteners.
    """
    wanted = []
    for line in lines:
        fastener = parse(line.part.fastener).fastener if line.part and line.part.fastener else None
        left = ceil(line.quantity - line.used)
        if line.part is None and not line.got and (fastener := hardware.read_name(line.words)):
            left *= hardware.read(line.words).count or 1  # '4 x M8x25' is four of them
        if fastener and left > 0:
            wanted.append((fastener, left))
    if not wanted:
        return []
    own: dict[int, Decimal] = defaultdict(Decimal)
    for line in lines:
        if line.part_id and line.pk in shares:
            own[line.part_id] += shares[line.pk].claimed

    def for_others(ids):
        return {part: claimed - own.get(part, 0) for part, claimed in spoken_for(ids).items()}

    stock = fasteners.stock(*(fastener for fastener, _ in wanted), spoken_for=for_others)
    supplies = []
    for fastener, count in wanted:
        found = substitutes(fastener, stock, count=count)
        supplies.append(Supply(written(fastener), count, substitute_said(found[0]) if found else None))
    return [Panel("From the drawers", "buildlog/tasks/_supplies.html", {"supplies": supplies})]

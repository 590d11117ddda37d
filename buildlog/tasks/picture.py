"""The drawing of what holds what in one area, ready for the template."""

import textwrap
from dataclasses import dataclass

from buildlog.builds.models import Area

from .calc.network import BOX_HEIGHT, BOX_WIDTH, Arrow, draw
from .queries import Plan, Row
from .words import task_url

LETTERS = 25  # that fit in a line of a box
SAYS = {"started": "● Started", "ready": "▲ Ready", "held": "✕ Held", "done": "✓ Done"}


@dataclass(frozen=True, slots=True)
class Card:
    """A box with what stands in it. lines: the title, broken in two. foreign: it belongs to another area."""

    row: Row
    x: int
    y: int
    lines: tuple[str, ...]
    says: str
    url: str
    foreign: bool


@dataclass(frozen=True, slots=True)
class Picture:
    width: int
    height: int
    box_width: int
    box_height: int
    cards: tuple[Card, ...]
    arrows: tuple[Arrow, ...]


def of_area(plan: Plan, area: Area) -> Picture | None:
    """The area's open tasks and what they need directly, wherever that is; None when nothing hangs together."""
    unfinished = [row.task.pk for row in plan.of(area) if row.is_open]
    shown = dict.fromkeys(unfinished)
    for task in unfinished:
        shown |= dict.fromkeys(need for need in plan.needs[task] if plan.rows[need].state != "dropped")
    drawing = draw(shown, plan.needs)
    if not drawing.boxes:
        return None
    cards = tuple(_card(plan.rows[box.task], box.x, box.y, area) for box in drawing.boxes)
    return Picture(drawing.width, drawing.height, BOX_WIDTH, BOX_HEIGHT, cards, drawing.arrows)


def _card(row: Row, x: int, y: int, area: Area) -> Card:
    lines = textwrap.wrap(row.task.title, LETTERS, max_lines=2, placeholder="…")
    says = SAYS[row.state]
    if row.state == "held":
        says += f": {_by(row)}"
    elif row.is_open and row.task.hours_likely:
        says += f" · {row.task.hours_likely.normalize():f} h"
    foreign = row.task.area_id != area.pk
    return Card(
        row, x, y, tuple(lines), textwrap.shorten(says, LETTERS + 2, placeholder="…"), task_url(row.task.pk), foreign
    )


def _by(row: Row) -> str:
    """'2 tasks' when tasks hold it, else the first thing that does."""
    tasks = [said for said in row.says if said.lead == "after"]
    if tasks:
        return f"{len(tasks)} task{'' if len(tasks) == 1 else 's'}"
    return f"{row.says[0].lead} {row.says[0].text}"

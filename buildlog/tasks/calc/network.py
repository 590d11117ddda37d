"""Where to draw each task so that what holds what can be seen: needs to the left, arrows to the right.

Layers by longest path (each task one column right of the last of its needs); a need that reaches over several columns
gets a bend in each, so that no line runs behind a box; the order within columns by four sweeps of the barycentre
method (Sugiyama, Tagawa and Toda 1981). Needs that follow from others are left out: if the hatch needs the hinges and
the hinges need the blocks, the line from blocks to hatch says nothing new.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from buildlog.tasks.calc.circle import work_order

BOX_WIDTH, BOX_HEIGHT = 200, 76
GAP_ACROSS, GAP_DOWN = 50, 20
MARGIN = 8
SWEEPS = 4

Node = tuple  # ("task", id) or ("bend", task, need, column)


@dataclass(frozen=True, slots=True)
class Box:
    """The top left corner of a task's box, in drawing units (one is a CSS pixel)."""

    task: int
    x: int
    y: int


@dataclass(frozen=True, slots=True)
class Arrow:
    """From `need` to `task`; path: an SVG path that ends at the left edge of the task's box."""

    need: int
    task: int
    path: str


@dataclass(frozen=True, slots=True)
class Drawing:
    width: int
    height: int
    boxes: tuple[Box, ...]
    arrows: tuple[Arrow, ...]


def plain_needs(tasks: Iterable[int], needs: Mapping[int, Iterable[int]]) -> dict[int, tuple[int, ...]]:
    """The needs among `tasks` that don't follow from others. Raises graphlib.CycleError."""
    wanted = list(tasks)
    inside = set(wanted)
    direct = {task: [need for need in needs.get(task, ()) if need in inside] for task in wanted}
    reach: dict[int, set[int]] = {}
    for task in work_order(direct):
        reach[task] = set(direct[task]).union(*(reach[need] for need in direct[task]))
    return {
        task: tuple(need for need in direct[task] if not any(need in reach[other] for other in direct[task]))
        for task in wanted
    }


def draw(tasks: Iterable[int], needs: Mapping[int, Iterable[int]]) -> Drawing:
    """Boxes and arrows for tasks that have a need or are one among `tasks`; others would only float about."""
    plain = plain_needs(tasks, needs)
    linked = {task for task, own in plain.items() if own} | {need for own in plain.values() for need in own}
    plain = {task: own for task, own in plain.items() if task in linked}
    if not plain:
        return Drawing(0, 0, (), ())
    columns, before = _columns(plain)
    _sort(columns, before)
    rows = {node: row for nodes in columns for row, node in enumerate(nodes)}
    tallest = max(map(len, columns))
    middle = {
        node: MARGIN + round((row + (tallest - len(columns[_column(columns, node)])) / 2) * (BOX_HEIGHT + GAP_DOWN))
        for node, row in rows.items()
    }
    left = [MARGIN + number * (BOX_WIDTH + GAP_ACROSS) for number in range(len(columns))]
    at = {node: (left[number], middle[node]) for number, nodes in enumerate(columns) for node in nodes}
    boxes = tuple(Box(node[1], *at[node]) for nodes in columns for node in nodes if node[0] == "task")
    arrows = tuple(Arrow(need, task, _path(need, task, at)) for task, own in plain.items() for need in own)
    return Drawing(
        width=left[-1] + BOX_WIDTH + MARGIN,
        height=2 * MARGIN + tallest * BOX_HEIGHT + (tallest - 1) * GAP_DOWN,
        boxes=boxes,
        arrows=arrows,
    )


def _columns(plain: Mapping[int, tuple[int, ...]]) -> tuple[list[list[Node]], dict[Node, list[Node]]]:
    """Nodes by column, and for each node its neighbours in the column to the left."""
    depth: dict[int, int] = {}
    for task in work_order(plain):
        depth[task] = 1 + max((depth[need] for need in plain[task]), default=-1)
    columns: list[list[Node]] = [[] for _ in range(max(depth.values()) + 1)]
    for task in plain:
        columns[depth[task]].append(("task", task))
    before: dict[Node, list[Node]] = defaultdict(list)
    for task, own in plain.items():
        for need in own:
            last: Node = ("task", need)
            for number in range(depth[need] + 1, depth[task]):
                bend: Node = ("bend", task, need, number)
                columns[number].append(bend)
                before[bend].append(last)
                last = bend
            before["task", task].append(last)
    return columns, before


def _sort(columns: list[list[Node]], before: Mapping[Node, list[Node]]) -> None:
    """Puts each column in the order of the middle of its neighbours, left to right and back."""
    after: dict[Node, list[Node]] = defaultdict(list)
    for node, neighbours in before.items():
        for neighbour in neighbours:
            after[neighbour].append(node)
    for sweep in range(SWEEPS):
        forward = sweep % 2 == 0
        neighbours = before if forward else after
        for nodes in columns if forward else reversed(columns):
            row = {node: number / len(some) for some in columns for number, node in enumerate(some)}
            centre = {
                node: sum(row[near] for near in neighbours[node]) / len(neighbours[node])
                if neighbours.get(node)
                else row[node]
                for node in nodes
            }
            nodes.sort(key=centre.__getitem__)


def _column(columns: list[list[Node]], node: Node) -> int:
    return next(number for number, nodes in enumerate(columns) if node in nodes)


def _path(need: int, task: int, at: Mapping[Node, tuple[int, int]]) -> str:
    """A curve from box to box that runs level through its bends."""
    half = BOX_HEIGHT // 2
    x, y = at["task", need]
    x, y = x + BOX_WIDTH, y + half
    path = [f"M{x} {y}"]
    bends = sorted(node for node in at if node[0] == "bend" and node[1:3] == (task, need))
    for node in [*bends, ("task", task)]:
        next_x, next_y = at[node]
        next_y += half
        across = (next_x - x) // 2
        path.append(f"C{x + across} {y} {next_x - across} {next_y} {next_x} {next_y}")
        x, y = next_x, next_y
        if node[0] == "bend":
            x += BOX_WIDTH
            path.append(f"H{x}")
    return " ".join(path)

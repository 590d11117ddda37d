"""Drawings for a story: plain shapes with the names of their kinds, which a template turns into SVG.

Units are CSS pixels. Bars and maps are narrow enough to be read whole on a phone; a picture file is drawn larger.
"""

import textwrap
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

WIDTH, MARGIN = 960, 24
NARROW, EDGE = 480, 16
ROW, BAR, FIGURE = 58, 22, 100  # of the bars: one with its name, its thickness, room for what it says
LETTERS = 36  # of a name over a bar or a box
NODE, GAP, BAND = 22, 38, 14  # of the map: width of a source, space between, thickness for one kind of part


@dataclass(frozen=True, slots=True)
class Shape:
    """tag: rect, path, text or image; kind: what its colour says; the rest are attributes."""

    tag: str
    kind: str
    attributes: dict = field(default_factory=dict)
    text: str = ""


@dataclass(frozen=True, slots=True)
class Drawing:
    """alt says the same in words."""

    title: str
    width: int
    height: int
    shapes: tuple[Shape, ...]
    alt: str


def short(text: str, letters: int = LETTERS) -> str:
    return textwrap.shorten(text, letters, placeholder="…") or text[:letters]


def words(x: float, y: float, text: str, kind: str = "name", anchor: str = "start") -> Shape:
    return Shape("text", kind, {"x": round(x, 1), "y": round(y, 1), "text-anchor": anchor}, text)


def box(x: float, y: float, width: float, height: float, kind: str) -> Shape:
    return Shape("rect", kind, {name: round(value, 1) for name, value in
                                (("x", x), ("y", y), ("width", width), ("height", height))})  # fmt: skip


def bars(title: str, rows: Sequence[tuple[str, int, str]]) -> Drawing:
    """[(name, amount, amount in words)] as bars under their names, the longest over the whole width."""
    most = max((amount for _, amount, _ in rows), default=1) or 1
    room = NARROW - 2 * EDGE - FIGURE
    shapes = [words(EDGE, 34, title, "title")]
    for number, (name, amount, said) in enumerate(rows):
        y = 52 + number * ROW
        length = max(room * amount / most, 2)
        shapes += [
            words(EDGE, y + 17, short(name)),
            box(EDGE, y + 25, length, BAR, "amount"),
            words(EDGE + length + 8, y + 42, said, "figure"),
        ]
    alt = f"{title}: " + ", ".join(f"{name} {said}" for name, _, said in rows)
    return Drawing(title, NARROW, 52 + len(rows) * ROW + EDGE, tuple(shapes), alt)


def flows(title: str, counts: Mapping[tuple[str, str], int]) -> Drawing:
    """{(where from, where to): how many}: sources at the left, what they went into at the right, bands between.

    Names stand over their boxes, the right column half a row lower, so that no two of them meet.
    """
    left, right = defaultdict(int), defaultdict(int)
    for (source, target), count in counts.items():
        left[source] += count
        right[target] += count
    sources = sorted(left, key=lambda name: (-left[name], name))
    targets = sorted(right, key=lambda name: (-right[name], name))
    unit = min(BAND, 460 / max(sum(left.values()), 1))
    tops_left, end_left = _stacked(sources, left, unit, 74)
    tops_right, end_right = _stacked(targets, right, unit, 98)
    x_left, x_right = EDGE, NARROW - EDGE - NODE
    bend = (x_right - x_left - NODE) / 2
    bands, boxes, names = [], [], []
    used_left, used_right = dict(tops_left), dict(tops_right)
    for source in sources:
        for target in targets:
            if not (count := counts.get((source, target), 0)):
                continue
            thick = count * unit
            y1, y2 = used_left[source] + thick / 2, used_right[target] + thick / 2
            used_left[source] += thick
            used_right[target] += thick
            path = (
                f"M{x_left + NODE} {y1:.1f}C{x_left + NODE + bend:.1f} {y1:.1f} {x_right - bend:.1f} {y2:.1f} "
                f"{x_right} {y2:.1f}"
            )
            bands.append(Shape("path", "band", {"d": path, "stroke-width": round(thick, 1), "fill": "none"}))
    for name in sources:
        boxes.append(box(x_left, tops_left[name], NODE, left[name] * unit, "source"))
        names.append(words(x_left, tops_left[name] - 7, f"{short(name)}: {left[name]}"))
    for name in targets:
        boxes.append(box(x_right, tops_right[name], NODE, right[name] * unit, "target"))
        names.append(words(NARROW - EDGE, tops_right[name] - 7, f"{short(name)}: {right[name]}", anchor="end"))
    alt = f"{title}: " + ", ".join(f"{count} from {a} into {b}" for (a, b), count in sorted(counts.items()))
    shapes = (words(EDGE, 34, title, "title"), *bands, *boxes, *names)
    return Drawing(title, NARROW, round(max(end_left, end_right)) + EDGE, shapes, alt)


def _stacked(
    names: Sequence[str], amounts: Mapping[str, int], unit: float, first: float
) -> tuple[dict[str, float], float]:
    """Where each begins from the top, and where the last ends."""
    tops, y = {}, first
    for name in names:
        tops[name] = y
        y += max(amounts[name] * unit, 12) + GAP
    return tops, y - GAP


@dataclass(frozen=True, slots=True)
class Card:
    """A task's box: its corner, its title, what it says, and whether this story finished it."""

    x: int
    y: int
    title: str
    says: str
    kind: str


def network(title: str, width: int, height: int, size: tuple[int, int], cards: Sequence[Card], arrows) -> Drawing:
    """The boxes of the plan's network under a title. `arrows`: SVG paths."""
    down = 64
    across = max(width, 460)
    shapes = [words(MARGIN - 16, 40, title, "title")]
    shapes += [
        Shape("path", "arrow", {"d": path, "transform": f"translate(0 {down})", "fill": "none"}) for path in arrows
    ]
    for card in cards:
        y = card.y + down
        shapes.append(box(card.x, y, *size, card.kind))
        for number, line in enumerate(textwrap.wrap(card.title, 25, max_lines=2, placeholder="…")):
            shapes.append(words(card.x + 12, y + 23 + 19 * number, line, "in-box"))
        shapes.append(words(card.x + 12, y + 64, card.says, f"says {card.kind}"))
    done = [card.title for card in cards if card.kind == "finished"]
    alt = f"{title}: {len(cards)} tasks" + (f"; finished: {', '.join(done)}" if done else "")
    return Drawing(title, across, height + down, tuple(shapes), alt)


def side_by_side(before: tuple[str, int, int], after: tuple[str, int, int], text: str) -> Drawing:
    """Two pictures, (address, width, height) each, under the words Before and After."""
    wide = (WIDTH - 12) / 2
    tall = min(round(wide * 3 / 4), round(max(wide * height / width for _, width, height in (before, after))))
    shapes = []
    for number, ((address, _, _), says) in enumerate(((before, "Before"), (after, "After"))):
        x = number * (wide + 12)
        place = {"x": round(x, 1), "y": 0, "width": round(wide, 1), "height": tall, "href": address}
        shapes.append(Shape("image", "photo", place | {"preserveAspectRatio": "xMidYMid slice"}))
        shapes.append(words(x + 4, tall + 30, says, "title"))
    return Drawing(text or "Before and after", WIDTH, tall + 48, tuple(shapes), f"Before and after. {text}".strip())

"""Lay out one label: the symbol, the largest text, and what reads beside them. Everything in mm.

The heading is always the largest text: at least 1.25 times the next. The trail is left out whole where it would
print smaller than 1.6 mm; heading, name and code are always there.
"""

from dataclasses import dataclass, replace

from .fit import CAP, NOTHING, Fitted, Measure, at_dots, at_spaces, fit
from .stock import Box, Stock
from .symbol import GOOD_MODULE, QUIET, STURDY, Choice, TooLong, choose, version_for

SMALL = 1.9  # a name smaller than this takes room from the heading
LEAST_TRAIL = 1.6
CLEAR = 0.8  # between quiet zone and words: on dark stock the quiet zone is inked


@dataclass(frozen=True)
class Content:
    """What one label says. `address` is wrapped at its dots; without one `name` is the heading.
    `asks` is the line of a blank label. `cells` are the key and value pairs of a placard's title block."""

    payload: str
    code: str
    address: str = ""
    name: str = ""
    trail: str = ""
    asks: str = ""
    cells: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Text:
    x: float
    y: float  # of the baseline
    size: float
    weight: int
    text: str
    kind: str


@dataclass(frozen=True)
class Face:
    """One label. `symbol_at` is the corner of the symbol's quiet zone; `rules` are lines (x1, y1, x2, y2)."""

    w: float
    h: float
    symbol: Choice
    symbol_at: tuple[float, float]
    texts: tuple[Text, ...]
    rules: tuple[tuple[float, float, float, float], ...] = ()


def lay_out(content: Content, stock: Stock, measure: Measure) -> Face:
    """The label on this stock. Raises symbol.TooSmall or symbol.TooLong where the symbol cannot be."""
    if stock.kind == "placard":
        return _placard(content, stock, measure)
    inset = stock.hole.x + stock.hole.r if stock.hole else 0
    wide = stock.w - inset
    if stock.kind != "tape" and stock.h >= stock.w:
        return _stacked(content, stock, measure)
    symbol = choose(content.payload, min(stock.h, 0.55 * wide), most=_wanted(content.payload, 0.42 * wide))
    pad = 1.2 if stock.h < 16 else 2.0
    x = inset + symbol.size + max(CLEAR, pad - QUIET * symbol.module)
    area = Box(x, pad, stock.w - x - pad, stock.h - 2 * pad)
    texts, width = _column(content, area, measure)
    w = max(x + width + pad, symbol.size + 12) if stock.kind == "tape" else stock.w
    return Face(w, stock.h, symbol, (inset, (stock.h - symbol.size) / 2), texts)


def _wanted(payload: str, side: float) -> float:
    """The side the symbol may take: a share of the label, more where level H would else miss a good module."""
    try:
        version = max(version_for(payload, "H"), STURDY["H"])
        good = GOOD_MODULE * (17 + 4 * version + 2 * QUIET)
    except TooLong:
        good = side
    return min(max(side, good), max(36.0, good))


def _lines(block: Fitted, x: float, top: float, kind: str) -> list[Text]:
    return [
        Text(x, top + block.first + i * block.pitch, block.size, block.weight, line, kind)
        for i, line in enumerate(block.lines)
    ]


def _heading(content: Content, w: float, h: float, most: float, measure: Measure) -> Fitted:
    if content.address:  # on one line as long as it can be: that is how it is read and said
        return fit(at_dots(content.address), w, h, most, 700, measure, gain=1.5)
    return fit(at_spaces(content.name), w, h, most, 700, measure)


def _column(content: Content, area: Box, measure: Measure) -> tuple[list[Text], float]:
    """Heading, name, trail and code one under another, centred in the area; also the width they take."""
    most_code = max(2.1, min(3.6, area.h * 0.13), area.h * 0.075)
    code = fit([content.code], area.w, area.h, most_code, 600, measure)
    gap = max(0.5, min(1.6, area.h * 0.05))
    room = area.h - code.height - gap
    heading, name = _share(content, area.w, room - gap, measure)
    if heading.lines:
        code = fit([content.code], area.w, code.height, min(most_code, heading.size / 1.25), 600, measure)
    left = room - sum(block.height + gap for block in (heading, name) if block.lines)
    most_trail = min(max(3.1, 0.06 * area.h), 0.8 * (name.size or heading.size))
    trail = fit(at_spaces(content.trail), area.w, left, most_trail, 400, measure)
    blocks = [("heading", heading), ("name", name), ("trail", trail), ("code", code)]
    if trail.size < LEAST_TRAIL:
        blocks.pop(2)
    blocks = [(kind, block) for kind, block in blocks if block.lines]
    taken = sum(block.height for _, block in blocks) + gap * (len(blocks) - 1)
    y = area.y + (area.h - taken) / 2
    texts = []
    for kind, block in blocks:
        texts += _lines(block, area.x, y, kind)
        y += block.height + gap
    return texts, max(block.width for _, block in blocks)


def _share(content: Content, w: float, room: float, measure: Measure) -> tuple[Fitted, Fitted]:
    """Heading and name in one column: the heading gives up room until the name can be read."""
    if content.asks:
        return NOTHING, fit(at_spaces(content.asks), w, room, 4.2, 600, measure)
    heading = _heading(content, w, room, min(0.6 * room, 22), measure)
    second = content.name if content.address else ""
    if not second:
        return heading, NOTHING
    name = NOTHING
    for share in (0.62, 0.52, 0.42, 0.34):
        heading = _heading(content, w, room * share, 22, measure)
        most = min(max(5.6, 0.12 * room), heading.size / 1.5)
        name = fit(at_spaces(second), w, room - heading.height, most, 600, measure)
        if name.size >= min(SMALL, most):
            break
    return heading, name


def _stacked(content: Content, stock: Stock, measure: Measure) -> Face:
    """A label taller than wide: words above, symbol at the foot, code beside it."""
    pad = 2.5
    symbol = choose(content.payload, 0.6 * stock.w, most=_wanted(content.payload, 0.5 * stock.w))
    top_h = stock.h - symbol.size - pad
    x = symbol.size + CLEAR
    code = fit(at_spaces(content.code), stock.w - x - pad, symbol.size / 2, 4, 600, measure)
    texts, _ = _column(replace(content, code=""), Box(pad, pad, stock.w - 2 * pad, top_h - pad), measure)
    texts += _lines(code, x, stock.h - symbol.size / 2 - code.height / 2, "code")
    return Face(stock.w, stock.h, symbol, (0, stock.h - symbol.size - pad / 2), texts)


def _placard(content: Content, stock: Stock, measure: Measure) -> Face:
    """A door placard: title block above, the address as large as the sheet allows, the symbol at level H."""
    pad, block_h = 8.0, 18.0
    inner = stock.w - 2 * pad
    symbol = choose(content.payload, 70, most=70, only_high=True)
    texts, rules = _title_block(content.cells, Box(pad, pad, inner, block_h), measure)
    foot = fit(at_spaces(content.trail or ""), inner * 0.72, 20, 8, 600, measure)
    foot_top = stock.h - pad - max(foot.height, 8)
    middle = Box(pad, pad + block_h + 8, inner - symbol.size - 4, foot_top - pad - block_h - 14)
    second = content.name if content.address else ""
    heading = _heading(content, middle.w, middle.h * (0.8 if second else 1), 150, measure)
    name = fit(at_spaces(second), middle.w, middle.h - heading.height - 5, min(14, heading.size / 1.5), 600, measure)
    taken = heading.height + (5 + name.height if name.lines else 0)
    y = middle.y + (middle.h - taken) / 2
    texts += _lines(heading, pad, y, "heading")
    texts += _lines(name, pad, y + heading.height + 5, "name")
    texts += _lines(foot, pad, foot_top, "trail")
    code = fit([content.code], symbol.size, 10, 8, 600, measure)
    texts += _lines(code, stock.w - pad - code.width, stock.h - pad - code.height, "code")
    at = (stock.w - pad - symbol.size, middle.y + (middle.h - symbol.size) / 2)
    frame = _frame(Box(0.5, 0.5, stock.w - 1, stock.h - 1))
    return Face(stock.w, stock.h, symbol, at, tuple(texts), (*rules, *frame))


def _title_block(cells, box: Box, measure: Measure) -> tuple[list[Text], list]:
    """The boxed row of cells: a small capital key over its value, as on an engineering drawing."""
    texts, rules = [], list(_frame(box))
    each = box.w / max(1, len(cells))
    for i, (key, value) in enumerate(cells):
        x = box.x + i * each
        if i:
            rules.append((x, box.y, x, box.y + box.h))
        small = fit([key.upper()], each - 6, 5, 3.4, 400, measure)
        big = fit(at_spaces(value), each - 6, box.h - 8, 6.5, 600, measure)
        texts += _lines(small, x + 3, box.y + 2.2, "key")
        texts += _lines(big, x + 3, box.y + 7, "value")
    return texts, rules


def _frame(box: Box):
    right, foot = box.x + box.w, box.y + box.h
    return (
        (box.x, box.y, right, box.y),
        (right, box.y, right, foot),
        (right, foot, box.x, foot),
        (box.x, foot, box.x, box.y),
    )


def heading_height(face: Face) -> float:
    """mm of a capital of the largest text, 0 on a blank label."""
    return max((text.size * CAP for text in face.texts if text.kind == "heading"), default=0.0)

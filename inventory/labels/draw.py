"""Labels as SVG in millimetres: the same drawing on the screen, in the preview and in the PDF.

Colours are given as attributes for print; on a page the classes `ink`, `bare` and `cut` take over.
On dark stock the printer lays light ink: what is inked is turned round inside the symbol's square, so that the
symbol still reads as dark on light once it is printed.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

from .calc.face import Face
from .calc.stock import Box, Hole, Stock
from .calc.symbol import QUIET
from .pdf import Page, Square
from .symbols import modules, path, runs


@dataclass(frozen=True)
class Drawn:
    """A label's face and its symbol's bars, both in hand."""

    face: Face
    bars: list[tuple[int, int, int]]


def drawn(face: Face, payload: str) -> Drawn:
    return Drawn(face, runs(modules(payload, face.symbol)))


def _n(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def label(
    one: Drawn, x: float = 0, y: float = 0, dark: bool = False, hole: Hole | None = None, symbol: bool = True
) -> str:
    """One label as an SVG group with its corner at x, y; `symbol` False leaves the bars to whoever prints."""
    face, parts = one.face, [f'<g transform="translate({_n(x)} {_n(y)})">']
    sx, sy = face.symbol_at
    fill = 'class="ink" fill="#000"'
    if dark:
        size = _n(face.symbol.size)
        parts.append(f'<rect x="{_n(sx)}" y="{_n(sy)}" width="{size}" height="{size}" {fill}/>')
        fill = 'class="bare" fill="#fff"'
    if symbol:
        quiet, module = QUIET * face.symbol.module, f"{face.symbol.module:.5f}"
        parts.append(
            f'<g transform="translate({_n(sx + quiet)} {_n(sy + quiet)}) scale({module})">'
            f'<path d="{path(one.bars)}" {fill}/></g>'
        )
    for text in face.texts:
        parts.append(
            f'<text x="{_n(text.x)}" y="{_n(text.y)}" font-size="{_n(text.size)}" font-weight="{text.weight}" '
            f'class="ink of-{text.kind}" fill="#000">{escape(text.text)}</text>'
        )
    for x1, y1, x2, y2 in face.rules:
        parts.append(
            f'<line x1="{_n(x1)}" y1="{_n(y1)}" x2="{_n(x2)}" y2="{_n(y2)}" class="rule" stroke="#000" '
            'stroke-width="0.6" stroke-linecap="square"/>'
        )
    if hole:
        parts.append(
            f'<circle cx="{_n(hole.x)}" cy="{_n(hole.y)}" r="{_n(hole.r)}" class="cut" fill="none" stroke="#000" '
            'stroke-width="0.25"/>'
        )
    parts.append("</g>")
    return "".join(parts)


def cut_line(box: Box) -> str:
    """The dashed outline of a cell, for the eye on the screen and for the scissors on card."""
    return (
        f'<rect x="{_n(box.x)}" y="{_n(box.y)}" width="{_n(box.w)}" height="{_n(box.h)}" class="cut" fill="none" '
        'stroke="#000" stroke-width="0.15" stroke-dasharray="1 1"/>'
    )


def sheet(
    stock: Stock,
    placed: Iterable[tuple[int, Drawn]],
    *,
    nudge: tuple[float, float] = (0, 0),
    dark: bool = False,
    outlines: bool = False,
    symbols: bool = True,
) -> str:
    """What lies on one page: labels in their cells; cut lines where the stock is cut by hand or `outlines` asks."""
    parts = []
    for cell, one in placed:
        box = stock.cell(cell, *nudge)
        if outlines or stock.kind in ("tag", "cut"):
            parts.append(cut_line(Box(box.x, box.y, one.face.w, one.face.h)))
        parts.append(label(one, box.x, box.y, dark, stock.hole, symbols))
    return "".join(parts)


def page_size(stock: Stock, one: Drawn) -> tuple[float, float]:
    """mm of the page a label is printed on: a tape is as long as its text needs."""
    return (one.face.w, stock.page_h) if stock.kind == "tape" else (stock.page_w, stock.page_h)


def page(
    stock: Stock, placed: list[tuple[int, Drawn]], *, nudge: tuple[float, float] = (0, 0), dark: bool = False
) -> Page:
    """The same for print, with the symbols beside the words: they go into the PDF as they are."""
    squares = []
    for cell, one in placed:
        box, symbol, (x, y) = stock.cell(cell, *nudge), one.face.symbol, one.face.symbol_at
        quiet = QUIET * symbol.module
        squares.append(Square(box.x + x + quiet, box.y + y + quiet, symbol.module, one.bars, dark))
    words = sheet(stock, placed, nudge=nudge, dark=dark, symbols=False)
    return Page(*page_size(stock, placed[0][1]), words, tuple(squares))

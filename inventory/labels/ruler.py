"""The ruler test page: two lines 50 mm from the edges of the paper, scales, and where the labels should fall."""

from html import escape

from . import draw
from .calc.stock import Stock
from .pdf import Page

AT = 50


def drawing(stock: Stock, nudge: tuple[float, float]) -> Page:
    """The page. The lines and scales move with the nudge, as labels do."""
    w, h = stock.page_w, stock.page_h
    dx, dy = nudge
    parts = [draw.cut_line(stock.cell(cell, dx, dy)) for cell in range(stock.cells)]
    at_x, at_y = (min(AT, 10 * int(w / 20)), min(AT, 10 * int(h / 20)))
    parts += [_line(at_x + dx, 0, at_x + dx, h, 0.2), _line(0, at_y + dy, w, at_y + dy, 0.2)]
    for mm in range(int(w) + 1):
        parts.append(_line(mm + dx, at_y + dy, mm + dx, at_y + dy + (4 if mm % 10 == 0 else 2), 0.1))
    for mm in range(int(h) + 1):
        parts.append(_line(at_x + dx, mm + dy, at_x + dx + (4 if mm % 10 == 0 else 2), mm + dy, 0.1))
    words = [
        "Print at 100 %, without scaling to fit. Then measure on the paper.",
        f"The upright line should be {at_x} mm from the left edge, the level one {at_y} mm from the top.",
        f"Move right = {at_x} minus what you measure; move down = {at_y} minus what you measure.",
        f"Printed with: right {dx:+g} mm, down {dy:+g} mm.",
    ]
    size = 3.4 if h > 100 else 1.6
    for i, text in enumerate(words):
        parts.append(
            f'<text x="{at_x + 8}" y="{at_y + 12 + i * size * 1.5:.2f}" font-size="{size}" font-weight="600">'
            f"{escape(text)}</text>"
        )
    return Page(w, h, "".join(parts))


def _line(x1, y1, x2, y2, width) -> str:
    return f'<line x1="{x1:.3f}" y1="{y1:.3f}" x2="{x2:.3f}" y2="{y2:.3f}" stroke="#000" stroke-width="{width}"/>'

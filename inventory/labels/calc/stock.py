"""What labels are printed on, in mm: sheets by their dimensions, continuous tape, tags, door placards.

Sheets: dimensions in common use, no standard; every row closes on the sheet, 2 * margin + n * size + (n-1) * gap =
sheet (tested). A4 is 210 x 297 mm (ISO 216); Letter 8.5 x 11 in (215.9 x 279.4 mm). One inch is 25.4 mm.
"""

import re
from dataclasses import dataclass

INCH = 25.4


@dataclass(frozen=True)
class Box:
    """A rectangle in mm from the top left corner."""

    x: float
    y: float
    w: float
    h: float


@dataclass(frozen=True)
class Hole:
    """A hole to punch: centre from the label's top left corner, and radius, mm."""

    x: float
    y: float
    r: float


@dataclass(frozen=True)
class Stock:
    """A page of labels. Tape is a page of one label whose length is found from the text (`w` is then the most)."""

    key: str
    kind: str  # sheet, tape, tag, placard
    paper: str
    page_w: float
    page_h: float
    cols: int
    rows: int
    w: float
    h: float
    gap_x: float = 0
    gap_y: float = 0
    left: float = 0
    top: float = 0
    hole: Hole | None = None

    @property
    def cells(self) -> int:
        return self.cols * self.rows

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of one label in its own unit: inches on Letter sheets, else mm."""
        unit = INCH if self.kind == "sheet" and self.paper == "Letter" else 1
        return round(self.w / unit, 3), round(self.h / unit, 3)

    def cell(self, index: int, nudge_x: float = 0, nudge_y: float = 0) -> Box:
        """Where cell `index` (from 0, row by row) lies on its page, moved by the printer's offset."""
        row, col = divmod(index, self.cols)
        return Box(
            self.left + col * (self.w + self.gap_x) + nudge_x,
            self.top + row * (self.h + self.gap_y) + nudge_y,
            self.w,
            self.h,
        )


A4 = (210.0, 297.0)
LETTER = (8.5 * INCH, 11 * INCH)


def _a4(cols, rows, w, h, gap, left, top):
    return Stock(f"a4-{cols}x{rows}-{w:g}x{h:g}", "sheet", "A4", *A4, cols, rows, w, h, gap, 0, left, top)


def _letter(cols, rows, w, h, gap, left, top):
    inches = (value * INCH for value in (w, h, gap, 0, left, top))
    return Stock(f"letter-{cols}x{rows}-{w:.4g}x{h:.4g}in", "sheet", "Letter", *LETTER, cols, rows, *inches)


SHEETS = (
    _a4(3, 7, 63.5, 38.1, 2.5, 7.25, 15.15),
    _a4(3, 8, 63.5, 33.9, 2.5, 7.25, 12.9),
    _a4(5, 13, 38.1, 21.2, 2.5, 4.75, 10.7),
    _a4(2, 7, 99.1, 38.1, 2.5, 4.65, 15.15),
    _a4(2, 4, 99.1, 67.7, 2.5, 4.65, 13.1),
    _a4(3, 4, 63.5, 72.0, 2.5, 7.25, 4.5),
    _a4(3, 8, 70, 37, 0, 0, 0.5),
    _letter(3, 10, 2.625, 1, 0.125, 0.1875, 0.5),
    _letter(2, 10, 4, 1, 0.1875, 0.15625, 0.5),
    _letter(2, 7, 4, 4 / 3, 0.1875, 0.15625, 5 / 6),
    _letter(2, 5, 4, 2, 0.1875, 0.15625, 0.5),
    _letter(2, 3, 4, 10 / 3, 0.1875, 0.15625, 0.5),
    _letter(4, 20, 1.75, 0.5, 0.3, 0.3, 0.5),
)
TAPES = tuple(Stock(f"tape-{w}", "tape", f"{w} mm tape", 120, w, 1, 1, 120, w) for w in (12, 24, 62))
# Tie-on tags are printed on card, cut along the lines and punched: ours, not a bought size.
TAGS = (
    Stock("a4-tag", "tag", "A4", *A4, 2, 4, 95, 65, 5, 5, 7.5, 11, Hole(9, 32.5, 3)),
    Stock("letter-tag", "tag", "Letter", *LETTER, 2, 4, 95, 62, 5, 5, 10.45, 8.2, Hole(9, 31, 3)),
)
# Placards lie on their side, one to a page.
PLACARDS = (
    Stock("a4-placard", "placard", "A4", A4[1], A4[0], 1, 1, A4[1] - 20, A4[0] - 20, 0, 0, 10, 10),
    Stock("letter-placard", "placard", "Letter", LETTER[1], LETTER[0], 1, 1, 259.4, 195.9, 0, 0, 10, 10),
)
STOCK = {stock.key: stock for stock in (*SHEETS, *TAPES, *TAGS, *PLACARDS)}
_CUT = re.compile(r"cut-(\d{2,3})x(\d{2,3})")
_LEAST_MARGIN = 6.0  # most printers leave this edge blank


def stock_of(key: str) -> Stock | None:
    """The stock of this key. 'cut-55x36' is plain A4 with labels of that size in mm, to be cut out along the lines."""
    if found := STOCK.get(key):
        return found
    match = _CUT.fullmatch(key)
    if not match:
        return None
    w, h = int(match[1]), int(match[2])
    cols, rows = int((A4[0] - 2 * _LEAST_MARGIN) // w), int((A4[1] - 2 * _LEAST_MARGIN) // h)
    if not cols or not rows:
        return None
    left, top = (A4[0] - cols * w) / 2, (A4[1] - rows * h) / 2
    return Stock(key, "cut", "A4", *A4, cols, rows, w, h, 0, 0, left, top)


def pages(count: int, stock: Stock, start: int = 0) -> list[list[int]]:
    """Cell numbers page by page for `count` labels when the first `start` cells of the first sheet are used."""
    if not count:
        return []
    cells = range(start, start + count)
    return [
        [cell % stock.cells for cell in cells if cell // stock.cells == page]
        for page in range((start + count + stock.cells - 1) // stock.cells)
    ]


def readable_from(cap_height: float) -> float:
    """Metres from which capitals of this height (mm) can be read: 200 times their height (common practice)."""
    return cap_height * 200 / 1000

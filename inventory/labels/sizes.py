"""What each stock is called, and why one cannot be printed on."""

from .calc.face import lay_out
from .calc.stock import PLACARDS, SHEETS, TAGS, TAPES, Stock, stock_of
from .calc.symbol import TooLong, TooSmall

GROUPS = [
    ("A4 sheets", [stock for stock in SHEETS if stock.paper == "A4"]),
    ("Letter sheets", [stock for stock in SHEETS if stock.paper == "Letter"]),
    ("Continuous tape", TAPES),
    ("Tie-on tags, to cut and punch", TAGS),
    ("Door placards", PLACARDS),
]
USUAL = "a4-3x7-63.5x38.1"


def name(stock: Stock | str) -> str:
    """'3 × 7, each 63.5 × 38.1 mm, A4'."""
    if isinstance(stock, str):
        stock = stock_of(stock)
        if stock is None:
            return ""
    if stock.kind == "tape":
        return f"Tape {stock.h:g} mm wide"
    if stock.kind == "placard":
        return f"Placard, one to a sheet, {stock.paper}"
    w, h = stock.size
    unit = "in" if stock.paper == "Letter" and stock.kind == "sheet" else "mm"
    what = {"tag": "Tags, ", "cut": "Cut out, "}.get(stock.kind, "")
    return f"{what}{stock.cols} × {stock.rows}, each {w:g} × {h:g} {unit}, {stock.paper}"


def choices() -> list:
    return [(group, [(stock.key, name(stock)) for stock in some]) for group, some in GROUPS]


def refusal(stock: Stock, content, measure) -> str:
    """Why this label cannot be on this stock, and what to do; '' where it can."""
    try:
        lay_out(content, stock, measure)
    except TooSmall as error:
        return (
            f"Too small: the symbol needs {error.needed:.1f} mm to be readable and this size has {error.room:.1f} mm. "
            "Take a larger size, a shorter base address, or put the code alone in the symbol."
        )
    except TooLong as error:
        return (
            f"The base address is too long: with the code it has {error.length} characters, and a label’s symbol holds "
            f"{error.limit}. Take a shorter name, or put the code alone in the symbol."
        )
    return ""

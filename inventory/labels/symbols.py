"""QR symbols: the modules by the qrcode library, drawn as bars so that no hairline splits a run of dark modules."""

from qrcode import QRCode, constants
from qrcode.util import MODE_8BIT_BYTE, MODE_ALPHA_NUM, QRData

from .calc.symbol import Choice

_LEVELS = {"Q": constants.ERROR_CORRECT_Q, "H": constants.ERROR_CORRECT_H}
_MODES = {"alphanumeric": MODE_ALPHA_NUM, "byte": MODE_8BIT_BYTE}


def modules(payload: str, choice: Choice) -> list[list[bool]]:
    """The symbol's modules, dark is True, without the quiet zone."""
    code = QRCode(version=choice.version, error_correction=_LEVELS[choice.level], border=0)
    code.add_data(QRData(payload.encode(), mode=_MODES[choice.mode]))
    code.make(fit=False)
    return code.modules


def runs(grid: list[list[bool]]) -> list[tuple[int, int, int]]:
    """The dark modules as bars one module high: (x, y, length)."""
    bars = []
    for y, row in enumerate(grid):
        x, end = 0, len(row)
        while x < end:
            if not row[x]:
                x += 1
                continue
            start = x
            while x < end and row[x]:
                x += 1
            bars.append((start, y, x - start))
    return bars


def path(bars: list[tuple[int, int, int]]) -> str:
    """SVG path data of the bars, one unit a module."""
    return "".join(f"M{x} {y}h{length}v1h-{length}z" for x, y, length in bars)

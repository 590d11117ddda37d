"""Draw QR symbols: the modules by the qrcode library, the path by runs so that no hairline splits a bar."""

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


def path(grid: list[list[bool]]) -> str:
    """SVG path data of the dark modules, one unit each."""
    drawn = []
    for y, row in enumerate(grid):
        x, end = 0, len(row)
        while x < end:
            if not row[x]:
                x += 1
                continue
            start = x
            while x < end and row[x]:
                x += 1
            drawn.append(f"M{start} {y}h{x - start}v1h{start - x}z")
    return "".join(drawn)

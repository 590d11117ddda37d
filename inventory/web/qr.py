"""A QR code as one SVG path: sharp at any size, no inline style, no data: address."""

from dataclasses import dataclass

import qrcode
from qrcode.constants import ERROR_CORRECT_M

QUIET = 4  # modules of white around it (ISO/IEC 18004, 5.3.8)


@dataclass(frozen=True, slots=True)
class Symbol:
    """`size` is the side in modules with the quiet zone; `path` the dark modules as an SVG path in that grid."""

    size: int
    path: str


def symbol(text: str) -> Symbol:
    code = qrcode.QRCode(error_correction=ERROR_CORRECT_M, border=QUIET)
    code.add_data(text)
    rows = code.get_matrix()
    runs = []
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            end = x
            while end < len(row) and row[end]:
                end += 1
            if end > x:
                runs.append(f"M{x} {y}h{end - x}v1h-{end - x}z")
            x = end + 1
    return Symbol(len(rows), "".join(runs))

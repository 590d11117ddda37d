"""Pictures for the example nights, drawn: things on a bench, seen from above."""

import io
from random import Random

from PIL import Image, ImageDraw, ImageFilter

SIZE = (960, 720)
WOOD, STEEL, RUST, DARK, PAINT = (122, 98, 72), (150, 154, 158), (139, 74, 47), (44, 46, 48), (196, 190, 168)


def draw(motif: str) -> bytes:
    """A JPEG of 'hinge', 'sill', 'tubes', 'carburettor' or 'bench'."""
    picture = _bench(Random(motif))  # noqa: S311
    MOTIFS[motif](ImageDraw.Draw(picture))
    out = io.BytesIO()
    picture.filter(ImageFilter.GaussianBlur(1.2)).save(out, "JPEG", quality=86)
    return out.getvalue()


def _bench(chance: Random) -> Image.Image:
    picture = Image.new("RGB", SIZE, WOOD)
    pen = ImageDraw.Draw(picture)
    for y in range(0, SIZE[1], 6):
        shade = chance.randint(-9, 9)
        pen.line([(0, y), (SIZE[0], y + chance.randint(-3, 3))], fill=tuple(c + shade for c in WOOD), width=6)
    for y in (235, 480):
        pen.line([(0, y), (SIZE[0], y + 3)], fill=(70, 54, 40), width=5)
    return picture


def _plate(pen, box, fill=STEEL, holes=()) -> None:
    x, y, right, bottom = box
    pen.rectangle([x + 8, y + 10, right + 8, bottom + 10], fill=(66, 52, 40))
    pen.rectangle(box, fill=fill, outline=DARK, width=3)
    for at_x, at_y in holes:
        pen.ellipse([at_x - 15, at_y - 15, at_x + 15, at_y + 15], fill=DARK)


def _hinge(pen) -> None:
    _plate(pen, (180, 150, 430, 560), RUST, [(240, 220), (240, 355), (240, 490)])
    _plate(pen, (530, 150, 780, 560), STEEL, [(715, 220), (715, 355), (715, 490)])
    for top in range(150, 560, 82):
        pen.rectangle([430, top, 530, top + 74], fill=STEEL if top % 4 else RUST, outline=DARK, width=4)
    pen.ellipse([455, 100, 505, 150], fill=STEEL, outline=DARK, width=4)


def _sill(pen) -> None:
    _plate(pen, (40, 250, 920, 360), RUST)
    _plate(pen, (40, 400, 920, 510), STEEL, [(x, 455) for x in range(120, 900, 130)])
    for x, size in ((150, 42), (330, 26), (520, 55), (760, 30)):
        pen.ellipse([x, 305 - size // 2, x + size * 2, 305 + size // 2], fill=DARK)


def _tubes(pen) -> None:
    for number in range(7):
        y = 110 + number * 74
        _plate(pen, (90 + number * 12, y, 800 - number * 26, y + 46), STEEL if number % 3 else PAINT)


def _carburettor(pen) -> None:
    _plate(pen, (300, 220, 660, 520), (168, 160, 140), [(340, 260), (620, 260), (340, 480), (620, 480)])
    for radius, fill in ((120, STEEL), (88, DARK), (40, (176, 148, 74))):
        pen.ellipse([480 - radius, 370 - radius, 480 + radius, 370 + radius], fill=fill, outline=DARK, width=4)
    for x in range(120, 280, 52):
        pen.ellipse([x, 560, x + 34, 594], fill=(176, 148, 74), outline=DARK, width=3)


def _tools(pen) -> None:
    _plate(pen, (110, 120, 420, 300), PAINT, [(160, 170), (370, 170)])
    _plate(pen, (540, 90, 600, 600), STEEL)
    pen.ellipse([510, 60, 630, 180], fill=STEEL, outline=DARK, width=5)
    pen.ellipse([545, 92, 595, 142], fill=WOOD, outline=DARK, width=4)
    _plate(pen, (690, 380, 880, 440), (162, 59, 37))
    for number in range(6):
        pen.ellipse([150 + number * 58, 420, 190 + number * 58, 460], fill=STEEL, outline=DARK, width=3)


MOTIFS = {"hinge": _hinge, "sill": _sill, "tubes": _tubes, "carburettor": _carburettor, "bench": _tools}

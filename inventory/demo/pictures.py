"""Pictures of the odd parts of the demo, drawn: each lies on a grey sheet, lit from the upper left."""

import io
from collections.abc import Callable

from PIL import Image, ImageDraw, ImageFilter

SIZE = (640, 480)
SHEET, SHADE, EDGE = (205, 202, 192), (166, 162, 150), (44, 46, 48)
STEEL, RUST, BRASS, GLASS, AMBER, BLACK = (
    (152, 156, 160), (139, 74, 47), (176, 148, 74), (214, 224, 226), (214, 128, 40), (62, 64, 66),
)  # fmt: skip

Pen = ImageDraw.ImageDraw


def draw(motif: str) -> bytes:
    """A JPEG of one of MOTIFS."""
    picture = Image.new("RGB", SIZE, SHEET)
    MOTIFS[motif](ImageDraw.Draw(picture))
    out = io.BytesIO()
    picture.filter(ImageFilter.GaussianBlur(0.8)).save(out, "JPEG", quality=85)
    return out.getvalue()


def motif_of(name: str) -> str | None:
    """The picture of a part; of a pair both sides have the same."""
    return OF_PARTS.get(name.removesuffix(", left").removesuffix(", right"))


def _block(pen: Pen, box, fill) -> None:
    x, y, right, bottom = box
    pen.rectangle([x + 10, y + 12, right + 10, bottom + 12], fill=SHADE)
    pen.rectangle(box, fill=fill, outline=EDGE, width=3)


def _disc(pen: Pen, x: int, y: int, radius: int, fill, *, shade: bool = False) -> None:
    if shade:
        pen.ellipse([x - radius + 10, y - radius + 12, x + radius + 10, y + radius + 12], fill=SHADE)
    pen.ellipse([x - radius, y - radius, x + radius, y + radius], fill=fill, outline=EDGE, width=3)


def _hinge(pen: Pen, leaf) -> None:
    for left, right in ((100, 280), (360, 540)):
        _block(pen, (left, 90, right, 400), leaf)
        for y in (140, 245, 350):
            _disc(pen, (left + right) // 2, y, 17, BLACK)
    for nth, y in enumerate(range(90, 400, 62)):
        _block(pen, (280 if nth % 2 else 300, y, 340 if nth % 2 else 360, y + 58), leaf)


def _lamp(pen: Pen, lens, ring=STEEL) -> None:
    _disc(pen, 320, 240, 185, ring, shade=True)
    _disc(pen, 320, 240, 155, lens)
    for x in range(200, 450, 30):
        half = int((150**2 - (x - 320) ** 2) ** 0.5)
        pen.line([(x, 240 - half), (x, 240 + half)], fill=tuple(c - 22 for c in lens), width=4)


def _motor(pen: Pen) -> None:
    _block(pen, (90, 150, 400, 340), BLACK)
    _block(pen, (400, 120, 500, 370), STEEL)
    _block(pen, (500, 225, 590, 262), STEEL)
    for x in (140, 350):
        pen.line([(x, 150), (x, 340)], fill=STEEL, width=8)
    _disc(pen, 450, 160, 16, BRASS)
    _disc(pen, 450, 330, 16, BRASS)


def _carburettor(pen: Pen) -> None:
    _block(pen, (170, 130, 470, 370), (168, 160, 140))
    for radius, fill in ((105, STEEL), (78, BLACK), (34, BRASS)):
        _disc(pen, 320, 250, radius, fill)
    for x, y in ((198, 158), (442, 158), (198, 342), (442, 342)):
        _disc(pen, x, y, 15, BLACK)


MOTIFS: dict[str, Callable[[Pen], None]] = {
    "hinge": lambda pen: _hinge(pen, STEEL),
    "old hinge": lambda pen: _hinge(pen, RUST),
    "headlamp": lambda pen: _lamp(pen, GLASS),
    "rear lamp": lambda pen: _lamp(pen, (176, 48, 40), BLACK),
    "indicator": lambda pen: _lamp(pen, AMBER),
    "motor": _motor,
    "carburettor": _carburettor,
}

# Which part of the demo has which picture.
OF_PARTS = {
    "Hatch hinge": "hinge",
    "Hatch hinge, old": "old hinge",
    "Headlamp": "headlamp",
    "Rear lamp": "rear lamp",
    "Indicator lamp, front": "indicator",
    "Wiper motor": "motor",
    "Carburettor": "carburettor",
}

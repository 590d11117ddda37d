"""The home screen's icons, drawn with the geometry of static/icons/gusset.svg so that there is one drawing.

`manage.py icons` makes them anew. A maskable icon keeps everything that matters within the safe zone, a circle of
two fifths of the width (W3C Web Application Manifest, 'Icon masks and safe zone'); the ground fills the rest.
"""

import re
import xml.etree.ElementTree as ET  # noqa: S405  reads our own file
from pathlib import Path

from django.conf import settings
from PIL import Image, ImageDraw

FOLDER = settings.BASE_DIR / "static" / "icons"
SAFE = 0.4  # of the width, as a radius
FINER = 4  # drawn so many times larger, then made small: smooth edges
ICONS = {
    "gusset-192.png": (192, False),
    "gusset-512.png": (512, False),
    "gusset-maskable-512.png": (512, True),
    "gusset-touch-180.png": (180, False),
}
_STEP = re.compile(r"([MhvlHVLz])\s*([-\d.]*)[ ,]*([-\d.]*)")


def make(folder: Path = FOLDER) -> list[Path]:
    """Write every icon; the same drawing gives the same files."""
    made = []
    for name, (size, maskable) in ICONS.items():
        made.append(folder / name)
        draw(size, maskable=maskable).save(made[-1], optimize=True)
    return made


def draw(size: int, *, maskable: bool) -> Image.Image:
    """The icon as a square picture of `size` pixels."""
    rect, path, *dots = ET.parse(FOLDER / "gusset.svg").getroot()  # noqa: S314
    side = float(rect.get("width"))
    corners, width = _points(path.get("d")), float(path.get("stroke-width"))
    outer, inner = _beside(corners, width / 2), _beside(corners, -width / 2)
    xs, ys = zip(*outer, strict=True)
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    reach = max(((x - middle[0]) ** 2 + (y - middle[1]) ** 2) ** 0.5 for x, y in outer)
    scale, origin = (SAFE * side * 0.98 / reach, middle) if maskable else (1.0, (side / 2, side / 2))

    def at(x: float, y: float) -> tuple[float, float]:
        unit = size * FINER / side
        return ((x - origin[0]) * scale + side / 2) * unit, ((y - origin[1]) * scale + side / 2) * unit

    picture = Image.new("RGB", (size * FINER, size * FINER), rect.get("fill"))
    pen = ImageDraw.Draw(picture)
    pen.polygon([at(*corner) for corner in outer], fill=path.get("stroke"))
    pen.polygon([at(*corner) for corner in inner], fill=rect.get("fill"))
    for dot in dots:
        x, y, r = (float(dot.get(name)) for name in ("cx", "cy", "r"))
        pen.ellipse([*at(x - r, y - r), *at(x + r, y + r)], fill=dot.get("fill"))
    return picture.resize((size, size), Image.Resampling.LANCZOS)


def _points(d: str) -> list[tuple[float, float]]:
    """The corners of a closed path of straight lines."""
    x = y = 0.0
    found = []
    for step, a, b in _STEP.findall(d):
        if step == "z":
            break
        if step in "Hh":
            x = float(a) + (x if step == "h" else 0)
        elif step in "Vv":
            y = float(a) + (y if step == "v" else 0)
        else:
            x, y = float(a) + (x if step == "l" else 0), float(b) + (y if step == "l" else 0)
        found.append((x, y))
    return found


def _beside(corners: list[tuple[float, float]], by: float) -> list[tuple[float, float]]:
    """The closed outline so far outside the corners (inside where negative), its own corners mitred."""
    area = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1], strict=True))
    by = by if area > 0 else -by
    lines = []  # a x + b y = c, of each side moved outward
    for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1], strict=True):
        long = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
        a, b = (y2 - y1) / long, (x1 - x2) / long
        lines.append((a, b, a * x1 + b * y1 + by))
    found = []
    for (a, b, c), (d, e, f) in zip(lines[-1:] + lines[:-1], lines, strict=True):
        over = a * e - b * d
        found.append(((c * e - b * f) / over, (a * f - c * d) / over))
    return found

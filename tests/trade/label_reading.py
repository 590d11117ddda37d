"""Print labels to PDF, turn the PDF into pictures, spoil the pictures, and read them with two outside readers."""

import functools
import subprocess
import tempfile
from pathlib import Path

import cv2
import numpy as np
import zxingcpp

from inventory.labels import pdf


def raster(pages, dpi: int) -> list[np.ndarray]:
    """The pages as pdftoppm draws them, grey."""
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder, "labels.pdf")
        made.write_bytes(pdf.write(pages))
        subprocess.run(["pdftoppm", "-gray", "-r", str(dpi), str(made), f"{folder}/p"], check=True)
        return [cv2.imread(str(name), cv2.IMREAD_GRAYSCALE) for name in sorted(Path(folder).glob("p*.pgm"))]


def zxing(image) -> set[str]:
    found = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
    return {one.text for one in found}


@functools.cache
def _detector():
    return cv2.QRCodeDetector()


def opencv(image) -> set[str]:
    _, texts, _, _ = _detector().detectAndDecodeMulti(image)
    return {text for text in texts if text}


READERS = {"zxing-cpp": zxing, "OpenCV": opencv}


def crop(page, box, dpi: int, around: float = 2.0):
    """The picture of one rectangle of the page in mm, with a little of what is around it."""
    scale = dpi / 25.4
    y, x = (max(0, int((v - around) * scale)) for v in (box.y, box.x))
    return page[y : int((box.y + box.h + around) * scale), x : int((box.x + box.w + around) * scale)].copy()


def turned(image, degrees: float = 30):
    h, w = image.shape
    side = int(np.hypot(h, w)) + 2
    matrix = cv2.getRotationMatrix2D((w / 2, h / 2), degrees, 1)
    matrix[:, 2] += (side - w) / 2, (side - h) / 2
    return cv2.warpAffine(image, matrix, (side, side), flags=cv2.INTER_LINEAR, borderValue=255)


def blurred(image, pixels: float):
    return cv2.GaussianBlur(image, (0, 0), pixels)


def dim_and_noisy(image, rng):
    """A quarter of the light, and the grain of a phone's sensor: 6 of 255 (one sigma)."""
    return np.clip(image * 0.25 + 12 + rng.normal(0, 6, image.shape), 0, 255).astype(np.uint8)


def smeared(image, centre, area: float):
    """A round dark smear of this area, in pixels."""
    out = image.copy()
    cv2.circle(out, tuple(int(v) for v in centre), int(round((area / np.pi) ** 0.5)), 25, -1)
    return out


def smear_centre(side: int, module: float, share: float, rng, clear_of_corners: bool):
    """A random centre for a smear over `share` of a symbol `side` pixels wide; it may be kept off the three
    corner marks (7 modules and the white one around them)."""
    radius = side * (share / np.pi) ** 0.5
    while True:
        x, y = rng.uniform(radius, side - radius, 2)
        if not clear_of_corners:
            return x, y
        mark = 8 * module
        squares = ((0, 0), (side - mark, 0), (0, side - mark))
        gaps = [np.hypot(max(a - x, 0, x - a - mark), max(b - y, 0, y - b - mark)) for a, b in squares]
        if min(gaps) > radius:
            return x, y

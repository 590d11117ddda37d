"""A photo of twelve megapixels, as a phone sends it."""

import io

from PIL import Image, ImageOps

from inventory.photos.imaging import LARGE, METHOD, QUALITY, SMALL, read_picture

from .rows import Row, row, side_by_side


@row("photo", once=True)
def photo(shop):
    """The floor is Pillow alone: decode no more than is needed, turn, shrink twice, write twice."""
    data = _from_a_phone()
    ours, floor = side_by_side(lambda: read_picture(data), lambda: _by_pillow(data), rounds=7)
    yield Row("photo of 12 megapixels, ms", ours, floor, 1.3)


def _by_pillow(data: bytes) -> tuple[bytes, bytes]:
    image = Image.open(io.BytesIO(data))
    image.draft("RGB", (LARGE, LARGE * image.height // image.width))
    large = ImageOps.exif_transpose(image)
    large.thumbnail((LARGE, LARGE), Image.Resampling.LANCZOS, reducing_gap=2)
    small = large.copy()
    small.thumbnail((SMALL, SMALL), Image.Resampling.LANCZOS)
    return _webp(large), _webp(small)


def _webp(image: Image.Image) -> bytes:
    out = io.BytesIO()
    image.save(out, "WEBP", quality=QUALITY, method=METHOD)
    return out.getvalue()


def _from_a_phone() -> bytes:
    """Grain over soft shapes, 4032 by 3024, held upright: about as many bytes as a real one."""
    soft = Image.effect_mandelbrot((1008, 756), (-2, -1.5, 1, 1.5), 60).resize((4032, 3024), Image.Resampling.BICUBIC)
    grain = Image.effect_noise((4032, 3024), 24)
    image = Image.merge("RGB", (Image.blend(soft, grain, 0.3), Image.blend(soft, grain, 0.2), soft))
    exif = Image.Exif()
    exif[0x0112] = 6
    out = io.BytesIO()
    image.save(out, "JPEG", quality=90, exif=exif)
    return out.getvalue()

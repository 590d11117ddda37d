"""From whatever a camera gives to two upright WebP pictures without a word about where they were taken.

Sizes and settings were measured: draft decoding (only as many JPEG blocks as are needed) halves the time and a third of
the memory for a 12-megapixel picture.
"""

import io
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from PIL import ExifTags, Image, ImageOps, UnidentifiedImageError

FORMATS = ["JPEG", "PNG", "WEBP"]
LARGE, SMALL = 1600, 320  # the longer side, in pixels
MOST_PIXELS = 50_000_000
MOST_BYTES = 25 * 1024 * 1024
QUALITY, METHOD = 80, 4
WHOLE_QUALITY, WHOLE_METHOD = 90, 0  # at this size more effort takes a third more memory and makes nothing smaller

try:  # an optional extra: its wheel carries a codec under the GPL
    from pillow_heif import register_heif_opener
except ImportError:
    HEIC = False
else:
    register_heif_opener()
    FORMATS.append("HEIF")
    HEIC = True


class NotAPicture(Exception):
    """The file can't be taken; the text says why and what to do, for the person who sent it."""


@dataclass(frozen=True, slots=True)
class Picture:
    large: bytes
    small: bytes
    width: int
    height: int
    taken_at: datetime | None  # as the camera's clock had it, without a zone


class Prepared(bytes):
    """Stands for a file whose picture work is done: reads as the file's sha256 in hex, and carries the picture."""

    picture: Picture

    def __new__(cls, digest: str, picture: Picture):
        self = super().__new__(cls, digest.encode())
        self.picture = picture
        return self


def read_picture(data: bytes, *, declared: str = "") -> Picture:
    """Decode, turn upright, strip and shrink a picture.

    `data` is the whole file; `declared` its name, for the message only. Raises NotAPicture.
    """
    return data.picture if isinstance(data, Prepared) else _guarded(_read, data, declared)


def read_whole(data: bytes, *, declared: str = "") -> bytes:
    """An original, upright and stripped but as large as it was taken; b"" where that is not larger than the shop's own.

    Raises NotAPicture.
    """
    return _guarded(_read_whole, data, declared)


def _guarded(read: Callable, data: bytes, declared: str):
    """What `read` makes of the file; whatever is wrong with it becomes NotAPicture."""
    if not data:
        raise NotAPicture("The file is empty. Take the picture again.")
    if len(data) > MOST_BYTES:
        raise NotAPicture(f"The file is larger than {MOST_BYTES // 1024**2} MB. Send a smaller version.")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            warnings.simplefilter("ignore", UserWarning)  # odd EXIF is not worth refusing a picture for
            return read(data)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise NotAPicture(_too_many_pixels()) from error
    except UnidentifiedImageError as error:
        raise NotAPicture(_unknown(data, declared)) from error
    except (
        OSError,
        ValueError,
        SyntaxError,
        EOFError,
        IndexError,
        KeyError,
        TypeError,
        MemoryError,
        OverflowError,
    ) as error:
        raise NotAPicture("The picture is damaged or cut short. Take or send it again.") from error


def _open(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data), formats=FORMATS)
    if image.width * image.height > MOST_PIXELS:
        raise NotAPicture(_too_many_pixels())
    if getattr(image, "n_frames", 1) > 1:
        image.seek(0)
    return image


def _upright(image: Image.Image) -> Image.Image:
    image = ImageOps.exif_transpose(image)
    return image if image.mode in ("RGB", "L") else _on_white(image)


def _read_whole(data: bytes) -> bytes:
    image = _open(data)
    return _webp(_upright(image), WHOLE_QUALITY, WHOLE_METHOD) if max(image.size) > LARGE else b""


def _read(data: bytes) -> Picture:
    image = _open(data)
    taken_at = _taken_at(image)
    longest = max(image.size)
    if longest > LARGE:
        # draft() gives the smallest of its sizes that is not below the asked one on either side.
        image.draft(None, (image.width * LARGE // longest, image.height * LARGE // longest))
    image = _upright(image)
    large = image.copy()
    large.thumbnail((LARGE, LARGE), Image.Resampling.LANCZOS, reducing_gap=2)
    small = large.copy()
    small.thumbnail((SMALL, SMALL), Image.Resampling.LANCZOS)
    return Picture(_webp(large), _webp(small), *large.size, taken_at)


def _on_white(image: Image.Image) -> Image.Image:
    rgba = image.convert("RGBA")
    ground = Image.new("RGB", rgba.size, "white")
    ground.paste(rgba, mask=rgba.getchannel("A"))
    return ground


def _webp(image: Image.Image, quality: int = QUALITY, method: int = METHOD) -> bytes:
    out = io.BytesIO()
    # A fresh picture carries no EXIF unless it is handed over; the empty values make sure of the rest.
    image.save(out, "WEBP", quality=quality, method=method, exif=b"", icc_profile=None, xmp=b"")
    return out.getvalue()


def _taken_at(image: Image.Image) -> datetime | None:
    try:
        exif = image.getexif()
        text = exif.get_ifd(ExifTags.IFD.Exif).get(ExifTags.Base.DateTimeOriginal) or exif.get(ExifTags.Base.DateTime)
        return datetime.strptime(str(text).strip("\x00 "), "%Y:%m:%d %H:%M:%S") if text else None  # noqa: DTZ007
    except (ValueError, OSError, SyntaxError, KeyError, TypeError, AttributeError, OverflowError):
        return None


def _too_many_pixels() -> str:
    return f"The picture has more than {MOST_PIXELS // 10**6} million pixels. Send a smaller version."


def _unknown(data: bytes, declared: str) -> str:
    if data[4:12] in (b"ftypheic", b"ftypheix", b"ftypmif1", b"ftypmsf1", b"ftyphevc"):
        return (
            "This is a HEIC picture, and this shop has no HEIC reader. Set the camera to “most compatible” (JPEG), "
            "or ask the owner to install the heic extra."
        )
    name = f"“{declared[:60]}” is" if declared else "That is"
    return f"{name} not a picture the shop can read. JPEG, PNG and WebP work."

"""Files that people and worse send, each with the answer it must get: 'kept', or a piece of the message."""

import gzip
import io
import struct
import zipfile
import zlib
from collections.abc import Iterator

from PIL import Image, PngImagePlugin

DAMAGED = "damaged or cut short"
UNKNOWN = "not a picture the shop can read"
PIXELS = "million pixels"
EMPTY = "empty"


def image(fmt="JPEG", size=(64, 48), mode="RGB", colour=128, **options) -> bytes:
    out = io.BytesIO()
    Image.new(mode, size, colour).save(out, fmt, **options)
    return out.getvalue()


def noisy(fmt="JPEG", size=(400, 300), **options) -> bytes:
    out = io.BytesIO()
    Image.effect_noise(size, 90).convert("RGB").save(out, fmt, **options)
    return out.getvalue()


def png_chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png_claiming(width: int, height: int, depth: int = 1, colour: int = 0) -> bytes:
    """A PNG whose header claims a size and whose data is a line of nothing."""
    header = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    body = zlib.compress(b"\x00" * 10_000)
    return b"\x89PNG\r\n\x1a\n" + png_chunk(b"IHDR", header) + png_chunk(b"IDAT", body) + png_chunk(b"IEND", b"")


def jpeg_with_exif(**tags) -> bytes:
    exif = Image.Exif()
    for tag, value in tags.items():
        exif[int(tag.removeprefix("t"))] = value
    return image(exif=exif)


def gps() -> bytes:
    exif = Image.Exif()
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (59.0, 54.0, 0.0)
    exif[0x010F] = "SECRET-CAMERA"
    return image(exif=exif)


def zipped(name: str, data: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as bundle:
        bundle.writestr(name, data)
    return out.getvalue()


def with_text_bomb() -> bytes:
    info = PngImagePlugin.PngInfo()
    info.add_text("comment", "x" * 3_000_000, zip=True)
    out = io.BytesIO()
    Image.new("RGB", (20, 20)).save(out, "PNG", pnginfo=info)
    return out.getvalue()


SCRIPT = b"<script>alert(1)</script>"
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
HTML = b"<!doctype html><html><body>" + SCRIPT + b"</body></html>"


def cases() -> Iterator[tuple[str, str, bytes, str]]:
    """(what it is, the name it is sent by, the bytes, 'kept' or a piece of the message)"""
    jpeg, png, webp = noisy(), noisy("PNG"), noisy("WEBP")
    # Honest pictures of every kind
    yield "a JPEG", "a.jpg", jpeg, "kept"
    yield "a PNG", "a.png", png, "kept"
    yield "a WebP", "a.webp", webp, "kept"
    yield "a progressive JPEG", "a.jpg", noisy(progressive=True), "kept"
    yield "a grey JPEG", "a.jpg", image(mode="L"), "kept"
    yield "a CMYK JPEG", "a.jpg", image(mode="CMYK", colour=0), "kept"
    yield "a one-bit PNG", "a.png", image("PNG", mode="1", colour=1), "kept"
    yield "a 16-bit PNG", "a.png", image("PNG", mode="I;16", colour=9000), "kept"
    yield "a palette PNG", "a.png", image("PNG", mode="P", colour=3), "kept"
    yield "a see-through PNG", "a.png", image("PNG", mode="RGBA", colour=(255, 0, 0, 0)), "kept"
    yield "a grey see-through PNG", "a.png", image("PNG", mode="LA", colour=(9, 9)), "kept"
    yield "one pixel", "a.png", image("PNG", size=(1, 1)), "kept"
    yield "a very wide picture", "a.png", image("PNG", size=(20_000, 2)), "kept"
    yield "a very tall picture", "a.png", image("PNG", size=(1, 20_000)), "kept"
    yield "an animated WebP", "a.webp", animated("WEBP"), "kept"
    yield "an animated PNG", "a.png", animated("PNG"), "kept"
    # Names and kinds that lie
    yield "a JPEG called .png", "a.png", jpeg, "kept"
    yield "a PNG called .exe", "a.exe", png, "kept"
    yield "a name that climbs", "../../etc/passwd", jpeg, "kept"
    yield "a Windows name that climbs", "..\\..\\boot.ini", jpeg, "kept"
    yield "a name with a NUL", "a\x00.jpg", jpeg, "kept"
    yield "a name with markup", '"><script>x</script>.jpg', jpeg, "kept"
    yield "a very long name", "a" * 400 + ".jpg", jpeg, "kept"
    yield "a name in Norwegian", "kjøler på låven.jpg", jpeg, "kept"
    yield "a hidden name", ".htaccess", jpeg, "kept"
    # Things that are not pictures, whatever they are called
    yield "an SVG with a script", "a.svg", SVG, UNKNOWN
    yield "an SVG called .jpg", "a.jpg", SVG, UNKNOWN
    yield "an SVG behind an XML line", "a.jpg", b'<?xml version="1.0"?>' + SVG, UNKNOWN
    yield "a page called .jpg", "a.jpg", HTML, UNKNOWN
    yield "a page", "a.html", HTML, UNKNOWN
    yield "a script", "a.js", SCRIPT, UNKNOWN
    yield "a PHP file called .jpg", "a.php.jpg", b"<?php system($_GET[0]); ?>", UNKNOWN
    yield "a PDF", "a.pdf", b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\n", UNKNOWN
    yield "PostScript", "a.jpg", b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", UNKNOWN
    yield "a zip", "a.jpg", zipped("a.txt", b"x"), UNKNOWN
    yield "a zip bomb", "a.png", zipped("a.txt", b"0" * 5_000_000), UNKNOWN
    yield "a gzip bomb", "a.jpg", gzip.compress(b"0" * 5_000_000), UNKNOWN
    yield "a program for Linux", "a.jpg", b"\x7fELF" + b"\x00" * 60, UNKNOWN
    yield "a program for Windows", "a.jpg", b"MZ" + b"\x00" * 60, UNKNOWN
    yield "plain text", "a.jpg", b"this is not a picture\n" * 10, UNKNOWN
    yield "all zeros", "a.jpg", b"\x00" * 5000, UNKNOWN
    yield "all ones", "a.jpg", b"\xff" * 5000, UNKNOWN
    yield "a GIF", "a.gif", image("GIF", mode="P"), UNKNOWN
    yield "a BMP", "a.bmp", image("BMP"), UNKNOWN
    yield "a TIFF", "a.tif", image("TIFF"), UNKNOWN
    yield "an ICO", "a.ico", image("ICO"), UNKNOWN
    yield "a TGA", "a.tga", image("TGA"), UNKNOWN
    yield "a PPM", "a.ppm", image("PPM"), UNKNOWN
    yield "a video's first bytes", "a.mp4", b"\x00\x00\x00\x18ftypmp42" + b"\x00" * 200, UNKNOWN
    # Cut short and damaged
    yield "an empty file", "a.jpg", b"", EMPTY
    yield "one byte", "a.jpg", b"\xff", UNKNOWN
    yield "only a JPEG's first bytes", "a.jpg", jpeg[:20], UNKNOWN
    yield "half a JPEG", "a.jpg", jpeg[: len(jpeg) // 2], DAMAGED
    yield "a JPEG less its end", "a.jpg", jpeg[:-400], DAMAGED
    yield "only a PNG's signature", "a.png", png[:8], UNKNOWN
    yield "half a PNG", "a.png", png[: len(png) // 2], DAMAGED
    yield "a PNG with a wrong checksum", "a.png", png[:29] + bytes([png[29] ^ 255]) + png[30:], UNKNOWN
    yield "half a WebP", "a.webp", webp[: len(webp) // 2], DAMAGED
    yield "only a WebP's first bytes", "a.webp", webp[:16], DAMAGED
    yield "a PNG of no size", "a.png", png_claiming(0, 0), UNKNOWN
    # Bombs: small files that claim to be huge
    yield "a PNG of 30 000 by 30 000", "a.png", png_claiming(30_000, 30_000), PIXELS
    yield "a PNG of 156 million pixels", "a.png", png_claiming(13_000, 12_000), PIXELS
    yield "a PNG of 51 million pixels", "a.png", png_claiming(8_500, 6_000), PIXELS
    yield "a PNG of 2 000 million rows", "a.png", png_claiming(2, 2_000_000_000), PIXELS
    yield "a PNG with a text bomb", "a.png", with_text_bomb(), DAMAGED
    # Two things at once
    yield "a JPEG with a page behind it", "a.html", jpeg + HTML, "kept"
    yield "a JPEG with a zip behind it", "a.zip", jpeg + zipped("a.html", HTML), "kept"
    yield "a PNG with a script behind it", "a.js", png + SCRIPT, "kept"
    yield "a JPEG with a script in its comment", "a.jpg", noisy(comment=SCRIPT), "kept"
    yield "a page before a JPEG", "a.jpg", HTML + jpeg, UNKNOWN
    # Odd EXIF
    yield "a place in the EXIF", "a.jpg", gps(), "kept"
    yield "a script in the EXIF", "a.jpg", jpeg_with_exif(t270="<script>alert(1)</script>"), "kept"
    yield "an orientation that is none", "a.jpg", jpeg_with_exif(t274=99), "kept"
    yield "an impossible date", "a.jpg", jpeg_with_exif(t306="2026:99:99 99:99:99"), "kept"
    yield "EXIF that is rubbish", "a.jpg", image(exif=b"Exif\x00\x00" + b"\xff" * 200), "kept"
    yield "EXIF that points in a circle", "a.jpg", image(exif=circular_exif()), "kept"


def animated(fmt: str) -> bytes:
    frames = [Image.new("RGB", (40, 30), (n * 40, 0, 0)) for n in range(4)]
    out = io.BytesIO()
    frames[0].save(out, fmt, save_all=True, append_images=frames[1:], duration=100)
    return out.getvalue()


def circular_exif() -> bytes:
    """A directory whose EXIF sub-directory is itself."""
    header = b"II*\x00" + struct.pack("<I", 8)
    entry = struct.pack("<HHII", 0x8769, 4, 1, 8)
    return b"Exif\x00\x00" + header + struct.pack("<H", 1) + entry + struct.pack("<I", 0)

"""Bytes of a file that a spreadsheet wrote, as text.

Limits: UTF-8, UTF-16 (either order, with or without a mark) and Windows-1252. Other 8-bit tables come out
as Windows-1252 would show them; the person sees that in the examples before anything is imported.
Source: Unicode Standard 15.0 section 23.8 (byte order mark), WHATWG Encoding Standard (windows-1252, where
the five unassigned bytes map to the control characters of the same value).
"""

import codecs
from dataclasses import dataclass

_UNASSIGNED_IN_1252 = (0x81, 0x8D, 0x8F, 0x90, 0x9D)
_TABLE_1252 = "".join(chr(n) if n in _UNASSIGNED_IN_1252 else bytes([n]).decode("windows-1252") for n in range(256))


class NotText(ValueError):
    """The bytes are some other kind of file."""


@dataclass(frozen=True, slots=True)
class Decoded:
    text: str
    encoding: str


def decode(data: bytes) -> Decoded:
    """The text of `data` and the name of the encoding it was read with.

    Raises NotText when the bytes hold NULs where text has none.
    """
    if data.startswith(codecs.BOM_UTF8):
        return Decoded(data[3:].decode("utf-8", "replace"), "UTF-8")
    for mark, name in ((codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be")):
        if data.startswith(mark):
            return Decoded(_wide(data[2:], name), "UTF-16")
    name = _wide_without_mark(data)
    if name:
        return Decoded(_wide(data, name), "UTF-16")
    if b"\0" in data:
        raise NotText
    try:
        return Decoded(data.decode("utf-8"), "UTF-8")
    except UnicodeDecodeError:
        return Decoded(codecs.charmap_decode(data, "strict", _TABLE_1252)[0], "Windows-1252")


def _wide(data: bytes, name: str) -> str:
    text = data.decode(name, "replace")
    if "\0" in text:
        raise NotText
    return text


def _wide_without_mark(data: bytes) -> str:
    """Western text in UTF-16 has a NUL in nearly every second byte, always on the same side."""
    sample = data[:4096]
    if len(sample) < 4 or len(data) % 2:
        return ""
    half = len(sample) // 2
    even, odd = sample[0::2].count(0), sample[1::2].count(0)
    if odd > half * 0.7 and even == 0:
        return "utf-16-le"
    if even > half * 0.7 and odd == 0:
        return "utf-16-be"
    return ""

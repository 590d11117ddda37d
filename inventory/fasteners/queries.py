"""Reads over parts that are fasteners."""

from functools import lru_cache

from inventory.parts import hardware
from inventory.parts.models import Part

from .calc.fastener import Fastener
from .calc.reading import Reading, parse


@lru_cache(maxsize=4096)
def _fastener_of(text: str) -> Fastener | None:
    return parse(text).fastener if text else None


def fastener_of(part: Part) -> Fastener | None:
    """The fastener a part is kept as."""
    return _fastener_of(part.fastener)


def perhaps(part: Part) -> Reading | None:
    """What a part's name might say where nothing is kept and nobody has said that it is no fastener.

    Only what names a size of thread or a kind: 'Hinge pin 8 mm' is a pin.
    """
    if part.fastener or part.fastener_told:
        return None
    reading = hardware.read(part.name)
    if reading is None:
        return None
    understood = dict(reading.understood)
    sized = understood.get("size", "").startswith(("M", "#"))
    named = "size" in understood and any(name in understood for name in ("form", "grade", "length", "drive"))
    return reading if sized or named else None


def also_this(part: Part):
    """Other parts that are the same fastener."""
    return Part.objects.same_fastener(part.fastener_key).exclude(pk=part.pk).with_on_hand()

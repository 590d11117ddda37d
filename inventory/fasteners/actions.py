"""Saying which fastener a part is."""

from inventory.parts import hardware
from inventory.parts.models import Part

from .calc.fastener import Fastener


def tell(*, part: Part, fastener: Fastener | None) -> None:
    """A person says which fastener it is, or that it is none. From then on its name is no longer read."""
    for name, value in hardware.kept(fastener).items():
        setattr(part, name, value)
    part.fastener_told = True
    part.save(update_fields=["fastener", "fastener_key", "fastener_told"])


def read_again(*, part: Part) -> None:
    """Go by its name again."""
    part.fastener_told = False
    part.read_name()
    part.save(update_fields=["fastener", "fastener_key", "fastener_told"])

"""A fastener is found however it is typed: by its size and length, with the pitch or without, as one word or spaced."""

from collections.abc import Collection

from inventory.finding import registry
from inventory.parts.models import Part

from .calc.writing import dimensions, short
from .queries import fastener_of


def codes_of_parts(ids: Collection[int]) -> dict[int, list[str]]:
    found = {}
    for part in Part.objects.filter(pk__in=ids).exclude(fastener="").only("pk", "fastener"):
        if fastener := fastener_of(part):
            sizes = dict.fromkeys((short(fastener), dimensions(fastener)))
            found[part.pk] = [text.replace("×", by) for text in sizes for by in ("x", " x ")]
    return found


def install() -> None:
    registry.add_codes("part", codes_of_parts)

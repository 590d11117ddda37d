"""Widths of the face labels are set in, read from the same font files the print embeds."""

from functools import cache, lru_cache

from django.conf import settings
from fontTools.ttLib import TTFont

WEIGHTS = (400, 600, 700)
SUBSETS = ("latin", "latin-ext")
UNKNOWN = 1.0  # em for a character the face lacks: wide enough for whichever face stands in


def font_file(subset: str, weight: int):
    return settings.BASE_DIR / "static/fonts" / f"barlow-semi-condensed-{subset}-{weight}-normal.woff2"


@cache
def _advances(weight: int) -> dict[str, float]:
    advances = {}
    for subset in SUBSETS:
        font = TTFont(font_file(subset, weight), lazy=True)
        units, metrics = font["head"].unitsPerEm, font["hmtx"].metrics
        for point, glyph in font.getBestCmap().items():
            advances.setdefault(chr(point), metrics[glyph][0] / units)
    return advances


@lru_cache(maxsize=4096)
def measure(text: str, weight: int) -> float:
    """Width of the text in em, without kerning (which only draws letters together in this face)."""
    advances = _advances(weight)
    return sum(advances.get(c, UNKNOWN) for c in text) or 0.001

"""Addresses: the short path of a place, as C1·L2·14."""

import re

DOT = "·"


def join_address(parent: str, short: str, *, glued: bool = False) -> str:
    """The address of a place from its parent's address and its own short piece.

    An empty piece adds nothing. A glued piece (a shelf on its rack) follows without a dot: L + 2 is L2.
    """
    if not parent or not short:
        return parent or short
    return f"{parent}{'' if glued else DOT}{short}"


def address_key(text: str) -> str:
    """An address however it was typed, in the form it is looked up by.

    'c1 l2-3', 'C1.L2.3' and 'C1·L2·03' are all 'C1·L2·3': any gap is a dot, and zeros before a number say nothing.
    """
    joined = re.sub(r"[\s·•.,/\\|>–—_-]+", DOT, text.strip().upper()).strip(DOT)
    return re.sub(r"(?<![0-9])0+(?=[0-9])", "", joined)


def sort_key(key: str) -> list[tuple[int, str]]:
    """To sort address keys by as a person counts: C1·2 before C1·10."""
    return [(int(piece), "") if piece.isdecimal() else (0, piece) for piece in re.split(r"(\d+)", key)]


def squeezed(text: str) -> str:
    """An address without its gaps, as it is typed in a hurry: 'c1l214' and 'C1·L2·14' are both 'C1L214'."""
    return re.sub(r"[\s·•.,/\\|>–—_-]+", "", text.upper())

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
    """An address however it was typed, in the form it is looked up by: 'c1 l2-14' and 'C1.L2.14' are 'C1·L2·14'."""
    return re.sub(r"[\s·•.,/\\|>–—_-]+", DOT, text.strip().upper()).strip(DOT)

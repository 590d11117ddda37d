"""Who gets the parts on hand when several open tasks want the same ones.

Claims are served in the order given (started tasks first, then the order of the plan): each takes
what is left. A part asked for only in words is not on hand until somebody says it is.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Claim:
    """line: its id. part: id of the part, None when only words. wanted: how many are still to come."""

    line: int
    part: int | None
    wanted: Decimal


@dataclass(frozen=True, slots=True)
class Share:
    """claimed: how many of those on hand are spoken for by this line. missing: how many are not there."""

    claimed: Decimal
    missing: Decimal


def share_out(claims: Iterable[Claim], on_hand: Mapping[int, Decimal]) -> dict[int, Share]:
    """What each line gets, by line id. claimed + missing = wanted; no part is claimed twice."""
    left = dict(on_hand)
    shares = {}
    for claim in claims:
        wanted = max(claim.wanted, Decimal(0))
        claimed = Decimal(0)
        if claim.part is not None:
            claimed = min(wanted, max(left.get(claim.part, Decimal(0)), Decimal(0)))
            left[claim.part] = left.get(claim.part, Decimal(0)) - claimed
        shares[claim.line] = Share(claimed, wanted - claimed)
    return shares

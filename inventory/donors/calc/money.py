"""What a donor came to, and how much of it the fitted parts carry.

Paid = price + costs - sold - scrap value, where scrap value = weight x rate.

Rule of the shares: what was paid is carried by the parts that were kept, each kind alike whatever its size; of a kind
of which some pieces were sold, scrapped or used up, only the kept fraction carries. The fitted ones carry theirs now,
the others when they are fitted. This is the physical-measure method of sharing a joint cost, each kind counted as one
(cost accounting, common practice, no source); what is sold has already taken its proceeds off the cost.
All money is exact Decimal, in whatever currency it was typed, rounded half up to two places at the end.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")
NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class Kept:
    """One kind of part off the donor: pieces pulled, of these fitted, and of these gone (sold, scrapped, used up)."""

    pulled: Decimal
    fitted: Decimal = NOTHING
    gone: Decimal = NOTHING


@dataclass(frozen=True, slots=True)
class Reckoning:
    """`paid` is below nothing where the donor brought in more than it cost. `carried` is the fitted parts' share.

    `each`: what one kind that was kept whole carries; None where nothing was kept. `kept` and `fitted`: how many kinds
    those are, as fractions where only some pieces of a kind were.
    """

    price: Decimal
    costs: Decimal
    sold: Decimal
    scrap: Decimal
    paid: Decimal
    kept: Decimal
    fitted: Decimal
    each: Decimal | None
    carried: Decimal

    @property
    def spent(self) -> Decimal:
        return self.price + self.costs


def rounded(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, ROUND_HALF_UP)


def scrap_value(kilograms: Decimal | None, per_tonne: Decimal | None) -> Decimal:
    """Weight in kg times the rate for 1000 kg; nothing where either is not known."""
    if kilograms is None or per_tonne is None:
        return NOTHING
    return rounded(kilograms * per_tonne / 1000)


def reckon(
    *,
    price: Decimal | None,
    costs: Sequence[Decimal] = (),
    sold: Sequence[Decimal] = (),
    scrap: Decimal = NOTHING,
    parts: Sequence[Kept] = (),
) -> Reckoning:
    """The whole working. A price that is not known counts as nothing."""
    price = price or NOTHING
    spent, came_in = sum(costs, NOTHING), sum(sold, NOTHING)
    paid = rounded(price + spent - came_in - scrap)
    kept = sum((_fraction(part.pulled - part.gone, part.pulled) for part in parts), NOTHING)
    fitted = sum((_fraction(min(part.fitted, part.pulled - part.gone), part.pulled) for part in parts), NOTHING)
    each = paid / kept if kept else None
    carried = rounded(each * fitted) if each is not None else NOTHING
    return Reckoning(
        price=rounded(price),
        costs=rounded(spent),
        sold=rounded(came_in),
        scrap=rounded(scrap),
        paid=paid,
        kept=kept,
        fitted=fitted,
        each=None if each is None else rounded(each),
        carried=carried,
    )


def _fraction(some: Decimal, of: Decimal) -> Decimal:
    return max(NOTHING, some) / of if of > 0 else NOTHING

"""An estimate of tightening torque, and how little it promises.

T = K·d·F with F the wanted clamp load, d the nominal diameter, K the nut factor (Shigley, Mechanical
Engineering Design, 9th ed., eq. 8-27). F is a share of the proof load: 0.75 for a joint taken apart again,
0.90 for one left (same, eq. 8-31). The clamp load reached at one torque scatters by about ±30 % (common
practice, no source). It is no substitute for the figure in the vehicle's manual, which wins wherever there
is one.
"""

from dataclasses import dataclass

from .strength import proof_load_n
from .threads import Thread
from .units import N_PER_LBF, NM_PER_LBF_FT

SHARE_OF_PROOF = 0.75
SCATTER = 0.30


@dataclass(frozen=True, slots=True)
class NutFactor:
    name: str
    k: float
    source: str


_SHIGLEY = "Shigley, 9th ed., table 8-15"
NUT_FACTORS = {
    factor.name: factor
    for factor in (
        NutFactor("dry", 0.20, "Mott, Machine Elements: plain, dry"),
        NutFactor("black", 0.30, _SHIGLEY),
        NutFactor("zinc", 0.20, _SHIGLEY),
        NutFactor("lubricated", 0.18, _SHIGLEY),
        NutFactor("any lubrication", 0.15, "Mott, Machine Elements"),
        NutFactor("cadmium", 0.16, _SHIGLEY),
        NutFactor("galvanised", 0.25, "shop chart: hot-dip, dry"),
    )
}

# The nut factor to start from for a finish; what is not listed starts from "dry".
FACTOR_FOR_FINISH = {
    "black": "black",
    "zinc": "zinc",
    "yellow zinc": "zinc",
    "cadmium": "cadmium",
    "galvanised": "galvanised",
}


@dataclass(frozen=True, slots=True)
class Torque:
    """Torque in N·m for a clamp load in N, and the range of clamp load that torque really gives.

    `estimate` and `manual_wins` are always true: they are here so that no page can forget to say so.
    """

    nm: float
    clamp_n: float
    clamp_low_n: float
    clamp_high_n: float
    factor: NutFactor
    share_of_proof: float
    scatter: float = SCATTER
    estimate: bool = True
    manual_wins: bool = True

    @property
    def lbf_ft(self) -> float:
        return self.nm / NM_PER_LBF_FT

    @property
    def clamp_lbf(self) -> float:
        return self.clamp_n / N_PER_LBF


def torque_nm(k: float, diameter_mm: float, clamp_n: float) -> float:
    """T = K·d·F in N·m."""
    return k * diameter_mm / 1000 * clamp_n


def factor_for(finish: str) -> NutFactor:
    return NUT_FACTORS[FACTOR_FOR_FINISH.get(finish, "dry")]


def torque_estimate(
    thread: Thread, grade: str, factor: NutFactor, share_of_proof: float = SHARE_OF_PROOF
) -> Torque | None:
    """Torque to reach a share of proof load; None where the grade has no proof strength. 0 < share ≤ 1."""
    if not 0 < share_of_proof <= 1:
        raise ValueError(share_of_proof)
    proof = proof_load_n(thread, grade)
    if proof is None:
        return None
    clamp = share_of_proof * proof
    return Torque(
        nm=torque_nm(factor.k, thread.diameter_mm, clamp),
        clamp_n=clamp,
        clamp_low_n=clamp * (1 - SCATTER),
        clamp_high_n=clamp * (1 + SCATTER),
        factor=factor,
        share_of_proof=share_of_proof,
    )

"""A fastener made ready for a page: its fields, its facts, and the torque for the nut factor that was chosen."""

from collections.abc import Mapping

from . import words
from .calc.facts import facts
from .calc.fastener import Fastener
from .calc.torque import NUT_FACTORS, SHARE_OF_PROOF, factor_for
from .calc.writing import format as written
from .calc.writing import short

SHARES = (("0.75", "Comes apart again: 75 %"), ("0.9", "Left for good: 90 %"))


def shown(asked: Mapping[str, str], fastener: Fastener) -> dict:
    """`asked` may hold `nut`, a name of NUT_FACTORS, and `share`, one of SHARES; anything else is as if not asked."""
    nut = asked.get("nut", "")
    nut = nut if nut in NUT_FACTORS else factor_for(fastener.finish).name
    share = float(asked["share"]) if asked.get("share") in dict(SHARES) else SHARE_OF_PROOF
    known = facts(fastener, nut_factor=nut, share_of_proof=share)
    return {
        "fastener": fastener,
        "text": written(fastener),
        "short": short(fastener),
        "fields": words.fields_of(fastener),
        "rows": words.facts_rows(fastener, known),
        "torque": words.torque_said(known),
        "cautions": words.cautions_said(known),
        "factors": [
            (one.name, f"{one.name.capitalize()}, K = {one.k:.2f}", one.name == nut) for one in NUT_FACTORS.values()
        ],
        "shares": [(value, label, float(value) == share) for value, label in SHARES],
    }

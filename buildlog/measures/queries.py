"""How far off a measure may be in this shop."""

from .calc.lengths import INCH
from .models import Usual


def usual(how: str, system: str) -> str:
    """The plus-or-minus the shop has set for the instrument, as typed; '' where it has set none."""
    found = Usual.objects.filter(how=how).first()
    return (found.inch if system == INCH else found.mm) if found else ""

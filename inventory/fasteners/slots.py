"""What fasteners show on a part's page."""

from inventory.web.slots import Panel

from . import queries
from .calc.writing import format as written
from .showing import shown


def on_part(request, part) -> list[Panel]:
    """What is known of the fastener the part is; or whether it is one, where its name leaves that open."""
    if fastener := queries.fastener_of(part):
        context = shown(request.GET, fastener) | {
            "part": part,
            "others": list(queries.also_this(part)[:6]),
            "may_change": request.user.may_change and not part.retired_at,
        }
        return [Panel("As a fastener", "inventory/fasteners/on_part.html", context)]
    if reading := queries.perhaps(part):
        if not request.user.may_change:
            return []
        context = {"part": part, "text": written(reading.fastener)}
        return [Panel("Is it a fastener?", "inventory/fasteners/perhaps.html", context)]
    return []

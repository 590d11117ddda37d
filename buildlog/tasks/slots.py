"""What tasks show on the pages of the store."""

from decimal import Decimal

from inventory.web.slots import Panel, Wish

from . import queries
from .words import listed


def wanted_by(request, part) -> list[Panel]:
    """On a part's page: the open tasks that want it, what each has claimed and what it is short of."""
    claims = queries.claims_on(part)
    return [Panel("Spoken for", "buildlog/tasks/_claims.html", {"claims": claims, "part": part})] if claims else []


def lets_go_on(decision, by) -> str:
    """What is ready now that the question is decided."""
    waited = {task.pk for task in decision.tasks.all() if task.is_open} if decision.chosen_id else ()
    if not waited:
        return ""
    ready = [row.task.title for row in queries.plan(decision.build).ready if row.task.pk in waited]
    return f"{listed(ready)} can go on." if ready else ""


def short_of() -> list[Wish]:
    """What unfinished tasks use and nobody has on hand, each thing once: looked for on donors."""
    lines, shares = queries.shared_parts()
    missing: dict[object, list] = {}
    for line in (line for some in lines.values() for line in some):
        if shares[line.pk].missing:
            missing.setdefault(line.part_id or line.words.casefold(), []).append(line)
    return [
        Wish(
            what=some[0].part.name if some[0].part else some[0].words,
            quantity=sum((shares[line.pk].missing for line in some), Decimal(0)),
            why=some[0].task.title,
            side=some[0].part.side if some[0].part else "",
            part_id=some[0].part_id,
        )
        for some in missing.values()
    ]

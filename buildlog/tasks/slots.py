"""What tasks show on the pages of the store."""

from inventory.web.slots import Panel

from . import queries


def wanted_by(request, part) -> list[Panel]:
    """On a part's page: the open tasks that want it, what each has claimed and what it is short of."""
    claims = queries.claims_on(part)
    return [Panel("Spoken for", "buildlog/tasks/_claims.html", {"claims": claims, "part": part})] if claims else []

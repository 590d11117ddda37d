"""What was sent while nobody was signed in: send it now, or let it go."""

from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from inventory.web.access import guests_too
from inventory.web.http import SeeOther, page

from . import sent


@guests_too
@require_http_methods(["GET", "POST"])
def sent_before(request):
    """POST lets it go; sending it again goes to the page it was meant for."""
    found = sent.kept(request)
    if request.method == "POST" or found is None:
        sent.forget(request)
        return SeeOther("/") if request.method == "POST" else redirect("/")
    typed = [
        value for name, values in found["fields"] for value in values if value.strip() and name not in ("uid", "next")
    ]
    return page(request, "inventory/people/sent.html", {"sent": found, "typed": typed})

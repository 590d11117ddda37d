"""The page for a form that came from an address the shop does not know."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import REASON_BAD_ORIGIN
from django.shortcuts import render

from buildlog.config import env

BAD_ORIGIN = REASON_BAD_ORIGIN.partition(" - ")[0]


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """What was received, and the line to set where an unknown address is the cause."""
    origin = request.headers.get("Origin", "")
    line = ""
    if reason.startswith(BAD_ORIGIN):
        try:
            line = f"SITE_URL={env.as_url(origin)}"
        except env.Refused:
            origin = ""  # 'null', or not an address: nothing a setting could mend
    return render(
        request,
        "403_csrf.html",
        {"origin": origin if line else "", "line": line, "site": settings.SITE_URL, "reason": reason},
        status=403,
    )

"""Pages for a request that came by an address the shop does not know as its own: what was received, what to set."""

from django.conf import settings
from django.core.exceptions import DisallowedHost
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import REASON_BAD_ORIGIN
from django.shortcuts import render

from buildlog.config import env

BAD_ORIGIN = REASON_BAD_ORIGIN.partition(" - ")[0]


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form that was not taken."""
    received = _address(request.headers.get("Origin", "")) if reason.startswith(BAD_ORIGIN) else ""
    return render(request, "403_csrf.html", {"received": received, "site": settings.SITE_URL}, status=403)


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """An unknown Host, or a request nothing can be made of."""
    received = ""
    if isinstance(exception, DisallowedHost):
        received = _address(f"{request.scheme}://{request.META.get('HTTP_HOST', '')}")
    return render(request, "400.html", {"received": received, "site": settings.SITE_URL}, status=400)


def _address(text: str) -> str:
    """The text if it is an address a setting could name; else nothing, so that no stranger's words are shown."""
    try:
        return env.as_url(text)
    except env.Refused:
        return ""

"""Scanning for a page: whoever sent somebody to the Scan page gets the code back, by whatever camera it is read.

The page leads to Scan with ?back=<its own address>. The next label that is looked at leads there, with ?scanned=<code>.
It is remembered by the phone (a signed cookie, for a few minutes), so that nothing is written here.
"""

from urllib.parse import urlencode

from django.core.signing import BadSignature
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme

COOKIE, LASTS = "scan-for", 5 * 60


def asked(request) -> str:
    """The page that a scan is wanted for, if it is one of this site."""
    back = request.GET.get("back", "")
    return back if back.startswith("/") and url_has_allowed_host_and_scheme(back, allowed_hosts=None) else ""


def remember(request, response: HttpResponse) -> HttpResponse:
    if back := asked(request):
        response.set_signed_cookie(
            COOKIE, back, max_age=LASTS, httponly=True, samesite="Lax", secure=request.is_secure()
        )
    return response


def waiting(request) -> str:
    try:
        return request.get_signed_cookie(COOKIE, default="", max_age=LASTS)
    except BadSignature:
        return ""


def lead_back(back: str, code: str) -> HttpResponse:
    """To the page that wanted it, with a label or an address; the next label leads to its own page again."""
    response = redirect(f"{back}?{urlencode({'scanned': code})}")
    response.delete_cookie(COOKIE, samesite="Lax")
    return response

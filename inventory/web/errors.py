"""Pages for what went wrong: each says what happened and what to do."""

import sys

from django.db import OperationalError
from django.shortcuts import render

SOON = "5"  # seconds


def forbidden(request, exception=None):
    return render(request, "403.html", {"why": str(exception or "")}, status=403)


def not_found(request, exception=None):
    return render(request, "404.html", status=404)


def broken(request):
    """Something broke; or the database was held by another for longer than one waits for it, which passes."""
    error = sys.exc_info()[1]
    if isinstance(error, OperationalError) and "locked" in str(error):
        answer = render(request, "503.html", status=503)
        answer.headers["Retry-After"] = SOON
        return answer
    return render(request, "500.html", status=500)

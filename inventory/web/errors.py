"""Pages for what went wrong: each says what happened and what to do."""

from django.shortcuts import render


def forbidden(request, exception=None):
    return render(request, "403.html", {"why": str(exception or "")}, status=403)


def not_found(request, exception=None):
    return render(request, "404.html", status=404)


def broken(request):
    return render(request, "500.html", status=500)

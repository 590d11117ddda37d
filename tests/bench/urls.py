"""The site, and beside it the barest views that do as much: so many bytes, one insert."""

from django.db import transaction
from django.http import HttpResponse
from django.urls import include, path

from inventory.parts.models import Batch

FILLING = "<p>as many bytes as ours, and nothing else</p>\n" * 40_000


def bare(request, size: int):
    """A page of so many bytes, behind the same middleware."""
    return HttpResponse(FILLING[:size])


def bare_insert(request):
    """One row, one durable commit, the same pragmas."""
    with transaction.atomic():
        Batch.objects.create(what=request.POST.get("what", ""))
    return HttpResponse(status=303, headers={"Location": "/"})


urlpatterns = [
    path("bare/<int:size>/", bare, name="bare"),
    path("bare-insert/", bare_insert, name="bare_insert"),
    path("", include("buildlog.config.urls")),
]

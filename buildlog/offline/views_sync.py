"""What a phone asks when it sends what it kept: who am I, and here is a photo. The forms go to their own views."""

import re

from django.http import JsonResponse
from django.middleware.csrf import get_token
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_POST, require_safe

from inventory.photos import actions as photos
from inventory.photos.imaging import NotAPicture
from inventory.web.http import page

from . import queries, shell, waiting
from .forms import PhotoForm
from .middleware import FORMAT, refused

DIGEST = re.compile("[0-9a-f]{64}")  # a sha256
MOST_ORIGINALS = 200  # asked about at once


@require_safe
@cache_control(private=True, no_store=True)
def hello(request):
    """Who is signed in, and a token for this sending; with ?keep the pages to keep for the bench.

    Where nobody is signed in, the login middleware has answered.
    """
    person = request.user
    said = {"outbox": FORMAT, "person": person.pk, "name": person.name, "may_change": person.may_change}
    said |= {"csrf": get_token(request), "build": shell.build()}
    if "keep" in request.GET:
        said["keep"] = queries.bench_pages()
    return JsonResponse(said)


@require_POST
def photo(request, number):
    """One photo, ahead of its form."""
    form = PhotoForm(request.POST, request.FILES)
    if not form.is_valid():
        return refused([{"text": str(text)} for texts in form.errors.values() for text in texts])
    file = form.cleaned_data["photo"]
    try:
        waiting.keep(
            number=number, data=file.read(), name=file.name, taken_at=form.cleaned_data["taken"], by=request.user
        )
    except NotAPicture as error:
        return refused([{"field": "photos", "label": "Photo", "text": str(error)}])
    return JsonResponse({"outbox": FORMAT, "kept": str(number)})


@require_POST
def originals(request):
    """Which originals a phone should send (`wanted`), and of which the small photo is not here yet (`unknown`)."""
    digests = [name for name in request.POST.get("digests", "").split(",") if DIGEST.fullmatch(name)][:MOST_ORIGINALS]
    lack, unknown = photos.wanted(digests, request.user)
    return JsonResponse({"outbox": FORMAT, "wanted": lack, "unknown": unknown})


@require_POST
def original(request, digest):
    """The original of the photo that was sent as the file of this sha256."""
    form = PhotoForm(request.POST, request.FILES)
    if not form.is_valid():
        return refused([{"text": str(text)} for texts in form.errors.values() for text in texts])
    file = form.cleaned_data["photo"]
    try:
        photos.add_original(digest=digest, data=file.read(), by=request.user, name=file.name)
    except NotAPicture as error:
        return refused([{"text": str(error)}])
    return JsonResponse({"outbox": FORMAT, "kept": digest})


@require_safe
def waiting_page(request):
    """Kept in every phone: what waits there is told by the phone itself."""
    return page(request, "buildlog/offline/waiting.html", {"here": "shop"})

"""Put things in here: one place, then one thing after another, each put in at once and each with its Undo."""

import uuid
from datetime import UTC, datetime

from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.parts import actions as parts
from inventory.parts.forms import refuse, sent_before
from inventory.parts.ledger import Refused
from inventory.parts.models import Batch, Part
from inventory.photos import actions as photos
from inventory.photos.imaging import NotAPicture
from inventory.places.models import Location
from inventory.web import flash
from inventory.web.http import SeeOther, back_to, page
from inventory.web.picker import ticked

from . import putting, queries
from .forms import PutHereForm


@require_http_methods(["GET", "POST"])
def put(request, number):
    place = get_object_or_404(Location.objects.current(), pk=number)
    part = request.GET.get("part", "")
    scanned = Part.objects.current().filter(pk=part if part.isdecimal() and len(part) < 12 else 0).first()
    form = PutHereForm(request.POST or None, request.FILES or None, place=place, part=scanned)
    if (form.is_valid() and _put_in(request, form, place)) or sent_before(form):
        return SeeOther(reverse("inventory:labels_put", args=[place.pk]))
    context = {
        "place": place,
        "form": form,
        "scanned": scanned,
        "batches": _this_turn(request, place),
        "mode": putting.since(request, place) is not None,
        "here": "scan",
    }
    return page(request, "inventory/labels/put.html", context, status=422 if form.is_bound else 200)


def _put_in(request, form, place: Location) -> bool:
    data = form.cleaned_data
    try:
        batch = parts.put_in_perhaps_new(
            part=data["part"],
            quantity=data["quantity"],
            target=place,
            source=data["source"],
            by=request.user,
            uid=data["uid"],
        )
    except Refused as error:
        refuse(form, error)
        return False
    except ValidationError as error:
        form.add_error("quantity", error.messages)
        return False
    if putting.since(request, place) is None:
        putting.begin(request, place)
    putting.stay(request)
    flash.done(request, f"{batch.what}.", undo=reverse("inventory:parts_undo", args=[batch.pk]))
    _keep_photos(request, data, batch.moves.first().part)
    return True


def _keep_photos(request, data: dict, part: Part) -> None:
    """The thing is in already: a picture that can't be read is said, and loses nothing else."""
    for number, file in enumerate(data["photos"]):
        try:
            uid = uuid.uuid5(data["uid"], f"photo {number}")
            photos.add(data=file.read(), name=file.name, part=part, uid=uid, by=request.user)
        except NotAPicture as error:
            flash.refused(request, f"The photo was not kept. {error}")


def _this_turn(request, place: Location):
    """What this person put in since the turn began, the newest first."""
    began = putting.since(request, place)
    if began is None:
        return []
    since = datetime.fromtimestamp(began - 1, UTC)
    return (
        Batch.objects.filter(by=request.user, at__gte=since, moves__target=place, undoes=None)
        .select_related("undone_by")
        .distinct()
        .order_by("-at")[:50]
    )


@require_POST
def begin(request, number):
    place = get_object_or_404(Location.objects.current(), pk=number)
    putting.begin(request, place)
    return SeeOther(reverse("inventory:labels_put", args=[place.pk]))


@require_POST
def end(request):
    place = putting.place_of(request)
    putting.end(request)
    return SeeOther(back_to(request, place.get_absolute_url() if place else reverse("inventory:scan")))


@require_safe
def pick(request):
    """What a typed code or name may mean, as choices."""
    return _choices(request, queries.pick_scanned)


@require_safe
def pick_place(request):
    """As pick, for a place."""
    return _choices(request, queries.pick_place)


def _choices(request, search):
    name = request.GET.get("name", "")
    text = request.GET.get(f"{name}_text", "").strip()[:120]
    choices = search(text) if text else []
    context = {"choices": choices, "name": name, "picked": ticked(choices)}
    return render(request, "ui/picks.html", context)

"""The verbs of the store, one screen each. Each ends on the page it came from, saying what it did, with Undo."""

from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.places.models import Location
from inventory.web import flash
from inventory.web.http import SeeOther, back_to, done, page

from . import actions, queries
from .forms import CorrectForm, CountForm, LeaveForm, MoveManyForm, PutInForm, TakeOutForm, refuse, sent_before
from .ledger import Refused
from .models import Batch, Holding, Part


def _place(request, *, required: bool = True) -> Location | None:
    number = request.GET.get("place", "")
    if not number and not required:
        return None
    return get_object_or_404(Location.objects.current(), pk=number if number.isdecimal() else 0)


def _part(request, *, required: bool = True) -> Part | None:
    number = request.GET.get("part", "")
    if not number and not required:
        return None
    return get_object_or_404(Part.objects.current(), pk=number if number.isdecimal() else 0)


def _held(place: Location, part: Part) -> Holding | None:
    """What is to leave the place. None: somebody was quicker, which the page says; of a form the ledger says who."""
    return queries.holdings_at(place).filter(part=part).first()


def _said(request, batch: Batch, *, to: str):
    """Say what was done, offer Undo, and go on."""
    text = f"{batch.what} (undone since)" if batch.repeated and batch.undone else batch.what
    flash.done(request, f"{text}.", undo=reverse("inventory:parts_undo", args=[batch.pk]))
    return done(request, back_to(request, to))


def _home(place: Location | None, part: Part | None = None) -> str:
    """The page a verb ends on: the place it was started from, else the part."""
    if place is not None:
        return place.get_absolute_url()
    return reverse("inventory:parts_detail", args=[part.pk])


@require_http_methods(["GET", "POST"])
def put_in(request):
    place, part = _place(request, required=False), _part(request, required=False)
    form = PutInForm(request.POST or None, person=request.user, place=place, part=part)
    if form.is_valid():
        data = form.cleaned_data
        try:
            batch = actions.put_in_perhaps_new(
                part=data["part"],
                quantity=data["quantity"],
                source=data["source"],
                target=data["place"],
                note=data["note"],
                by=request.user,
                uid=data["uid"],
            )
            return _said(request, batch, to=_home(place, part))
        except Refused as error:
            refuse(form, error)
    elif batch := sent_before(form):
        return _said(request, batch, to=_home(place, part))
    context = {"form": form, "place": place, "part": part, "here": "find"}
    return page(request, "inventory/parts/put_in.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def take_out(request):
    place, part = _place(request), _part(request, required=False)
    if part is None:
        context = {"place": place, "holdings": queries.holdings_at(place), "here": "find"}
        return page(request, "inventory/parts/take_which.html", context)
    held = _held(place, part)
    form = TakeOutForm(request.POST or None, person=request.user, part=part, source=place)
    if form.is_valid():
        data = form.cleaned_data
        try:
            batch = actions.take_out(
                part=part,
                quantity=data["quantity"],
                source=place,
                target=data["place"],
                note=data["note"],
                by=request.user,
                uid=data["uid"],
            )
            return _said(request, batch, to=_home(place))
        except Refused as error:
            refuse(form, error)
    context = {"form": form, "place": place, "part": part, "held": held, "here": "find"}
    return page(request, "inventory/parts/take_out.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def leave(request):
    place, part = _place(request), _part(request)
    held = _held(place, part)
    form = LeaveForm(request.POST or None, part=part)
    if form.is_valid():
        data = form.cleaned_data
        try:
            batch = actions.leave_shop(
                part=part,
                quantity=data["quantity"],
                source=place,
                reason=data["reason"],
                note=data["note"],
                cost=data["cost"],
                by=request.user,
                uid=data["uid"],
            )
            return _said(request, batch, to=_home(place))
        except Refused as error:
            refuse(form, error)
    context = {"form": form, "place": place, "part": part, "held": held, "here": "find"}
    return page(request, "inventory/parts/leave.html", context, status=422 if form.is_bound else 200)


def _said_or(request, held):
    """The number a page before this one has found (?counted=), else what is there."""
    counted = request.GET.get("counted", "")
    return int(counted) if counted.isdecimal() and len(counted) < 7 else held.quantity if held else 0


@require_http_methods(["GET", "POST"])
def correct(request):
    place, part = _place(request), _part(request)
    held = queries.holdings_at(place).filter(part=part).first()
    form = CorrectForm(request.POST or None, part=part, initial={"quantity": _said_or(request, held)})
    if form.is_valid():
        try:
            batch = actions.count(
                location=place,
                counted={part: form.cleaned_data["quantity"]},
                by=request.user,
                uid=form.cleaned_data["uid"],
                whole_place=False,
            )
            return _said(request, batch, to=_home(place))
        except Refused as error:
            refuse(form, error)
    context = {"form": form, "place": place, "part": part, "held": held, "here": "find"}
    return page(request, "inventory/parts/correct.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def count(request):
    place = _place(request)
    numbers = [number for number in request.GET.get("also", "").split(",") if number.isdecimal() and len(number) < 12]
    also = Part.objects.current().filter(pk__in=numbers)
    form = CountForm(request.POST or None, holdings=queries.holdings_at(place), also=also)
    if form.is_valid():
        data = form.cleaned_data
        try:
            batch = actions.count(location=place, counted=form.counted(), by=request.user, uid=data["uid"])
            return _said(request, batch, to=_home(place))
        except Refused as error:
            refuse(form, error)
    context = {"form": form, "place": place, "here": "find"}
    return page(request, "inventory/parts/count.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def several(request):
    place = _place(request)
    form = MoveManyForm(request.POST or None, person=request.user, source=place)
    if form.is_valid():
        data = form.cleaned_data
        try:
            batch = actions.move_many(
                source=place, things=data["things"], target=data["place"], by=request.user, uid=data["uid"]
            )
            return _said(request, batch, to=_home(place))
        except Refused as error:
            refuse(form, error)
    return _several(request, place, form)


@require_POST
def empty(request):
    """All of it: the several-things page posts here when everything is to go."""
    place = _place(request)
    form = MoveManyForm(request.POST, person=request.user, source=place, all_of_it=True)
    if form.is_valid():
        data = form.cleaned_data
        try:
            batch = actions.empty_into(
                source=place, seen=data["seen"], target=data["place"], by=request.user, uid=data["uid"]
            )
            return _said(request, batch, to=_home(place))
        except Refused as error:
            refuse(form, error)
    return _several(request, place, form)


def _several(request, place: Location, form: MoveManyForm):
    context = {"form": form, "place": place, "holdings": queries.holdings_at(place), "here": "find"}
    return page(request, "inventory/parts/several.html", context, status=422 if form.is_bound else 200)


@require_POST
def undo(request, uid):
    batch = get_object_or_404(Batch, pk=uid)
    try:
        undoing = actions.undo(batch=batch, by=request.user)
        flash.done(request, " ".join([f"Undone: {batch.what}.", *undoing.stays]))
    except (Refused, actions.CannotUndo) as error:
        flash.refused(request, f"That can’t be undone any more. {error}")
    return SeeOther(back_to(request, reverse("inventory:parts_lately")))


@require_safe
def lately(request):
    some = Paginator(queries.latest_batches(), 40).get_page(request.GET.get("page"))
    return page(request, "inventory/parts/lately.html", {"page": some, "here": "shop"})

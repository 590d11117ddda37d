"""Changing a place that is there: its name, where it stands, its grid, and whether it is used."""

from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from inventory.web import flash
from inventory.web.http import done, page

from . import actions, actions_grid
from .actions import NotEmpty
from .drawings import of_grid
from .forms_edit import EditForm, LayoutForm, MovePlaceForm
from .grids import holder_of, load
from .models import Location


def _get(number: int) -> Location:
    return get_object_or_404(Location.objects.select_related("parent__parent"), pk=number)


def _said(request, change, place: Location):
    """Say what was done, with its Undo, and go back to the place."""
    flash.done(request, f"{change}.", undo=reverse("inventory:places_undo", args=[change.pk]))
    return done(request, place.get_absolute_url())


@require_http_methods(["GET", "POST"])
def edit(request, number):
    place = _get(number)
    form = EditForm(request.POST or None, instance=place)
    if form.is_valid():
        try:
            return _said(request, actions.rename(place=place, by=request.user, **form.cleaned_data), place)
        except ValidationError as error:
            form.add_error("short", error.messages[0])
    context = {"form": form, "place": place, "title": "Name and notes", "button": "Save", "here": "places"}
    return page(request, "inventory/places/edit.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def move(request, number):
    place = _get(number)
    form = MovePlaceForm(request.POST or None, place=place)
    if form.is_valid():
        data = form.cleaned_data
        to = None if data["outermost"] else data["to"]
        short = data["short"] or place.short
        try:
            change = actions.move_place(place=place, to=to, by=request.user, short=short, side=data["side"])
            return _said(request, change, place)
        except ValidationError as error:
            form.add_error("short" if "is taken" in error.messages[0] else "to", error.messages[0])
    context = {
        "form": form,
        "place": place,
        "title": "Move it",
        "button": "Move it with all it holds",
        "here": "places",
    }
    return page(request, "inventory/places/edit.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def layout(request, number):
    place = _get(number)
    if holder_of(place) != place:
        raise Http404
    grid = load(place)
    form = LayoutForm(request.POST or None, grid=grid)
    if form.is_valid():
        try:
            change = actions_grid.lay_out(holder=place, by=request.user, **form.arrangement())
            return _said(request, change, place)
        except ValidationError as error:
            form.add_error(None, error.messages[0])
            grid = load(_get(number))
    context = {"form": form, "place": place, "title": "Shelves, bins and numbers", "button": "Lay it out so"}
    context |= {"picture": of_grid(grid), "here": "places"}
    return page(request, "inventory/places/edit.html", context, status=422 if form.is_bound else 200)


def _do(request, place: Location, act, *, go_to_kept: bool = False):
    """One small change that needs no form; a refusal is told on the place's own page.

    `go_to_kept`: of two cells that became one, the page of the one that stays is shown.
    """
    try:
        change = act()
        kept = change.edits[-1][0] if go_to_kept else place.pk
        return _said(request, change, place if kept == place.pk else _get(kept))
    except NotEmpty as error:
        flash.refused(request, error.messages[0])
    except ValidationError as error:
        flash.refused(request, error.messages[0])
    return done(request, _get(place.pk).get_absolute_url())


@require_POST
def retire(request, number):
    place = _get(number)
    return _do(request, place, lambda: actions.retire(place=place, by=request.user))


@require_POST
def bring_back(request, number):
    place = _get(number)
    return _do(request, place, lambda: actions.bring_back(place=place, by=request.user))


@require_POST
def unused(request, number):
    place = _get(number)
    to = request.POST.get("unused") == "1"
    return _do(request, place, lambda: actions_grid.leave_unused(cell=place, unused=to, by=request.user))


@require_POST
def join(request, number):
    place = _get(number)
    asked = request.POST.get("with", "")
    other = get_object_or_404(Location, pk=asked if asked.isdecimal() else 0, retired_at=None)
    return _do(request, place, lambda: actions_grid.join(cell=place, other=other, by=request.user), go_to_kept=True)


@require_POST
def split(request, number):
    place = _get(number)
    return _do(request, place, lambda: actions_grid.split(cell=place, by=request.user))

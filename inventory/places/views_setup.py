"""Setting up places: a container with racks, a rack, an organizer, or a single place, each drawn before it is made."""

from django.core.exceptions import ValidationError
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from inventory.web import flash
from inventory.web.http import done, page, wants_fragment

from .actions_grid import set_up
from .drawings import of_grid, of_plan
from .forms import ContainerForm, OrganizerForm, OtherForm, RackForm
from .grids import Grid
from .models import Kind, Location
from .queries import get_place

WORDS = {
    ContainerForm: ("Set up a container", "A container, a shed or a room with racks along its walls."),
    RackForm: ("Set up a rack", "Shelves above each other, with bins on them or without."),
    OrganizerForm: ("Set up an organizer", "A cabinet of small drawers, rows by columns."),
    OtherForm: ("Add a place", "A site, a bench, a bin, a vehicle: anywhere a part can be."),
}


OTHERS = [
    (Kind.SITE, "The yard, the barn, a firm you send things to"),
    (Kind.BENCH, "A bench, a table, a press"),
    (Kind.BIN, "A bin or a box that stands by itself"),
    (Kind.SHELF, "A single shelf on the wall"),
    (Kind.VEHICLE, "A donor, or the one you build"),
]


@require_safe
def choose(request):
    parent = get_place(request.GET.get("in", ""))
    return page(request, "inventory/places/choose.html", {"parent": parent, "others": OTHERS, "here": "places"})


def _set_up(request, form_class, **more):
    parent = get_place(request.GET.get("in", ""))
    if request.method == "GET" and wants_fragment(request):
        return _preview(request, form_class(request.GET, parent=parent, **more))
    form = form_class(request.POST or None, parent=parent, **more)
    if form.is_valid():
        try:
            top = set_up(places=form.places(), by=request.user)
            flash.done(request, f"{top.title} is set up.", undo=_undo_of(top))
            return done(request, top.get_absolute_url())
        except ValidationError as error:
            form.add_error("short", error.messages[0])
    title, says = WORDS[form_class]
    context = {"form": form, "title": title, "says": says, "parent": parent, "here": "places"}
    context |= _pictures(form if form.is_bound else form_class(_defaults(form), parent=parent, **more))
    return page(request, "inventory/places/setup.html", context, status=422 if form.is_bound else 200)


def _defaults(form) -> dict:
    return {name: form.get_initial_for_field(field, name) for name, field in form.fields.items()}


def _undo_of(place: Location) -> str:
    return reverse("inventory:places_undo", args=[place.changes.first().pk])


def _preview(request, form):
    return render(request, "inventory/places/setup.html#preview", _pictures(form))


def _pictures(form) -> dict:
    """Drawings of what the form would make, and how much that is; nothing while it can't be drawn."""
    try:
        places = form.as_drawn()
    except (ValidationError, TypeError, KeyError):
        return {"pictures": []}
    top, inside = places[0], places[1:]
    holders = [place for place in places if place.kind in (Kind.RACK, Kind.ORGANIZER)]
    drawn = [of_plan(top, [p for p in inside if p.parent is top])] if top.kind == Kind.CONTAINER else []
    drawn += [of_grid(_unsaved_grid(holder, inside)) for holder in holders[:6]]
    cells = sum(place.kind in (Kind.BIN, Kind.DRAWER) for place in inside)
    return {"pictures": [one for one in drawn if one], "racks": len(holders), "cells": cells}


def _unsaved_grid(holder: Location, inside: list[Location]) -> Grid:
    grid = Grid(holder, [place for place in inside if place.parent is holder and place.kind == Kind.SHELF])
    rows = {id(shelf): row for row, shelf in enumerate(grid.shelves)} or {id(holder): None}
    for place in inside:
        if place.row is not None and id(place.parent) in rows and place.kind != Kind.SHELF:
            row = rows[id(place.parent)]
            grid.cells[place.row if row is None else row, place.col] = place
    return grid


@require_http_methods(["GET", "POST"])
def container(request):
    return _set_up(request, ContainerForm)


@require_http_methods(["GET", "POST"])
def rack(request):
    return _set_up(request, RackForm)


@require_http_methods(["GET", "POST"])
def organizer(request):
    return _set_up(request, OrganizerForm)


@require_http_methods(["GET", "POST"])
def other(request):
    return _set_up(request, OtherForm, what=request.GET.get("what", "bench"))

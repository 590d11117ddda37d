"""The list of all places, and a place's own page."""

from django.http import Http404
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from inventory.web import flash, slots
from inventory.web.http import back_to, done, page

from . import actions, queries
from .drawings import drawn_cabinet, needs_plan_of, of_grid, of_plan
from .grids import Grid, holder_of, load
from .models import Kind, Location, LocationChange


@require_safe
def tree(request):
    return page(request, "inventory/places/tree.html", {"places": queries.tree(), "here": "places"})


@require_safe
def detail(request, where):
    found = queries.find_place(where)
    if found is None and where.isdecimal():
        raise Http404
    if found is None:
        return page(request, "inventory/places/nowhere.html", {"asked": where[:60], "here": "places"}, status=404)
    place = found.place
    if where != place.where:
        if found.former:
            flash.done(
                request, f"{found.former} is now {place}." if not place.retired_at else f"{found.former} is gone."
            )
        return redirect(place)
    trail = place.way_down()[:-1]  # first: what follows asks for the parents
    kinds, pieces = queries.holds(place)
    grid_of = holder_of(place)
    grid = load(grid_of) if grid_of else None
    is_cell = grid is not None and grid.square_of(place) is not None
    standing = queries.standing_in(place)
    inside = queries.kinds_in_children(place) if standing else {}
    is_cabinet = place.kind == Kind.ORGANIZER and grid is not None
    context = {
        "place": place,
        "cabinet": drawn_cabinet(grid, slots.in_cells(place)) if is_cabinet else None,
        "trail": trail,
        "kinds": kinds,
        "pieces": pieces,
        "picture": None if is_cabinet else _picture(place, grid, standing, inside),
        "standing": [(child, inside.get(child.pk, 0)) for child in standing],
        "on_shelves": queries.on_shelves(place) if place.kind == Kind.RACK else [],
        "grid": grid,
        "is_cell": is_cell,
        "panels": slots.panels("place_page", request, place),
        "changes": place.changes.select_related("by")[:10],
        "here": "places",
        **(_beside(grid, place) if is_cell else {}),
    }
    return page(request, "inventory/places/detail.html", context)


def _picture(place: Location, grid: Grid | None, standing: list[Location], kinds: dict[int, int]):
    """The rack or cabinet with the one cell filled, or the plan of a container or yard."""
    if grid is not None:
        here = place if place.pk != grid.holder.pk else None
        return of_grid(grid, here=here, kinds=queries.kinds_in_cells(grid.holder))
    whole = needs_plan_of(place)
    if whole is None:
        return None
    if whole.pk == place.pk:
        return of_plan(place, standing, kinds=kinds)
    return of_plan(whole, queries.standing_in(whole), here=place)


def _beside(grid: Grid, place: Location) -> dict:
    """The cells before and after in the order of their numbers, and those it could be joined with."""
    cells = [cell for cell in grid.in_order() if not cell.unused or cell.pk == place.pk]
    at = next(number for number, cell in enumerate(cells) if cell.pk == place.pk)
    return {
        "before": cells[at - 1] if at else None,
        "after": cells[at + 1] if at + 1 < len(cells) else None,
        "neighbours": grid.neighbours(place),
    }


@require_POST
def undo(request, number):
    change = get_object_or_404(LocationChange, pk=number)
    place = change.location
    try:
        actions.undo(change=change)
        flash.done(request, f"Undone: {change}.")
    except actions.CannotUndo as error:
        flash.refused(request, str(error))
    still = Location.objects.filter(pk=place.pk).first() if place else None
    home = still.get_absolute_url() if still else reverse("inventory:places_tree")
    return done(request, home if still is None or still.retired_at else back_to(request, home))


@require_POST
def order(request, number):
    place = get_object_or_404(Location.objects.current(), pk=number)
    actions.reorder(place=place, up=request.POST.get("up") == "1", by=request.user)
    return done(
        request,
        reverse("inventory:places_arrange", args=[place.parent_id])
        if place.parent_id
        else reverse("inventory:places_tree"),
    )


@require_safe
def arrange(request, number):
    place = get_object_or_404(Location.objects.current(), pk=number)
    standing = queries.standing_in(place)
    if not standing:
        raise Http404
    return page(request, "inventory/places/arrange.html", {"place": place, "standing": standing, "here": "places"})

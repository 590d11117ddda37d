"""Filling the drawers of a cabinet from a typed list."""

from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from inventory.places.models import Kind, Location
from inventory.web import flash
from inventory.web.http import done, page

from .actions import fill as fill_drawers
from .forms import FillForm
from .plan import make_plan


@require_http_methods(["GET", "POST"])
def fill(request, number):
    """The list, then what was understood of it, line by line, then so it is."""
    cabinet = get_object_or_404(Location.objects.current().filter(kind=Kind.ORGANIZER), pk=number)
    form = FillForm(request.POST or None)
    plan = []
    if form.is_valid():
        plan = make_plan(cabinet, form.cleaned_data["lines"], keep=form.cleaned_data["keep"] or 0)
    wrong = sum(bool(row.trouble) for row in plan)
    if plan and not wrong and request.POST.get("step") == "fill":
        batch = fill_drawers(cabinet=cabinet, plan=plan, by=request.user, uid=form.number)
        undo = reverse("inventory:parts_undo", args=[batch.pk]) if batch.moves.exists() else ""
        flash.done(request, f"{batch}.", undo=undo)
        return done(request, cabinet.get_absolute_url())
    context = {
        "cabinet": cabinet,
        "form": form,
        "plan": sorted(plan, key=lambda row: not row.trouble),  # what can't be done first
        "wrong": wrong,
        "new": len({id(row.part) for row in plan if row.new}),
        "drawers": len({row.drawer.pk for row in plan if row.drawer}),
        "here": "places",
    }
    status = 422 if form.is_bound and (wrong or not plan) else 200
    return page(request, "inventory/organizers/fill.html", context, status=status)

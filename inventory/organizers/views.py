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
        keep = form.cleaned_data["keep"] or 0
        plan = make_plan(cabinet, form.cleaned_data["lines"], keep=keep, said=form.which)
    wrong, asks = sum(bool(row.trouble) for row in plan), sum(row.asks for row in plan)
    sent = request.POST.get("step") == "fill"
    undone = False
    if sent and plan and not wrong and not asks:
        batch = fill_drawers(cabinet=cabinet, plan=plan, by=request.user, uid=form.number)
        undone = batch.repeated and batch.undone
        if not undone:
            flash.done(request, f"{batch}.", undo=reverse("inventory:parts_undo", args=[batch.pk]))
            return done(request, cabinet.get_absolute_url())
        form.renew()
    context = {
        "cabinet": cabinet,
        "form": form,
        "plan": sorted(plan, key=lambda row: (not row.trouble, not row.asks)),  # what needs a person first
        "wrong": wrong,
        "asks": asks,
        "undone": undone,
        "new": len({id(row.part) for row in plan if row.new}),
        "drawers": len({row.drawer.pk for row in plan if row.drawer}),
        "here": "places",
    }
    status = 422 if form.is_bound and (wrong or not plan or (sent and asks) or undone) else 200
    return page(request, "inventory/organizers/fill.html", context, status=status)

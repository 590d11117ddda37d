"""A part's own page, and changes to what is known of it."""

from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.web import flash, slots
from inventory.web.http import SeeOther, done, page

from . import actions, queries
from .forms import MergeForm, PartForm
from .models import Part


@require_safe
def part_list(request):
    parts = Part.objects.current().with_on_hand().select_related("donor").order_by("name", "pk")
    if request.GET.get("low"):
        parts = Part.objects.low().select_related("donor").order_by("name", "pk")
    some = Paginator(parts, 50).get_page(request.GET.get("page"))
    context = {"page": some, "low": bool(request.GET.get("low")), "here": "find"}
    return page(request, "inventory/parts/list.html", context)


@require_safe
def detail(request, number):
    part = get_object_or_404(Part.objects.select_related("donor", "merged_into"), pk=number)
    if part.merged_into_id:
        flash.done(request, f"“{part}” was merged into this part.")
        return redirect("inventory:parts_detail", part.merged_into_id)
    holdings = list(queries.holdings_of(part))
    context = {
        "part": part,
        "holdings": holdings,
        "still_on": bool(holdings) and all(row.location_id == part.donor_id for row in holdings),
        "on_hand": sum(row.quantity for row in holdings),
        "spoken_for": queries.spoken_for(part),
        "picture": slots.pictures("part", [part.pk]).get(part.pk),
        "story": Paginator(queries.story(part), 30).get_page(request.GET.get("page")),
        "panels": slots.panels("part_page", request, part),
        "here": "find",
    }
    context["low"] = context["on_hand"] < part.keep_at_least
    return page(request, "inventory/parts/detail.html", context)


@require_http_methods(["GET", "POST"])
def new(request):
    form = PartForm(request.POST or None, initial={"name": request.GET.get("name", "")})
    if form.is_valid():
        part = form.save()
        flash.done(request, f"“{part}” is in the shop’s list. Now say where it is.")
        return done(request, f"{reverse('inventory:parts_put_in')}?part={part.pk}")
    return page(
        request,
        "inventory/parts/form.html",
        {"form": form, "here": "find"},
        status=422 if form.is_bound else 200,
    )


@require_http_methods(["GET", "POST"])
def edit(request, number):
    part = get_object_or_404(Part.objects.current(), pk=number)
    form = PartForm(request.POST or None, instance=part)
    if form.is_valid():
        form.save()
        flash.done(request, f"Changed “{part}”.")
        return done(request, reverse("inventory:parts_detail", args=[part.pk]))
    context = {"form": form, "part": part, "here": "find"}
    return page(request, "inventory/parts/form.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def merge(request, number):
    drop = get_object_or_404(Part.objects.current(), pk=number)
    form = MergeForm(request.POST or None, drop=drop)
    if form.is_valid():
        try:
            batch = actions.merge(keep=form.cleaned_data["keep"], drop=drop, by=request.user)
        except ValidationError as error:
            form.add_error("keep", error)
        else:
            undo = reverse("inventory:parts_undo", args=[batch.pk])
            flash.done(request, f"“{drop}” is now the same as this part.", undo=undo)
            return done(request, reverse("inventory:parts_detail", args=[form.cleaned_data["keep"].pk]))
    context = {"form": form, "part": drop, "here": "find"}
    return page(request, "inventory/parts/merge.html", context, status=422 if form.is_bound else 200)


@require_POST
def retire(request, number):
    part = get_object_or_404(Part.objects.current(), pk=number)
    try:
        deleted = actions.retire(part=part)
    except ValidationError as error:
        flash.refused(request, error.messages[0])
        return SeeOther(reverse("inventory:parts_detail", args=[number]))
    if deleted:
        flash.done(request, f"Deleted “{part}”; it had never been anywhere.")
        return SeeOther(reverse("inventory:parts_list"))
    flash.done(
        request,
        f"Retired “{part}”. Its history stays.",
        undo=reverse("inventory:parts_bring_back", args=[number]),
    )
    return SeeOther(reverse("inventory:parts_list"))


@require_POST
def bring_back(request, number):
    part = get_object_or_404(Part, pk=number, merged_into=None)
    Part.objects.filter(pk=part.pk).update(retired_at=None)
    flash.done(request, f"“{part}” is back in the list.")
    return SeeOther(reverse("inventory:parts_detail", args=[number]))

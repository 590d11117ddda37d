"""A code comes in: scanned with the phone's camera, typed, or read aloud. Looking never changes anything."""

from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.parts.models import Part
from inventory.web import flash, slots
from inventory.web.http import SeeOther, done, page

from . import actions, bases, codes, putting, queries, scan_for
from .forms import StickForm
from .models import Label


@require_safe
def scan(request):
    """The Scan page; with ?code= it leads on. Whatever reads a symbol inside the page hands its text in here."""
    text = request.GET.get("code", "").strip()[:300]
    found = queries.find(text, bases.known_hosts(request)) if text else None
    if found and found.label:
        return redirect("inventory:labels_resolve", code=found.label.code)
    if found and found.place:
        back = scan_for.waiting(request)
        return scan_for.lead_back(back, found.place.address) if back else redirect(found.place)
    context = {"text": text, "found": found, "putting": putting.place_of(request), "here": "scan"}
    context["back"] = scan_for.asked(request) or scan_for.waiting(request)
    context["panels"] = slots.panels("scan_page", request, None)
    response = page(request, "inventory/labels/scan.html", context, status=404 if found else 200)
    response._csp_extra = {"script-src": ["'wasm-unsafe-eval'"]}  # the scanner's library, here and nowhere else
    return scan_for.remember(request, response)


@require_safe
def resolve(request, code):
    """Where a label's address leads: the thing it is on, or a page that says what to do."""
    found = queries.find_code(code)
    label = found.label
    if label is None:
        context = {"found": found, "text": code, "here": "scan"}
        return page(request, "inventory/labels/unknown.html", context, status=404)
    if label.retired_at:
        context = {"label": label, "thing": queries.leads_to(label), "here": "scan"}
        return page(request, "inventory/labels/retired.html", context, status=410)
    thing = queries.leads_to(label)
    if thing is None:
        return _ask(request, label, StickForm(person=request.user))
    if back := scan_for.waiting(request):
        return scan_for.lead_back(back, label.code)
    into = putting.place_of(request)
    if into and isinstance(thing, Part):
        return redirect(f"{reverse('inventory:labels_put', args=[into.pk])}?part={thing.pk}")
    return redirect(thing)


def _ask(request, label, form, status=200):
    context = {"label": label, "form": form, "here": "scan"}
    return page(request, "inventory/labels/ask.html", context, status=status)


@require_http_methods(["GET", "POST"])
def stick(request, code):
    """Say what a label is stuck on: the first time, or when it was peeled off and stuck on again."""
    label = get_object_or_404(Label.objects.with_things(), code=codes.tidy(code))
    form = StickForm(request.POST or None, person=request.user)
    if not form.is_bound or not form.is_valid():
        return _ask(request, label, form, status=422 if form.is_bound else 200)
    data = form.cleaned_data
    try:
        if data["what"] == "place":
            thing = data["place"]
            actions.stick(label=label, thing=thing, by=request.user)
        elif data["what"] == "part":
            thing = actions.stick_on_part(label=label, part=data["part"], by=request.user)
        else:
            thing = actions.stick_on_new_bin(
                label=label, parent=data["parent"], short=data["short"], name=data["name"], by=request.user
            )
    except (ValidationError, IntegrityError) as error:
        said = error.messages if isinstance(error, ValidationError) else ["Another place has this address already."]
        form.add_error("short" if data["what"] == "bin" else None, said)
        return _ask(request, label, form, status=422)
    flash.done(request, f"Label {label} is on {thing} now.")
    return done(request, thing.get_absolute_url())


@require_safe
def detail(request, code):
    label = get_object_or_404(Label.objects.with_things(), code=codes.tidy(code))
    bindings = label.bindings.select_related("location", "part", "by")
    context = {"label": label, "thing": queries.leads_to(label), "bindings": bindings, "here": "scan"}
    return page(request, "inventory/labels/detail.html", context)


@require_POST
def peel(request, code):
    label = get_object_or_404(Label, code=codes.tidy(code))
    actions.stick(label=label, thing=None, by=request.user)
    flash.done(request, f"Label {label} is off, and blank again. Scan it where it goes next.")
    return SeeOther(label.get_absolute_url())


@require_POST
def retire(request, code):
    label = get_object_or_404(Label, code=codes.tidy(code))
    actions.retire(label=label)
    flash.done(request, f"Label {label} is out of use. Its code is never used again.")
    return SeeOther(label.get_absolute_url())


@require_POST
def take_up(request, code):
    """A good code that is not in the list: the sticker is real, so it becomes a blank label."""
    code = codes.tidy(code)
    if not codes.is_code(code):
        flash.refused(request, "That code has a slip in it. Type it again from the label.")
        return SeeOther(reverse("inventory:scan"))
    label = actions.take_up(code=code)
    return SeeOther(reverse("inventory:labels_resolve", args=[label.code]))

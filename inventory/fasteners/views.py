"""Looking a fastener up, and saying which one a part is."""

from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.parts import hardware
from inventory.parts.models import Part
from inventory.web import flash
from inventory.web.http import SeeOther, done, page

from . import actions, queries, words, words_find
from .calc.reading import parse
from .calc.substitutes import substitutes
from .calc.writing import key
from .forms import FastenerForm
from .showing import shown

EXAMPLES = ("M8x25 hex 8.8", "1/4-20 x 3/4 button", "5/16 UNF nyloc", "DIN 933 M8x20")


@require_safe
def look(request):
    """Any fastener, typed as people write it: what was understood, and what is known of it."""
    size = "x".join(filter(None, (request.GET.get(name, "").strip() for name in ("size", "length"))))
    text = f"{request.GET.get('q', '').strip()} {size}".strip()[:200]
    reading = parse(text) if text else None
    context = {"text": text, "reading": reading, "examples": EXAMPLES, "here": "shop"}
    if reading:
        context["remarks"] = words.remarks(reading)
        context["sizeless"] = words.sizeless(reading)
    if reading and reading.fastener:
        context["panel"] = shown(request.GET, reading.fastener) | {"q": text}
        found = substitutes(reading.fastener, queries.stock(reading.fastener))
        context["found"] = [words_find.substitute_said(one) for one in found[:6]]
        if not found:
            context["listed"] = Part.objects.same_fastener(key(reading.fastener)[: hardware.MOST]).first()
    return page(request, "inventory/fasteners/look.html", context)


def _to(part: Part) -> str:
    return reverse("inventory:parts_detail", args=[part.pk])


@require_http_methods(["GET", "POST"])
def edit(request, number):
    """The fastener a part is, field by field; typed text fills the fields in anew."""
    part = get_object_or_404(Part.objects.current(), pk=number)
    text = request.GET.get("text", "").strip()[:200]
    reading = parse(text or part.fastener or part.name)
    initial = FastenerForm.values_of(reading.fastener) if reading.fastener else {}
    form = FastenerForm(request.POST or None, initial=initial)
    if form.is_valid():
        actions.tell(part=part, fastener=form.fastener)
        flash.done(request, f"“{part}” is kept as {part.fastener}.")
        return done(request, _to(part))
    context = {
        "part": part,
        "form": form,
        "text": text or part.fastener or part.name,
        "remarks": words.remarks(reading) if text or not part.fastener else [],
        "known": queries.fastener_of(part) is not None,
        "here": "find",
    }
    return page(request, "inventory/fasteners/edit.html", context, status=422 if form.is_bound else 200)


@require_POST
def none(request, number):
    """It is no fastener, whatever its name reads like."""
    part = get_object_or_404(Part.objects.current(), pk=number)
    actions.tell(part=part, fastener=None)
    flash.done(request, f"“{part}” is no fastener.", undo=reverse("inventory:fasteners_again", args=[part.pk]))
    return SeeOther(_to(part))


@require_POST
def again(request, number):
    """Undo of `none`: go by the name again."""
    part = get_object_or_404(Part.objects.current(), pk=number)
    actions.read_again(part=part)
    flash.done(request, f"Going by the name of “{part}” again.")
    return SeeOther(_to(part))

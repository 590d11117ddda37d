"""What is this thread? Will something here do? And how many are there, by weight?"""

from django.http import Http404
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from inventory.parts.models import Part
from inventory.places.queries import get_place
from inventory.web.http import page

from . import queries, words, words_find
from .calc.identify import identify
from .calc.reading import parse
from .calc.substitutes import misfits, substitutes
from .calc.weighing import count_by_weight
from .calc.writing import format as written
from .forms_find import MeasureForm, as_typed
from .forms_weigh import WeighForm


@require_safe
def what(request):
    """From caliper, gauge and head the likely threads, the likeliest first, with how far off each is."""
    asked = bool(request.GET)
    form = MeasureForm(as_typed(request.GET) if asked else None, initial={"unit": "mm"})
    context = {"form": form, "here": "shop"}
    if asked and form.is_valid():
        found = identify(**form.readings())
        fitting = [bolt for one in found.fitting if (bolt := parse(one.thread.name).fastener)]
        stock = queries.stock(*fitting) if fitting else []
        kind = "nut" if form.cleaned_data["inside"] else "bolt"
        context |= {
            "found": found,
            "likely": [
                words_find.likely_said(one, form.grade, kind, stock)
                for one in found.likely[: len(fitting) + 2 if fitting else 4]
            ],
            "mark": words_find.mark_said(form.cleaned_data["mark"]),
        }
        context["measured_pitch"] = any(form.cleaned_data.get(name) for name in ("pitch", "tpi", "span"))
    return page(request, "inventory/fasteners/what.html", context, status=422 if asked and form.errors else 200)


@require_safe
def instead(request):
    """For a wanted fastener what the shop has that fits, where and how it differs; and what will not do, and why."""
    text = request.GET.get("q", "").strip()[:200]
    reading = parse(text) if text else None
    count = request.GET.get("count", "")
    count = min(int(count), 9999) if count.isdecimal() and len(count) < 6 and int(count) else 1
    weaker = bool(request.GET.get("weaker"))
    context = {"text": text, "count": count, "weaker": weaker, "reading": reading, "here": "shop"}
    if reading and reading.fastener:
        stock = queries.stock(reading.fastener)
        found = substitutes(reading.fastener, stock, count=count, allow_weaker=weaker)
        wrong = misfits(reading.fastener, stock, allow_weaker=weaker)
        context |= {
            "wanted": written(reading.fastener),
            "remarks": words.remarks(reading),
            "found": [words_find.substitute_said(one) for one in found[:30]],
            "misfits": [words_find.misfit_said(one) for one in wrong[:12]],
        }
    return page(request, "inventory/fasteners/instead.html", context)


@require_safe
def weigh(request, number):
    """How many there are by their weight, how sure that is, and on to correcting the number at the place."""
    part = get_object_or_404(Part.objects.current(), pk=number)
    if not part.whole:
        raise Http404
    asked = "total_weight" in request.GET
    form = WeighForm(request.GET if asked else None, initial={"division": 1})
    place = get_place(request.GET.get("place", ""))
    context = {"part": part, "form": form, "place": place, "here": "find"}
    if asked and form.is_valid():
        context["counted"] = count_by_weight(**form.readings())
    return page(request, "inventory/fasteners/weigh.html", context, status=422 if asked and form.errors else 200)

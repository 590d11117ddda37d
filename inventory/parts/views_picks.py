"""What typed text may mean, as choices for a form."""

from django.shortcuts import render
from django.views.decorators.http import require_safe

from inventory.places.queries import pick_places
from inventory.web.picker import ticked

from . import queries


def _answer(request, search):
    name = request.GET.get("name", "")
    text = request.GET.get(f"{name}_text", "").strip()[:120]
    choices = search(text) if text else []
    return render(
        request,
        "ui/picks.html",
        {"choices": choices, "name": name, "picked": ticked(choices)},
    )


@require_safe
def pick_part(request):
    but = request.GET.get("but")
    if but:
        return _answer(
            request,
            lambda text: [one for one in queries.pick_parts(text) if one.value.isdecimal() and one.value != but],
        )
    return _answer(request, queries.pick_parts)


@require_safe
def pick_to_put_in(request):
    return _answer(request, queries.pick_to_put_in)


@require_safe
def pick_place(request):
    return _answer(request, pick_places)

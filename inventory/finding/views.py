"""The box that finds, and the table of words the shop adds to."""

from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.parts import hardware
from inventory.web import flash, nav
from inventory.web.http import SeeOther, done, page, wants_fragment

from . import queries, registry
from .calc.alike import GROUPS
from .forms import FilterForm, SameWordsForm
from .models import SameWords

PAGE = 20


@require_safe
def find(request):
    text = request.GET.get("q", "").strip()[:200]
    offset = _offset(request.GET.get("offset", ""))
    form = FilterForm(request.GET)
    filters = form.filters()
    found = queries.find(text, filters, limit=PAGE, offset=offset)
    context = {
        "q": text,
        "form": form,
        "filters": filters,
        "found": found,
        "more": offset + PAGE if found.total > offset + PAGE else None,
        "asked": bool(text or filters),
        "here": "find",
    }
    if not context["asked"]:
        context |= {"recent": queries.recent_parts(), "places": queries.top_places()}
    context["listings"] = registry.listings() if text else []
    context["scan"] = next((item for item in nav.bar() if item.key == "scan"), None)
    context["fastener"] = hardware.kept(hardware.read_name(text))["fastener"]
    response = page(request, "inventory/finding/find.html", context, partial="rows" if offset else "answers")
    if wants_fragment(request) and not offset:
        response.headers["HX-Replace-Url"] = _address(request)
    return response


def _offset(text: str) -> int:
    return min(int(text), queries.MOST) if text.isdecimal() and len(text) < 5 else 0


def _address(request) -> str:
    """The address of what is asked, without what was left empty, to be shown and kept."""
    asked = request.GET.copy()
    for name in list(asked):
        if not asked[name] or name == "offset":
            del asked[name]
    return reverse("inventory:find", query=asked) if asked else reverse("inventory:find")


@require_http_methods(["GET", "POST"])
def words(request):
    form = SameWordsForm(request.POST or None)
    if form.is_valid():
        form.save()
        flash.done(request, f"From now on these are one and the same: {form.instance.words}.")
        return done(request, reverse("inventory:find_words"))
    context = {
        "form": form,
        "own": SameWords.objects.all(),
        "trade": sorted(GROUPS),
        "here": "shop",
    }
    return page(request, "inventory/finding/words.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def words_edit(request, number):
    row = get_object_or_404(SameWords, pk=number)
    form = SameWordsForm(request.POST or None, instance=row)
    if form.is_valid():
        form.save()
        flash.done(request, f"Changed: {form.instance.words}.")
        return done(request, reverse("inventory:find_words"))
    context = {"form": form, "row": row, "here": "shop"}
    return page(request, "inventory/finding/words_edit.html", context, status=422 if form.is_bound else 200)


@require_POST
def words_remove(request, number):
    row = get_object_or_404(SameWords, pk=number)
    row.delete()
    flash.done(request, f"No longer the same: {row.words}.", undo=reverse("inventory:find_words_again"))
    request.session["words_removed"] = row.words
    return SeeOther(reverse("inventory:find_words"))


@require_POST
def words_again(request):
    """Takes back the last removal."""
    words = request.session.pop("words_removed", "")
    if words:
        SameWords.objects.create(words=words)
        flash.done(request, f"Back again: {words}.")
    return SeeOther(reverse("inventory:find_words"))

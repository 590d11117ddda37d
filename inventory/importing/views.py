"""Bring what you have: choose a list, say what its columns hold, look at what would happen, bring it in."""

from functools import lru_cache

from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.parts.actions import CannotUndo, Refused
from inventory.web import flash
from inventory.web.http import SeeOther, done, page

from . import actions, queries, running, store
from .calc.columns import guess_columns
from .forms import ColumnsForm, ListForm
from .models import Import, State
from .plan import Plan, make_plan
from .words import row_words


@require_http_methods(["GET", "POST"])
def start(request):
    form = ListForm(request.POST, request.FILES) if request.method == "POST" else ListForm()
    if form.is_valid():
        read, name = form.cleaned_data["read"], form.cleaned_data["name"]
        columns = queries.remembered(read.table.headings) or [c.field for c in guess_columns(read.table)]
        source = actions.begin(
            name=name,
            how=read.how,
            headings=read.table.headings,
            columns=columns,
            rows=len(read.table.rows),
            by=request.user,
        )
        store.sweep()
        store.keep(source, read.table)
        return done(request, reverse("inventory:importing_columns", args=[source.pk]))
    earlier = Paginator(queries.earlier(), 20).get_page(request.GET.get("page"))
    context = {"form": form, "page": earlier, "here": "shop"}
    return page(request, "inventory/importing/start.html", context, status=422 if form.is_bound else 200)


def _waiting(request, uid) -> Import:
    return get_object_or_404(Import, pk=uid, state=State.WAITING)


def _gone(request, source: Import):
    flash.refused(request, f"The rows of “{source}” are not kept any more. Choose the file again.")
    actions.throw_away(source=source)
    return SeeOther(reverse("inventory:importing_start"))


@require_http_methods(["GET", "POST"])
def columns(request, uid):
    source = _waiting(request, uid)
    try:
        table = store.table_of(source)
    except store.Gone:
        return _gone(request, source)
    guessed = queries.with_kept(guess_columns(table), source.columns)
    form = ColumnsForm(request.POST or None, columns=guessed)
    if form.is_valid():
        actions.keep_columns(source=source, columns=form.columns())
        return done(request, reverse("inventory:importing_check", args=[source.pk]))
    context = {
        "form": form,
        "source": source,
        "remembered": queries.when_remembered(source.headings),
        "heading_row": table.heading_row,
        "here": "shop",
    }
    return page(request, "inventory/importing/columns.html", context, status=422 if form.is_bound else 200)


@lru_cache(maxsize=2)
def _plan(uid, columns: tuple[str, ...], newest: tuple) -> Plan:
    """A dry run, kept while its pages are looked at and the shop does not change."""
    return make_plan(store.readings_of(Import(pk=uid, columns=list(columns))))


@require_safe
def check(request, uid):
    source = _waiting(request, uid)
    try:
        plan = _plan(source.pk, tuple(source.columns), queries.newest())
    except store.Gone:
        return _gone(request, source)
    some = Paginator(plan.worst_first(), 50).get_page(request.GET.get("page"))
    context = {
        "source": source,
        "counts": plan.counts,
        "page": some,
        "rows": [row_words(row) for row in some],
        "new_places": plan.new_places[:200],
        "here": "shop",
    }
    return page(request, "inventory/importing/check.html", context)


@require_POST
def run(request, uid):
    source = get_object_or_404(Import, pk=uid)
    running.start(source, request.user)
    source.refresh_from_db()
    to = "check" if source.state == State.WAITING else "progress"
    return done(request, reverse(f"inventory:importing_{to}", args=[source.pk]))


@require_safe
def progress(request, uid):
    source = get_object_or_404(Import.objects.select_related("batch"), pk=uid)
    running.put_back_if_stopped(source)
    if source.state == State.WAITING:
        return done(request, reverse("inventory:importing_check", args=[source.pk]))
    context = {"source": source, "percent": running.percent(source) or 0, "here": "shop"}
    return page(request, "inventory/importing/progress.html", context, partial="standing")


@require_POST
def undo(request, uid):
    source = get_object_or_404(Import, pk=uid, state=State.DONE)
    try:
        actions.undo_import(source=source, by=request.user)
        flash.done(request, f"“{source}” is out again: its moves are undone, what only it made is retired.")
    except (Refused, CannotUndo) as error:
        flash.refused(request, f"That can’t be undone any more. {error} Nothing was changed.")
    return SeeOther(reverse("inventory:importing_start"))


@require_POST
def discard(request, uid):
    source = _waiting(request, uid)
    store.forget(source)
    actions.throw_away(source=source)
    flash.done(request, f"“{source}” is thrown away. Nothing was brought in.")
    return SeeOther(reverse("inventory:importing_start"))

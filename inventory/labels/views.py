"""Labels at the desk: pick, see the sheet, print, and the runs there were."""

import uuid

from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_http_methods, require_safe

from inventory.web import flash
from inventory.web.http import SeeOther, page

from . import bases, codes, draw, pdf, printing, queries, ruler, sizes, wanted
from .calc.face import lay_out
from .calc.stock import STOCK, pages
from .calc.symbol import TooLong, TooSmall
from .forms import AddForm, BaseForm, RunForm, SheetForm
from .models import BaseAddress, Label, PrintRun
from .type import measure


@require_safe
def home(request):
    context = {
        "runs": PrintRun.objects.select_related("by")[:12],
        "blank": Label.objects.blank().count(),
        "stuck": Label.objects.current().count() - Label.objects.blank().count(),
        "base": bases.current(request),
        "can_print": pdf.available(),
        "here": "shop",
    }
    return page(request, "inventory/labels/home.html", context)


def _sheet_form(request, form_class=SheetForm, data=None):
    """The form as the address has it; what the address leaves out is as on this person's last run."""
    given = data if data is not None else request.GET
    if "stock" in given:
        return form_class(given)
    last = PrintRun.objects.filter(by=request.user).first()
    usual = {"stock": sizes.USUAL, "start": 1, "nudge_x": 0, "nudge_y": 0}
    if last and last.stock in STOCK:  # a drawer's size is that cabinet's own
        usual |= {"stock": last.stock, "nudge_x": last.nudge_x, "nudge_y": last.nudge_y, "dark": last.dark}
        usual |= {"code_only": not last.base}
    return form_class(usual | given.dict())


def _query(request, **changes) -> str:
    rest = request.GET.copy()
    for name, value in changes.items():
        rest[name] = value
    return rest.urlencode()


def _preview(request, want, form, base: str) -> dict:
    """The first sheet as it will be, or why it cannot be."""
    stock = form.chosen if form.is_valid() else STOCK[sizes.USUAL]
    data = form.cleaned_data
    start = min(max(1, data.get("start") or 1), stock.cells)
    base = "" if data.get("code_only") else base
    room = stock.cells - start + 1
    said = queries.contents(want.as_shown(room), base, placard=stock.kind == "placard")
    refusal, drawn = "", []
    try:
        drawn = [draw.drawn(lay_out(one, stock, measure), one.payload) for one in said]
    except (TooSmall, TooLong):
        refusal = sizes.refusal(stock, said[0], measure)
    nudge = (data.get("nudge_x") or 0, data.get("nudge_y") or 0)
    placed = list(enumerate(drawn, start - 1))
    width, height = draw.page_size(stock, drawn[0]) if drawn else (stock.page_w, stock.page_h)
    cells = [
        {"n": n + 1, "box": stock.cell(n), "query": _query(request, stock=stock.key, start=n + 1)}
        for n in range(stock.cells)
    ]
    return {
        "stock": stock,
        "stock_name": sizes.name(stock),
        "svg": mark_safe(draw.sheet(stock, placed, nudge=nudge, outlines=True)),  # noqa: S308 (escaped in draw)
        "width": width,
        "height": height,
        "cells": cells if stock.cells > 1 else [],
        "start": start,
        "refusal": refusal,
        "sheets": len(pages(want.count, stock, start - 1)),
        "symbol": drawn[0].face.symbol if drawn else None,
        "dark": data.get("dark"),
        "code_only": _query(request, stock=stock.key, code_only="on"),
    }


@require_http_methods(["GET", "POST"])
def print_labels(request):
    want, base = wanted.read(request.GET), bases.current(request)
    form = _sheet_form(request)
    if request.method == "POST":
        run_form = RunForm(request.POST)
        if run_form.is_valid() and want.count and not want.too_many:
            run = _make_run(request, want, run_form, base.address)
            if run:
                return SeeOther(run.get_absolute_url())
        form = run_form if "stock" in request.POST else form
    preview = _preview(request, want, form, base.address)
    context = {
        "form": form,
        "add": AddForm(person=request.user),
        "want": want,
        "base": base,
        "uid": uuid.uuid4(),
        "can_print": pdf.available(),
        "query": request.GET.urlencode(),
        "things": [(name, value) for name in wanted.NAMES for value in request.GET.getlist(name)],
        "here": "shop",
        **preview,
    }
    status = 422 if request.method == "POST" else 200
    return page(request, "inventory/labels/print.html", context, partial="sheet", status=status)


def _make_run(request, want, form, base: str) -> PrintRun | None:
    """The run of what is shown, begun; None when this stock cannot hold the symbol."""
    data = form.cleaned_data
    if earlier := PrintRun.objects.filter(pk=data["uid"]).first():
        return earlier
    base = "" if data["code_only"] else base
    sample = queries.contents(want.as_shown(1), base)
    if not pdf.available() or sizes.refusal(form.chosen, sample[0], measure):
        return None
    labels = want.make(by=request.user)
    run = PrintRun(
        pk=data["uid"],
        by=request.user,
        stock=data["stock"],
        base=base,
        start=data["start"] - 1,
        nudge_x=data["nudge_x"],
        nudge_y=data["nudge_y"],
        dark=data["dark"],
        codes=[label.code for label in labels],
    )
    run.pages = printing.count_pages(run)
    run.save(force_insert=True)
    printing.start(run)
    return run


@require_safe
def add(request):
    """One more thing for the print page: it goes into that page's address."""
    form = AddForm(request.GET, person=request.user)
    rest = request.GET.copy()
    for name in ("add_place", "add_place_text", "add_part", "add_part_text", "more", "whole"):
        rest.pop(name, None)
    if form.is_valid():
        data = form.cleaned_data
        if data["add_place"]:
            rest.appendlist("inside" if data["whole"] else "place", str(data["add_place"].pk))
        if data["add_part"]:
            rest.appendlist("part", str(data["add_part"].pk))
        if data["more"]:
            rest["blank"] = str(data["more"])
        return SeeOther(f"../?{rest.urlencode()}")
    things = [(name, value) for name, values in rest.lists() for value in values]
    context = {"form": form, "things": things, "back": rest.urlencode(), "here": "shop"}
    return page(request, "inventory/labels/add.html", context, status=422)


@require_safe
def run(request, uid):
    run = get_object_or_404(PrintRun.objects.select_related("by"), pk=uid)
    ready = printing.is_ready(run)
    if not ready and not run.failed:
        printing.start(run)
        run.refresh_from_db()
        ready = printing.is_ready(run)
    again = "&".join(f"label={code}" for code in run.codes[:100])
    context = {"run": run, "ready": ready, "again": again, "codes": len(run.codes), "here": "shop"}
    response = page(request, "inventory/labels/run.html", context, partial="progress")
    if not ready and not run.failed and not request.htmx:
        response.headers["Refresh"] = "2"
    return response


@require_safe
def run_pdf(request, uid):
    run = get_object_or_404(PrintRun, pk=uid)
    if not printing.is_ready(run):
        raise Http404
    name = f"labels-{run.at:%Y-%m-%d}.pdf"
    return FileResponse(printing.file_of(run).open("rb"), content_type="application/pdf", filename=name)


@require_safe
def ruler_pdf(request):
    """A test page that shows how far the printer is off."""
    form = _sheet_form(request)
    if not form.is_valid() or not pdf.available():
        raise Http404
    data = form.cleaned_data
    drawing = ruler.drawing(form.chosen, (data["nudge_x"], data["nudge_y"]))
    return HttpResponse(
        pdf.write([drawing]),
        content_type="application/pdf",
        headers={"Content-Disposition": 'inline; filename="ruler.pdf"'},
    )


@require_http_methods(["GET", "POST"])
def base(request):
    now = bases.current(request)
    form = BaseForm(request.POST or None, initial={"address": "" if now.weakness else now.address})
    if form.is_valid():
        if not request.user.is_owner:
            raise Http404
        bases.choose(form.cleaned_data["address"])
        flash.done(request, "Labels are printed for that address from now on. Those already printed stay known.")
        return SeeOther(request.GET.get("to") if request.GET.get("to") == "/labels/print/" else "/labels/")
    sample = bases.payload(now.address, codes.spaced(wanted.SAMPLE).replace(" ", ""))
    context = {"form": form, "base": now, "earlier": BaseAddress.objects.all(), "sample": sample, "here": "shop"}
    return page(request, "inventory/labels/base.html", context, status=422 if form.is_bound else 200)

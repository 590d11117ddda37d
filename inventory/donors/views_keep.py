"""Photos of a donor by side, its papers, its money, and all of it on paper."""

import uuid

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.photos.imaging import NotAPicture
from inventory.photos.serving import serve
from inventory.web import flash
from inventory.web.http import SeeOther, page

from . import actions, printing, queries
from .forms import CostForm, FacePhotosForm, PaperForm
from .models import Cost, DonorPhoto, Paper
from .views import get_donor


@require_http_methods(["GET", "POST"])
def photos(request, number):
    donor = get_donor(number)
    form = FacePhotosForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        data = form.cleaned_data
        for uid, file in zip(form.numbers(), data["photos"], strict=True):
            try:
                actions.add_photo(
                    donor=donor, data=file.read(), name=file.name, face=data["face"], uid=uid, by=request.user
                )
            except NotAPicture as error:
                form.add_error("photos", str(error))
        if not form.errors:
            flash.done(request, f"{len(data['photos'])} kept. The next side?")
            return SeeOther(request.path)
    faces = DonorPhoto.objects.filter(donor=donor, photo__deleted_at=None).select_related("photo").order_by("pk")
    context = {"donor": donor, "form": form, "faces": faces, "here": "donors"}
    return page(request, "inventory/donors/photos.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def papers(request, number):
    donor = get_donor(number)
    form = PaperForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        data = form.cleaned_data
        for n, file in enumerate(data["files"]):
            uid = data["uid"] if n == 0 else uuid.uuid5(data["uid"], str(n))
            try:
                actions.add_paper(
                    donor=donor, data=file.read(), name=file.name, what=data["what"], uid=uid, by=request.user
                )
            except (NotAPicture, actions.NotAPaper) as error:
                form.add_error("files", str(error))
        if not form.errors:
            flash.done(request, f"{len(data['files'])} paper{'' if len(data['files']) == 1 else 's'} kept.")
            return SeeOther(request.path)
    kept = donor.papers.filter(removed_at=None).select_related("photo")
    context = {"donor": donor, "form": form, "papers": kept, "here": "donors"}
    return page(request, "inventory/donors/papers.html", context, status=422 if form.is_bound else 200)


@require_safe
def paper_file(request, uid):
    """The PDF, as a download: it is never shown inside a page of the shop."""
    paper = get_object_or_404(Paper, pk=uid, photo=None)
    name = f"{slugify(paper.what) or 'paper'}.pdf"
    response = serve(request, actions.paper_path(paper.pk), content_type="application/pdf", name=name)
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


@require_POST
def remove_paper(request, uid):
    return _removed(request, get_object_or_404(Paper, pk=uid), "papers")


@require_POST
def remove_cost(request, number):
    return _removed(request, get_object_or_404(Cost, pk=number), "money")


def _removed(request, row, kind: str):
    """Take it off with an Undo, or (back=1) bring it back."""
    back = request.POST.get("back") == "1" or request.GET.get("back") == "1"
    actions.remove(row=row, removed=not back)
    flash.done(
        request, f"“{row}” is {'back' if back else 'off the list'}.", undo="" if back else f"{request.path}?back=1"
    )
    return SeeOther(reverse(f"inventory:donors_{kind}", args=[row.donor_id]))


@require_http_methods(["GET", "POST"])
def money(request, number):
    donor = get_donor(number)
    form = CostForm(request.POST or None)
    if form.is_valid():
        form.instance.donor, form.instance.by = donor, request.user
        form.save()
        flash.done(request, f"{form.instance.amount} for “{form.instance.what}” counts from now on.")
        return SeeOther(request.path)
    context = {"donor": donor, "form": form, "working": queries.working(donor, queries.tally(donor)), "here": "donors"}
    return page(request, "inventory/donors/money.html", context, status=422 if form.is_bound else 200)


@require_safe
def on_paper(request, number):
    """The whole donor as a PDF for the file."""
    donor = get_donor(number)
    try:
        body = printing.donor_pdf(donor)
    except printing.Missing:
        return page(request, "inventory/donors/no_pdf.html", {"donor": donor, "here": "donors"}, status=503)
    response = HttpResponse(body, content_type="application/pdf")
    name = slugify(f"donor {donor.location} {donor}") or "donor"
    response.headers["Content-Disposition"] = f'attachment; filename="{name}.pdf"'
    return response

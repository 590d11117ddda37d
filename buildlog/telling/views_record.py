"""The record of the build on paper: what goes in, how far it is, the file."""

from django.http import FileResponse, Http404
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from buildlog.builds.queries import current
from inventory.labels.pdf import available
from inventory.web.http import SeeOther, page

from . import record_pdf
from .forms import RecordForm
from .models import RecordRun
from .posts import slug

LATELY = 5


@require_http_methods(["GET", "POST"])
def record(request):
    build = current()
    form = RecordForm(request.POST or None)
    if build and request.method == "POST" and form.is_valid():
        run = RecordRun.objects.create(build=build, by=request.user, keeps=form.kept())
        record_pdf.start(run)
        return SeeOther(run.get_absolute_url())
    runs = RecordRun.objects.filter(build=build).exclude(finished_at=None)[:LATELY] if build else ()
    context = {
        "build": build,
        "form": form,
        "runs": [run for run in runs if record_pdf.is_ready(run)],
        "can": available(),
        "here": "tell",
    }
    return page(request, "buildlog/telling/record.html", context)


@require_safe
def run(request, uid):
    """How far it is; asked for again and again while it is being made."""
    going = get_object_or_404(RecordRun.objects.select_related("build"), pk=uid)
    ready = record_pdf.is_ready(going)
    context = {
        "run": going,
        "ready": ready,
        "stopped": not ready and not going.failed and not record_pdf.is_going(going),
        "percent": 100 * going.done // going.steps,
        "size": f"{record_pdf.file_of(going).stat().st_size / 1e6:.1f}" if ready else "",
        "here": "tell",
    }
    return page(request, "buildlog/telling/run.html", context, partial="progress")


@require_safe
def file(request, uid):
    made = get_object_or_404(RecordRun.objects.select_related("build"), pk=uid)
    if not record_pdf.is_ready(made):
        if made.failed:
            raise Http404
        return SeeOther(reverse("buildlog:record_run", args=[made.pk]))
    name = f"record-{slug(made.build.code, made.build.pk)}.pdf"
    response = FileResponse(record_pdf.file_of(made).open("rb"), content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return response

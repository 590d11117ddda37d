"""The page where the owner sees that the shop is safe, and makes it so."""

from django.http import Http404, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.photos.serving import serve
from inventory.web import flash
from inventory.web.access import owner_only
from inventory.web.http import SeeOther, page, wants_fragment

from . import actions, doctor, schedule
from .forms import PlanForm
from .models import KeepingPlan


@owner_only
@require_http_methods(["GET", "POST"])
def keeping(request):
    plan = KeepingPlan.current()
    form = PlanForm(request.POST or None, instance=plan)
    if form.is_valid():
        form.save()
        flash.done(request, "The plan for backups is kept.")
        return SeeOther(reverse("buildlog:keeping"))
    plan, progress = KeepingPlan.current(), schedule.progress()
    if wants_fragment(request) and not progress:  # what was waited for is over: the whole page shows it
        if not plan.trouble:
            flash.done(request, "Backed up.")
        return HttpResponse(status=204, headers={"HX-Refresh": "true"})
    context = {
        "form": form,
        "plan": plan,
        "backups": [(at, path.name, path.stat().st_size) for at, path in actions.backups()],
        "progress": progress,
        "here": "shop",
    }
    return page(
        request, "buildlog/keeping/keeping.html", context, partial="backups", status=422 if form.errors else 200
    )


@owner_only
@require_POST
def start(request):
    if not schedule.start_now():
        flash.refused(request, "A backup is being made already.")
    return SeeOther(reverse("buildlog:keeping"))


@owner_only
@require_safe
def download(request, name):
    for _, path in actions.backups():
        if path.name == name:
            response = serve(request, path, content_type="application/x-tar", name=name)
            response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
            response.headers["Cache-Control"] = "private, no-store"
            return response
    raise Http404


@owner_only
@require_safe
def examine(request):
    return page(request, "buildlog/keeping/doctor.html", {"findings": doctor.examine(), "here": "shop"})

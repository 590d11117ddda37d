"""The page where the owner sees that the shop is safe, and makes it so."""

from django.http import Http404, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.photos.serving import serve
from inventory.web import flash
from inventory.web.access import owner_only
from inventory.web.http import SeeOther, page, wants_fragment

from . import actions, archive, coming_back, doctor, running, schedule
from .checking import check, checks
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
    plan, progress = KeepingPlan.current(), running.progress()
    if wants_fragment(request) and not progress:  # what was waited for is over: the whole page shows it
        made = request.GET.get("for") == "backup" and not plan.trouble
        # Told by the address, not by a message: a slow phone asks a few times more before the page is shown anew.
        return HttpResponse(
            status=204, headers={"HX-Redirect": reverse("buildlog:keeping") + ("?made=1" if made else "")}
        )
    known = checks()
    backups = [(at, path.name, path.stat().st_size, known.get(path.name)) for at, path in actions.backups()]
    context = {
        "form": form,
        "plan": plan,
        "backups": backups,
        "progress": progress,
        "made": request.GET.get("made") == "1",
        "back": coming_back.outcome(),
        "asked": coming_back.asked(),
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
    elif not running.progress() and not KeepingPlan.current().trouble:
        flash.done(request, "Backed up.")
    return SeeOther(reverse("buildlog:keeping"))


@owner_only
@require_safe
def download(request, name):
    _, path = _backup(name)
    response = serve(request, path, content_type="application/x-tar", name=name)
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    response.headers["Cache-Control"] = "private, no-store"
    return response


@owner_only
@require_safe
def backup(request, name):
    """One backup: what is in it, whether it is good, and the way to bring it back."""
    at, path = _backup(name)
    try:
        manifest, trouble = archive.manifest_of(path), ""
    except archive.BadBackup as error:
        manifest, trouble = None, str(error)
    context = {
        "at": at,
        "name": name,
        "size": path.stat().st_size,
        "holds": _in_words(manifest) if manifest else [],
        "trouble": trouble,
        "check": checks().get(name),
        "by_itself": coming_back.by_itself(),
        "here": "shop",
    }
    return page(request, "buildlog/keeping/backup.html", context)


@owner_only
@require_POST
def check_one(request, name):
    _, path = _backup(name)
    if not running.in_background(lambda: check(path), "Checking"):
        flash.refused(request, "A backup is being made or checked just now. Wait until that is done.")
    return SeeOther(reverse("buildlog:keeping"))


@owner_only
@require_POST
def bring_back(request, name):
    _, path = _backup(name)
    coming_back.ask(path)
    return SeeOther(reverse("buildlog:keeping_coming_back"))


@owner_only
@require_http_methods(["GET", "POST"])
def coming(request):
    """The page that waits until a backup is back; POST takes the wish away again."""
    if request.method == "POST":
        coming_back.forget()
    if not coming_back.asked():
        return SeeOther(reverse("buildlog:keeping"))
    return page(
        request,
        "buildlog/keeping/coming_back.html",
        {"by_itself": coming_back.by_itself(), "name": coming_back.asked().name, "here": "shop"},
    )


def _backup(name: str):
    for at, path in actions.backups():
        if path.name == name:
            return at, path
    raise Http404


def _in_words(manifest: archive.Manifest) -> list[tuple[str, int]]:
    photos = sum(name.startswith("media/") for name in manifest.files)
    named = [("inventory_part", "parts"), ("inventory_location", "places"), ("inventory_move", "moves")]
    named += [("buildlog_task", "tasks"), ("buildlog_worksession", "nights"), ("buildlog_entry", "lines of the log")]
    return [(words, manifest.counts.get(table, 0)) for table, words in named] + [("photo files", photos)]


@owner_only
@require_safe
def examine(request):
    return page(request, "buildlog/keeping/doctor.html", {"findings": doctor.examine(), "here": "shop"})

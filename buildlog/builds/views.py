"""Pages of builds and their areas."""

from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.parts.queries import holds
from inventory.web import flash, slots
from inventory.web.access import changes_only
from inventory.web.http import SeeOther, done, page

from . import actions, queries
from .forms import AreaForm, BuildForm
from .models import Area, Build


def _build(code: str) -> Build:
    return get_object_or_404(Build.objects.with_vehicle().coded(code))


def _to(build: Build) -> str:
    return reverse("buildlog:builds_detail", args=[build.code])


@require_safe
def build_list(request):
    builds = list(Build.objects.with_vehicle())
    pictures = slots.pictures("place", [build.vehicle_id for build in builds])
    rows = [(build, pictures.get(build.vehicle_id)) for build in builds]
    return page(request, "buildlog/builds/list.html", {"rows": rows, "here": "plan"})


@require_safe
def detail(request, code):
    build = _build(code)
    kinds, pieces = holds(build.vehicle)
    context = {
        "build": build,
        "areas": build.areas.with_counts(),
        "counts": queries.counts(build),
        "picture": slots.pictures("place", [build.vehicle_id]).get(build.vehicle_id),
        "fitted": (kinds, pieces),
        "may_go": not actions.in_it(build),
        "decisions_open": build.decisions.open().count(),
        "here": "plan",
    }
    return page(request, "buildlog/builds/detail.html", context)


@changes_only
@require_http_methods(["GET", "POST"])
def new(request):
    form = BuildForm(request.POST or None)
    if form.is_valid():
        try:
            build = actions.add_build(**form.cleaned_data)
        except ValidationError as error:
            form.add_error("code", error.messages)
        else:
            flash.done(request, f"{build} is on the books. Now say what is to be done.")
            return done(request, _to(build))
    context = {"form": form, "here": "plan"}
    return page(request, "buildlog/builds/form.html", context, status=422 if form.is_bound else 200)


@changes_only
@require_http_methods(["GET", "POST"])
def edit(request, code):
    build = _build(code)
    form = BuildForm(request.POST or None, instance=build)
    if form.is_valid():
        form.save()
        flash.done(request, f"Changed {build}.")
        return done(request, _to(build))
    context = {"form": form, "build": _build(code), "here": "plan"}
    return page(request, "buildlog/builds/form.html", context, status=422 if form.is_bound else 200)


@changes_only
@require_http_methods(["GET", "POST"])
def remove(request, code):
    """Asks first: a build with nothing in it is removed for good."""
    build = _build(code)
    if request.method == "POST":
        try:
            actions.remove_build(build=build, by=request.user)
        except actions.InUse as error:
            flash.refused(request, str(error))
            return SeeOther(_to(build))
        flash.done(request, f"Removed {build}. Its place is out of use.")
        return SeeOther(reverse("buildlog:builds_list"))
    context = {
        "title": f"Remove {build}?",
        "says": f"There is nothing in it. Its areas go with it, and its place {build.vehicle} goes out of use.",
        "back": _to(build),
        "here": "plan",
    }
    return page(request, "ui/remove.html", context)


@require_POST
def work_on(request, code):
    build = _build(code)
    actions.make_active(build=build)
    flash.done(request, f"Tonight and Plan open on {build} now.")
    return SeeOther(_to(build))


@require_http_methods(["GET", "POST"])
def areas(request, code):
    """The areas in their order, each with up, down and a form of its own; and one more."""
    build = _build(code)
    form = AreaForm(request.POST or None, build=build)
    if form.is_valid():
        area = actions.add_area(build=build, **form.cleaned_data)
        flash.done(request, f"Added the area {area}.")
        return done(request, reverse("buildlog:builds_areas", args=[build.code]))
    context = {"build": build, "areas": build.areas.all(), "form": form, "here": "plan"}
    return page(request, "buildlog/builds/areas.html", context, status=422 if form.is_bound else 200)


@changes_only
@require_http_methods(["GET", "POST"])
def area_edit(request, code, number):
    build = _build(code)
    area = get_object_or_404(Area, build=build, pk=number)
    form = AreaForm(request.POST or None, build=build, instance=area)
    if form.is_valid():
        form.save()
        flash.done(request, f"Changed the area {area}.")
        return done(request, reverse("buildlog:builds_areas", args=[build.code]))
    context = {"form": form, "build": build, "area": area, "here": "plan"}
    return page(request, "buildlog/builds/area.html", context, status=422 if form.is_bound else 200)


@require_POST
def area_shift(request, code, number):
    build = _build(code)
    area = get_object_or_404(Area, build=build, pk=number)
    actions.shift(row=area, rows=build.areas.all(), by=-1 if request.POST.get("way") == "up" else 1)
    return SeeOther(f"{reverse('buildlog:builds_areas', args=[build.code])}#area-{area.pk}")


@require_POST
def area_remove(request, code, number):
    build = _build(code)
    area = get_object_or_404(Area, build=build, pk=number)
    tasks_left = area.tasks.count()
    if tasks_left:
        flash.refused(request, f"{area} still has {tasks_left} tasks. Move them to another area first.")
    else:
        area.delete()
        flash.done(request, f"Removed the area {area}.")
    return SeeOther(reverse("buildlog:builds_areas", args=[build.code]))

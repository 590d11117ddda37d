"""The plan: areas with their tasks, ready first; adding tasks fast; putting them in order."""

from dataclasses import dataclass

from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from buildlog.builds.actions import shift as shift_row
from buildlog.builds.models import Area, Build
from buildlog.builds.queries import current
from inventory.web import flash
from inventory.web.access import changes_only
from inventory.web.http import SeeOther, done, page

from . import actions, picture, queries
from .forms import TypedForm
from .models import Task
from .words import listed

ORDER = {"started": 0, "ready": 1, "held": 2}


@dataclass(frozen=True, slots=True)
class Group:
    """An area on the plan page: what is open, ready first; what is finished, folded away."""

    area: Area | None
    open: list[queries.Row]
    finished: list[queries.Row]


def groups(plan: queries.Plan, areas: list[Area], arrange: bool) -> list[Group]:
    """Areas that have tasks, in order; tasks without an area last. In order of the plan when arranging."""
    made = []
    for area in [*areas, None]:
        rows = plan.of(area)
        unfinished = [row for row in rows if row.state in ORDER]
        if not arrange:
            unfinished.sort(key=lambda row: ORDER[row.state])
        if rows:
            made.append(Group(area, unfinished, [row for row in rows if row.state not in ORDER]))
    return made


@require_safe
def plan_page(request):
    build = current(request.GET.get("build"))
    if build is None:
        return page(request, "buildlog/tasks/no_build.html", {"here": "plan"})
    plan = queries.plan(build)
    areas = list(build.areas.all())
    wanted = request.GET.get("area", "")
    arrange = bool(request.GET.get("arrange"))
    shown = groups(plan, areas, arrange)
    chosen = next((area for area in areas if str(area.pk) == wanted), None)
    context = {
        "build": build,
        "plan": plan,
        "groups": [group for group in shown if not wanted or str(group.area.pk if group.area else 0) == wanted],
        "areas": [group.area for group in shown if group.area],
        "area": wanted,
        "chosen_area": chosen,
        "picture": picture.of_area(plan, chosen) if chosen and not arrange else None,
        "arrange": arrange,
        "decisions_open": build.decisions.open().count(),
        "others": Build.objects.exclude(pk=build.pk),
        "here": "plan",
    }
    return page(request, "buildlog/tasks/plan.html", context)


@changes_only
@require_http_methods(["GET", "POST"])
def add(request):
    build = get_object_or_404(Build.objects.coded(request.GET.get("build", "")))
    form = TypedForm(request.POST or None, build=build, initial={"area": request.GET.get("area")})
    if form.is_valid():
        change = actions.add_typed(
            build=build, lines=form.typed.lines, area=form.cleaned_data["area"], by=request.user,
            uid=form.cleaned_data["uid"],
        )  # fmt: skip
        again = form.typed.again
        stands = "stands" if len(again) == 1 else "stand"
        twice = f" {listed([f'“{title}”' for title in again])} {stands} in the plan twice now."
        flash.done(
            request, f"{change.what}.{twice if again else ''}", undo=reverse("buildlog:tasks_undo", args=[change.pk])
        )
        return done(request, reverse("buildlog:plan", query={"build": build.code}))
    context = {"form": form, "build": build, "here": "plan"}
    return page(request, "buildlog/tasks/add.html", context, status=422 if form.is_bound else 200)


@require_POST
def shift(request, number):
    """One place up or down among the unfinished tasks of its area."""
    task = get_object_or_404(Task.objects.select_related("build"), pk=number)
    rows = Task.objects.of(task.build).unfinished().filter(area=task.area_id).in_order()
    if task.is_open:
        shift_row(row=task, rows=rows, by=-1 if request.POST.get("way") == "up" else 1)
    there = reverse(
        "buildlog:plan", query={"build": task.build.code, "arrange": 1, "area": request.POST.get("area", "")}
    )
    return SeeOther(f"{there}#task-{task.pk}")

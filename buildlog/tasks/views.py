"""A task's own page, and what is said of it: started, finished, held, dropped."""

from django.http import Http404
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from buildlog.pictures.views import add_photos
from inventory.cautions import table as cautions
from inventory.photos.models import Photo
from inventory.web import flash, slots
from inventory.web.access import changes_only
from inventory.web.http import SeeOther, back_to, done, page

from . import actions, queries
from .forms import HoldForm, MarkForm, TaskForm
from .hardware import from_drawers
from .marking import take_mark
from .models import Change, Task
from .words import listed, until


def _task(number: int) -> Task:
    found = Task.objects.select_related("build", "area", "place", "joined_into")
    return get_object_or_404(found, pk=number)


def _to(task: Task) -> str:
    return reverse("buildlog:tasks_detail", args=[task.pk])


@require_safe
def detail(request, number):
    return _show(request, _task(number))


def _show(request, task: Task, mark_form: MarkForm | None = None):
    plan = queries.plan(task.build)
    freed = plan.freed(task.pk)
    row = plan.rows[task.pk]
    lines = list(row.parts or task.parts.select_related("part"))
    context = {
        "task": task,
        "row": row,
        "cautions": cautions.chosen(task.cautions),
        "defer": cautions.DEFER,
        "needs": [plan.rows[need] for need in plan.needs[task.pk]],
        "needed_by": plan.needed_by(task.pk),
        "freed": [plan.rows[id] for id in freed.ready],
        "freed_later": [(plan.rows[id], until(moment)) for id, moment in freed.waiting],
        "lines": [(line, plan.shares.get(line.pk)) for line in lines],
        "provisions": task.provisions.select_related("later", "kept_by"),
        "promised": task.promised.select_related("task", "kept_by"),
        "decisions": task.decisions.select_related("chosen"),
        "photos": Photo.objects.kept().in_order().filter(pk__in=task.photos.order_by().values("pk")),
        "mark_form": mark_form,
        "hold_form": mark_form if isinstance(mark_form, HoldForm) else HoldForm(task=task),
        "drawers": from_drawers(lines, plan.shares),
        "panels": slots.panels("task_page", request, task),  # its log, long: after all that is done with it
        "here": "plan",
    }
    return page(request, "buildlog/tasks/detail.html", context, status=422 if mark_form else 200)


@changes_only
@require_http_methods(["GET", "POST"])
def edit(request, number):
    task = _task(number)
    form = TaskForm(request.POST or None, instance=task)
    if form.is_valid():
        form.save()
        flash.done(request, f"Changed “{task}”.")
        return done(request, _to(task))
    context = {"form": form, "task": _task(number), "here": "plan"}
    return page(request, "buildlog/tasks/form.html", context, status=422 if form.is_bound else 200)


@changes_only
@require_http_methods(["GET", "POST"])
def photos(request, number):
    task = _task(number)
    return add_photos(request, task, task.title, _to(task), "plan")


@require_http_methods(["GET", "POST"])
def mark(request, number, verb):
    """Start, finish, hold, drop and so on. What finishing frees is said at once. GET: to the task, to say it again."""
    task = _task(number)
    if verb not in actions.VERBS:
        raise Http404
    if request.method == "GET":
        return SeeOther(_to(task))

    def said(change: Change) -> tuple[str, str]:
        frees = _frees(task) if verb in ("finish", "drop") else ""
        return f"{actions.VERBS[verb][1]} “{task}”.{frees}", reverse("buildlog:tasks_undo", args=[change.pk])

    return take_mark(
        request, task, verb, mark=actions.mark, said=said, to=_to(task),
        refused=lambda form: _show(request, _task(number), form),
    )  # fmt: skip


def _frees(task: Task) -> str:
    plan = queries.plan(task.build)
    freed = plan.freed(task.pk)
    says = []
    if freed.ready:
        says.append(f" {listed([plan.rows[id].task.title for id in freed.ready])} can go on.")
    if freed.waiting:
        names = listed([plan.rows[id].task.title for id, _ in freed.waiting])
        says.append(f" {names} can go on from {until(max(moment for _, moment in freed.waiting))}.")
    return "".join(says)


@require_POST
def undo(request, uid):
    change = get_object_or_404(Change, pk=uid)
    try:
        actions.undo(change=change)
    except actions.CannotUndo as error:
        flash.refused(request, str(error))
    else:
        flash.done(request, f"Undone: {change.what}.")
    there = back_to(request, reverse("buildlog:plan"))
    gone = any(row["before"] is None for row in change.rows)
    return SeeOther(reverse("buildlog:plan") if gone else there)

"""What a task hangs together with: needs, parts, promises; splitting one and joining two."""

from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from buildlog.builds.models import Build
from inventory.web import flash
from inventory.web.access import changes_only
from inventory.web.http import SeeOther, back_to, done, page
from inventory.web.picker import ticked

from . import linking
from .forms import JoinForm, NeedForm, PartLineForm, ProvisionForm, SplitForm
from .models import Provision, Task, TaskPart
from .picks import pick_part_or_words, pick_tasks

FORM = "buildlog/tasks/link.html"


def _task(number: int) -> Task:
    return get_object_or_404(Task.objects.select_related("build", "area"), pk=number)


def _to(task: Task) -> str:
    return reverse("buildlog:tasks_detail", args=[task.pk])


def _ask(request, task: Task, form, key: str, button: str, says: str = ""):
    context = {"task": task, "form": form, "key": key, "button": button, "says": says, "here": "plan"}
    return page(request, FORM, context, status=422 if form.is_bound else 200)


@changes_only
@require_http_methods(["GET", "POST"])
def needs(request, number):
    task = _task(number)
    form = NeedForm(request.POST or None, task=task)
    if form.is_valid():
        try:
            linking.add_need(task=task, need=form.cleaned_data["need"])
        except ValidationError as error:
            form.add_error("need", error.messages)
        else:
            flash.done(request, f"“{task}” comes after “{form.cleaned_data['need']}” now.")
            return done(request, _to(task))
    return _ask(request, task, form, "What it needs", "It comes after this")


@require_POST
def need_remove(request, number, need):
    task, other = _task(number), _task(need)
    linking.remove_need(task=task, need=other)
    flash.done(request, f"“{task}” no longer waits for “{other}”.")
    return SeeOther(_to(task))


@changes_only
@require_http_methods(["GET", "POST"])
def parts(request, number):
    task = _task(number)
    form = PartLineForm(request.POST or None)
    if form.is_valid():
        part, quantity = form.cleaned_data["part"], form.cleaned_data["quantity"]
        words = "" if part.pk else part.name
        line = TaskPart(task=task, part=part if part.pk else None, words=words, quantity=quantity)
        try:
            line.full_clean()
            if words and task.parts.filter(words=words).exists():
                raise ValidationError("The task uses that already.")
        except ValidationError as error:
            form.add_error("part", error.messages)
        else:
            line.save()
            flash.done(request, f"“{task}” uses {line}.")
            return done(request, _to(task))
    return _ask(request, task, form, "What it uses", "It uses this")


@require_POST
def part_remove(request, number, line):
    row = get_object_or_404(TaskPart.objects.select_related("task", "part"), task=number, pk=line)
    row.delete()
    flash.done(request, f"“{row.task}” no longer uses {row}.")
    return SeeOther(_to(row.task))


@require_POST
def part_got(request, number, line):
    """What was asked for in words is here now, or (`got` is no) is not after all."""
    row = get_object_or_404(TaskPart.objects.select_related("task"), task=number, pk=line, part=None)
    row.got = request.POST.get("got") != "no"
    row.save(update_fields=["got"])
    return SeeOther(_to(row.task))


@changes_only
@require_http_methods(["GET", "POST"])
def promises(request, number):
    task = _task(number)
    form = ProvisionForm(request.POST or None, task=task)
    if form.is_valid():
        same = Provision.objects.filter(task=task, **form.cleaned_data)
        promise = same.first() or Provision.objects.create(task=task, **form.cleaned_data)
        flash.done(request, f"Promised to “{promise.later}”: {promise}.")
        return done(request, _to(task))
    return _ask(
        request, task, form, "Promise to a later task", "Promise it", "It shows on both tasks until it is ticked."
    )


@require_POST
def promise_keep(request, number):
    """Ticked, or (`kept` is no) not after all. Who ticked it first stands."""
    promise = get_object_or_404(Provision.objects.select_related("task"), pk=number)
    if request.POST.get("kept") == "no":
        Provision.objects.filter(pk=number).update(kept_at=None, kept_by=None)
    else:
        Provision.objects.filter(pk=number, kept_at=None).update(kept_at=timezone.now(), kept_by=request.user)
    return SeeOther(back_to(request, _to(promise.task)))


@require_POST
def promise_remove(request, number):
    promise = get_object_or_404(Provision.objects.select_related("task"), pk=number)
    promise.delete()
    flash.done(request, f"Took back the promise: {promise}.")
    return SeeOther(back_to(request, _to(promise.task)))


@changes_only
@require_http_methods(["GET", "POST"])
def split(request, number):
    task = _task(number)
    form = SplitForm(request.POST or None, initial={"titles": f"{task.title}\n"})
    if form.is_valid():
        data, whole = form.cleaned_data, task.hours_said
        change = linking.split(task=task, by=request.user, **data)
        undo = reverse("buildlog:tasks_undo", args=[change.pk])
        lost = whole and not any(any(hours) for hours in data["hours"])
        hours = f" Its hours ({whole}) were of the whole: say those of the pieces under Change." if lost else ""
        flash.done(request, f"Split into {len(data['titles'])} tasks.{hours}", undo=undo)
        return done(request, _to(task))
    says = "The first line is what this task becomes. What waits for it waits for all of them. Each keeps its cautions."
    return _ask(request, task, form, "Split", "Split it", says)


@changes_only
@require_http_methods(["GET", "POST"])
def join(request, number):
    task = _task(number)
    form = JoinForm(request.POST or None, task=task)
    if form.is_valid():
        try:
            change = linking.join(keep=task, by=request.user, **form.cleaned_data)
        except ValidationError as error:
            form.add_error("other", error.messages)
        else:
            undo = reverse("buildlog:tasks_undo", args=[change.pk])
            flash.done(request, f"“{form.cleaned_data['other']}” is part of this task now.", undo=undo)
            return done(request, _to(task))
    says = "This task takes over what the other needs, uses and promises, and what waits for it."
    return _ask(request, task, form, "Join", "Make them one", says)


def _picks(request, choices):
    name = request.GET.get("name", "")
    context = {"choices": choices, "name": name, "picked": ticked(choices)}
    return render(request, "ui/picks.html", context)


def _typed(request) -> str:
    return request.GET.get(f"{request.GET.get('name', '')}_text", "").strip()[:120]


@require_safe
def pick(request):
    number = request.GET.get("build", "")
    build = get_object_or_404(Build, pk=number if number.isdecimal() else 0)
    but = request.GET.get("but", "")
    text = _typed(request)
    return _picks(request, pick_tasks(build, text, int(but) if but.isdecimal() else None) if text else [])


@require_safe
def pick_part(request):
    text = _typed(request)
    return _picks(request, pick_part_or_words(text) if text else [])

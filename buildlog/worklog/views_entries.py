"""A line of the log: looked at with what it said before, changed, struck, made into a task, taken back."""

from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from buildlog.pictures import actions as pictures
from buildlog.tasks.actions import CannotUndo as TaskCannotUndo
from inventory.parts.actions import CannotUndo, Refused
from inventory.web import flash
from inventory.web.http import SeeOther, back_to, page

from . import actions_entries, queries
from .forms import EntryForm
from .models import Entry, Kind


def _entry(number: int) -> Entry:
    return get_object_or_404(queries.lines().select_related("session__build"), pk=number)


def _to(entry: Entry) -> str:
    return reverse("buildlog:entries_detail", args=[entry.pk])


@require_http_methods(["GET", "POST"])
def detail(request, number):
    entry = _entry(number)
    form = EntryForm(request.POST or None, request.FILES or None, instance=_entry(number))
    if form.is_valid():
        photos = pictures.keep(form, form.cleaned_data["uid"], request.user)
        if not form.errors:
            now = actions_entries.change(entry=entry, by=request.user, photos=photos, **form.changes())
            kept = now.edited_at != entry.edited_at
            flash.done(request, "Changed. What it said before is kept." if kept else "Changed.")
            return SeeOther(entry.session.get_absolute_url())
    context = {
        "entry": entry,
        "form": form,
        "earlier": entry.earlier.select_related("by"),
        "stands": entry.struck_at and entry.stands,
        "here": "tonight",
    }
    return page(request, "buildlog/worklog/entry.html", context, status=422 if form.is_bound else 200)


@require_POST
def strike(request, number):
    entry = _entry(number)
    actions_entries.strike(entry=entry)
    flash.done(request, "Struck. It stays to be read.", undo=reverse("buildlog:entries_unstrike", args=[entry.pk]))
    if entry.stands:
        return SeeOther(_to(entry))  # which says so, and undoes it in one tap
    return SeeOther(back_to(request, entry.session.get_absolute_url()))


@require_POST
def unstrike(request, number):
    entry = _entry(number)
    actions_entries.unstrike(entry=entry)
    flash.done(request, "The line counts again.")
    return SeeOther(back_to(request, entry.session.get_absolute_url()))


@require_POST
def make_task(request, number):
    entry = _entry(number)
    if entry.kind != Kind.SNAG or not entry.text.strip():
        flash.refused(request, "Only a snag in words can become a task.")
        return SeeOther(_to(entry))
    task = actions_entries.make_task(entry=entry, by=request.user)
    flash.done(request, f"“{task}” is a task now.", undo=reverse("buildlog:entries_unmake_task", args=[entry.pk]))
    return SeeOther(back_to(request, reverse("buildlog:tasks_detail", args=[task.pk])))


@require_POST
def unmake_task(request, number):
    entry = _entry(number)
    there = back_to(request, _to(entry))
    try:
        actions_entries.unmake_task(entry=entry)
    except TaskCannotUndo as error:
        flash.refused(request, str(error))
        return SeeOther(there)
    flash.done(request, "Undone: the snag is no task.")
    return SeeOther(_to(entry) if there.startswith("/tasks/") else there)  # that page is gone


@require_POST
def take_back(request, number):
    """Undoes what the line did to parts or to a task."""
    entry = _entry(number)
    try:
        actions_entries.take_back(entry=entry, by=request.user)
    except (Refused, CannotUndo, TaskCannotUndo) as error:
        flash.refused(request, f"That can’t be undone any more. {error}")
    else:
        flash.done(request, f"Undone: {entry.says}")
    return SeeOther(back_to(request, reverse("buildlog:tonight")))

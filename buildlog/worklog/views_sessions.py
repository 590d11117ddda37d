"""A session: stopped, looked at, put right, written down afterwards."""

from datetime import timedelta
from functools import partial

from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from buildlog.builds.queries import current
from buildlog.pictures import actions as pictures
from buildlog.tasks.queries import plan
from inventory.web import flash
from inventory.web.http import SeeOther, page

from . import actions, queries
from .drafts import done_from, draft
from .forms_stop import StopForm
from .forms_times import LateForm, RememberForm, TimesForm
from .models import WorkSession
from .views import save

GOOD_NIGHT = "Good night. Next time opens on where you stopped."
HOURS_STAY = " The hours of its tasks stay as they were said: see “Change the words and hours”."


def _session(number: int) -> WorkSession:
    return get_object_or_404(WorkSession.objects.select_related("build", "bench_photo"), pk=number)


@require_http_methods(["GET", "POST"])
def stop(request, number):
    """Stop for the night, or put right what was said then. Everything is filled in; one tap takes it."""
    session = _session(number)
    ended_at = session.ended_at or queries.stale(session) or timezone.now()
    entries = list(queries.lines(session.entries))
    draft_at = partial(draft, session, entries, plan(session.build))
    offer = draft_at(ended_at)
    initial = {"ended_at": ended_at, "done": session.done or offer.done}
    initial["stopping_point"] = session.stopping_point or offer.stopping_point
    form = StopForm(request.POST or None, request.FILES or None, session=session, draft_at=draft_at, initial=initial)
    if form.is_valid():
        data = form.cleaned_data
        photos = pictures.keep(form, data["uid"], request.user)
        if not form.errors:
            was_on = session.is_running
            actions.stop(
                session=session, at=data["ended_at"], done=data["done"], stopping_point=data["stopping_point"],
                minutes=form.minutes(), bench_photo=photos[0] if photos and not form.photo_stays else None,
            )  # fmt: skip
            flash.done(request, GOOD_NIGHT if was_on else f"{session} is put right.")
            return SeeOther(session.get_absolute_url())
    context = {"session": session, "form": form, "entries": entries, "ended_at": ended_at, "here": "tonight"}
    context["length"] = ended_at - session.started_at
    context["photos"] = [photo for entry in entries for photo in entry.photos.all()]
    return page(request, "buildlog/worklog/stop.html", context, status=422 if form.is_bound else 200)


@require_POST
def stop_as_guessed(request, number):
    """Somebody forgot to stop: take the time of the last line."""
    session = _session(number)
    if session.is_running:
        actions.stop_as_guessed(session=session)
        flash.done(request, f"{session} stopped at {timezone.localtime(session.ended_at):%H:%M}, with its last line.")
    return SeeOther(reverse("buildlog:tonight"))


@require_POST
def go_on(request, number):
    """Not home yet after all."""
    session = _session(number)
    try:
        actions.reopen(session=session)
    except ValidationError as error:
        flash.refused(request, error.messages[0])
        return SeeOther(session.get_absolute_url())
    return SeeOther(reverse("buildlog:tonight"))


@require_safe
def detail(request, number):
    session = _session(number)
    entries = queries.lines(session.entries)
    if session.from_memory:  # as it was written
        entries = entries.order_by("at", "pk")
    lines = Paginator(entries, 200).get_page(request.GET.get("page"))
    before, after = queries.neighbours(session)
    people = session.people.all()
    context = {
        "session": session,
        "before": before,
        "after": after,
        "lines": lines,
        "people": people,
        "show_by": len(people) > 1,
        "done": "" if session.from_memory and session.done == done_from(lines) else session.done,
        "times": session.times.select_related("task"),
        "here": "tonight",
    }
    return page(request, "buildlog/worklog/session.html", context)


@require_http_methods(["GET", "POST"])
def edit(request, number):
    session = _session(number)
    initial = {"started_at": session.started_at, "ended_at": session.ended_at, "people": session.people.all()}
    form = TimesForm(request.POST or None, session=session, initial=initial)
    if form.is_valid():
        followed = actions.put_right(session=session, **form.cleaned_data)
        flash.done(request, f"{session} is put right.{'' if followed else HOURS_STAY}")
        return SeeOther(session.get_absolute_url())
    context = {"session": session, "form": form, "here": "tonight"}
    return page(request, "buildlog/worklog/edit.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def add(request, number):
    """A line that was forgotten that night."""
    session = _session(number)
    if queries.arrived(request.POST.get("uid", "")):
        return SeeOther(session.get_absolute_url())
    form = LateForm(request.POST or None, request.FILES or None, session=session, person=request.user)
    if form.is_valid():
        at = min(max(form.cleaned_data["at"], session.started_at), session.ended_at or timezone.now())
        if save(request, session.build, form, session=session, at=at):
            flash.done(request, "It is in the log.")
            return SeeOther(session.get_absolute_url())
    if form.is_bound:
        form.stand_again()
    context = {"session": session, "form": form, "here": "tonight"}
    return page(request, "buildlog/worklog/add.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def remember(request):
    """A night that was not logged, the morning after."""
    build = current()
    if build is None:
        return SeeOther(reverse("buildlog:tonight"))
    evening = (timezone.localtime() - timedelta(days=1)).replace(hour=19, minute=30, second=0, microsecond=0)
    initial = {"started_at": evening, "ended_at": evening + timedelta(hours=3), "people": [request.user.pk]}
    form = RememberForm(request.POST or None, request.FILES or None, build=build, initial=initial)
    if form.is_valid():
        data = form.cleaned_data
        photos = pictures.keep(form, data["uid"], request.user)
        if not form.errors:
            session = actions.remember(build=build, by=request.user, **data | {"photos": photos})
            flash.done(request, f"{session} is in the log.")
            return SeeOther(session.get_absolute_url())
    context = {"build": build, "form": form, "here": "tonight"}
    return page(request, "buildlog/worklog/remember.html", context, status=422 if form.is_bound else 200)

"""Tonight: where it stopped, what is on the bench, and the box that logs."""

from datetime import timedelta
from functools import partial

from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from buildlog.builds.models import Build
from buildlog.builds.queries import current
from buildlog.pictures import actions as pictures
from buildlog.tasks.marking import take_mark
from buildlog.tasks.models import Task
from buildlog.tasks.queries import Plan, plan
from inventory.parts.actions import NotEnough, Refused
from inventory.web import flash
from inventory.web.http import SeeOther, page

from . import actions, actions_entries, actions_parts, picks, queries
from .forms import LogForm
from .forms_stop import StopHereForm
from .models import Entry, Kind

FIRST_LINES, FIRST_HOUR = 3, timedelta(hours=1)  # so long where one stopped stays in sight, in short
SHOWN = 12  # lines of the log on Tonight; the session's page has all


def _build() -> Build:
    build = current()
    if build is None:
        raise Http404("No build yet")
    return build


@require_safe
def tonight(request):
    build = current()
    if build is None:
        return page(request, "buildlog/worklog/no_build.html", {"here": "tonight"})
    return _show(request, build)


def _show(request, build: Build, form: LogForm | None = None, stop_form=None, mark_form=None):
    """Tonight with an empty box, or with what could not be saved."""
    now = timezone.now()
    if form:
        form.stand_again()
    session = queries.running(build)
    forgotten = queries.stale(session, now) if session else None
    whole = plan(build, now=now)
    entries = list(queries.lines(session.entries)[: SHOWN + 1]) if session else []
    in_short = bool(entries) and (len(entries) <= FIRST_LINES or session.length < FIRST_HOUR)
    context = {
        "build": build,
        "session": session,
        "forgotten": forgotten,
        "elsewhere": queries.running_elsewhere(build),
        "last": queries.last_ended(build) if in_short or not entries else None,
        "in_short": in_short,
        "show_by": bool(session) and session.people.count() > 1,
        "plan": whole,
        "started": whole.started,
        "ready": whole.ready[:5],
        "entries": entries[:SHOWN],
        "more": len(entries) > SHOWN,
        "away": queries.away(),
        "stop_form": stop_form or StopHereForm(),
        "mark_form": mark_form,
        "form": form or _empty_box(request, whole, session),
        "scanned": not form and "scanned" in request.GET,
        "here": "tonight",
    }
    refused = form or stop_form or mark_form
    return page(request, "buildlog/worklog/tonight.html", context, status=422 if refused else 200)


def _empty_box(request, whole: Plan, session) -> LogForm:
    """A box to write in; about a part, with what is meant offered, when a label was just scanned for it."""
    tasks = [row.task for row in whole.rows.values() if row.is_open]
    tasks.sort(key=lambda task: -task.started_at.timestamp() if task.started_at else 0)  # what was begun last first
    form = LogForm(build=whole.build, person=request.user, session=session, tasks=tasks)
    if session:
        form.fields["text"].widget.attrs["autofocus"] = True
    if code := request.GET.get("scanned", "")[:60]:
        form.take(picks.pick_held(code))
    return form


@require_http_methods(["GET", "POST"])
def start(request):
    if request.method == "POST":
        actions.start(build=_build(), by=request.user)
    return SeeOther(reverse("buildlog:tonight"))


@require_http_methods(["GET", "POST"])
def stop(request):
    """Stop for the night from a page that was without signal: the rest comes of the log. GET is to Tonight again."""
    if request.method == "GET":
        return SeeOther(reverse("buildlog:tonight"))
    form = StopHereForm(request.POST)
    if not form.is_valid():
        return _show(request, _build(), stop_form=form)
    try:
        session = actions.stop_from_afar(build=_build(), words=form.cleaned_data["words"])
    except actions.NotNow as error:
        form.add_error("words", str(error))
        form.elsewhere = _says_more(error.session)
        return _show(request, _build(), stop_form=form)
    flash.done(request, "Good night. Next time opens on where you stopped.")
    return SeeOther(session.get_absolute_url())


def _says_more(session) -> tuple[str, str]:
    """Where what could not be stopped here is put right: (what the page is called, its address)."""
    if session is None:
        return "Log an earlier night", reverse("buildlog:sessions_remember")
    return f"Open the end of {session}", reverse("buildlog:sessions_stop", args=[session.pk])


@require_http_methods(["GET", "POST"])
def log(request):
    """Saves one line. GET is where a login in between leads to: back to the box, which has kept what was typed."""
    build = Build.objects.filter(active=True).first()
    if build is None or request.method == "GET":
        return SeeOther(reverse("buildlog:tonight"))
    form = LogForm(request.POST, request.FILES, build=build, person=request.user)
    entry = None
    if request.FILES or not form.is_valid():
        # What it took may be gone since: a line that is here already is asked nothing. Any other is looked for as it
        # is saved.
        entry = queries.arrived(request.POST.get("uid", ""))
    if entry is None:
        entry = save(request, build, form) if form.is_valid() else None
        if entry is None:
            return _show(request, build, form)
    undo = reverse("buildlog:entries_take_back", args=[entry.pk]) if entry.batch_id else ""
    if over := _over(entry):
        flash.done(request, f"{entry.says} {over}".strip(), undo=undo)
        return SeeOther(f"{entry.session.get_absolute_url()}#said")
    if entry.kind == Kind.PART:
        flash.done(request, entry.says, undo=undo)
    return SeeOther(f"{reverse('buildlog:tonight')}#log")


def _over(entry: Entry) -> str:
    """That a line came after its night had been stopped, and what to do about it."""
    ended_at = entry.session.ended_at
    if ended_at is None or entry.session.end_guessed or entry.at <= ended_at:
        return ""
    said = f"{entry.session} was stopped at {timezone.localtime(ended_at):%H:%M}. Your line is in it"
    return f"{said}; if you are still at work, say “It goes on”."


def save(request, build: Build, form: LogForm, **more) -> Entry | None:
    """The line, durable before this answers; None when it could not be, said at the field. `more`: session and at."""
    data = form.cleaned_data
    common = {"build": build, "by": request.user, "uid": data["uid"], "task": data["task"], "text": data["text"]}
    common |= more
    common["photos"] = pictures.keep(form, data["uid"], request.user)
    if form.errors:
        return None
    try:
        match data["kind"]:
            case Kind.PART:
                part, place = data["part"].part, data["place"]
                return actions_parts.log_part(
                    part=part, quantity=data["quantity"], happened=data["happened"], source=data["part"].place,
                    target=place, repairable=data["broken"] == "repair", **common,
                )  # fmt: skip
            case Kind.MEASURE:
                measure = {name: data[name] for name in ("measured", "plus_minus", "unit", "how", "round_to")}
                return actions.log(kind=Kind.MEASURE, **measure, **common)
            case kind:
                return actions.log(kind=kind, **common)
    except Refused as error:
        form.short = error if isinstance(error, NotEnough) else None
        form.add_error("quantity" if form.short else None, str(error))
    except ValidationError as error:
        form.add_error("part", error.messages)
    return None


@require_http_methods(["GET", "POST"])
def mark(request, number, verb):
    """Start, finish, put back or hold a task from the log: a line, and what it frees, with its Undo.

    GET is where a login in between leads to: to the task's page, where it can be said again.
    """
    task = get_object_or_404(Task.objects.select_related("build"), pk=number)
    if verb not in actions_entries.VERBS:
        raise Http404
    if request.method == "GET":
        return SeeOther(reverse("buildlog:tasks_detail", args=[number]))

    def said(entry: Entry) -> tuple[str, str]:
        words = f"{entry.says} {_over(entry)}".strip()
        return words, reverse("buildlog:entries_take_back", args=[entry.pk])

    return take_mark(
        request, task, verb, mark=partial(actions_entries.mark, build=task.build), said=said,
        refused=lambda form: _show(request, task.build, mark_form=form), to=f"{reverse('buildlog:tonight')}#said",
    )  # fmt: skip


@require_safe
def pick(request):
    """What typed text may mean, as choices of the part box."""
    name = request.GET.get("name", "")
    text = request.GET.get(f"{name}_text", "").strip()[:120]
    found = picks.held_as(text) if text else picks.Found()
    context = {"choices": found.choices, "name": name, "picked": found.only, "more": found.more}
    return render(request, "buildlog/worklog/_picks.html", context)

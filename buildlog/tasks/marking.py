"""Start, finish, hold and so on as a form says it, on whichever page."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils.html import format_html

from inventory.web import flash
from inventory.web.http import back_to, done

from .actions import Over
from .forms import HoldForm, MarkForm
from .models import Task
from .words import listed, task_url


def not_ticked(task: Task, words: str) -> str:
    """`words`, and what the finished task has promised that nobody ticked, with the way to tick it."""
    left = [f"“{one}” for “{one.later}”" for one in task.provisions.filter(kept_at=None).select_related("later")]
    if not left:
        return words
    tick = format_html('<a href="{}#promises">Tick it</a>', task_url(task.pk))
    return format_html("{} Promised, and not ticked yet: {}. {} if it is so.", words, listed(left), tick)


def take_mark(
    request: HttpRequest,
    task: Task,
    verb: str,
    *,
    mark: Callable,
    refused: Callable[[MarkForm], HttpResponse],
    said: Callable[..., tuple[str, str]],
    to: str,
) -> HttpResponse:
    """`mark` does it; `said` has the words and the Undo's address of what that made, `refused` the page with the form.

    Where it stood so already (None) nothing changes. Else it goes on where the form says, or `to`.
    """
    form = (HoldForm if verb == "hold" else MarkForm)(request.POST, task=task)
    if not form.is_valid():
        return refused(form)
    try:
        made = mark(task=task, verb=verb, by=request.user, **form.cleaned_data)
    except Over as error:
        form.add_error(None, str(error))
        return refused(form)
    if made is None:
        flash.done(request, f"Nothing changed: “{task}” stood so already.")
    else:
        words, undo = said(made)
        flash.done(request, not_ticked(task, words) if verb == "finish" else words, undo=undo)
    return done(request, back_to(request, to))

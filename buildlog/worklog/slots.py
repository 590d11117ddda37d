"""Where the front door leads, what the log shows on other pages, and what it hears of decisions."""

from django.urls import reverse

from buildlog.builds.queries import current
from inventory.web.moment import done_at
from inventory.web.slots import Panel

from . import actions, actions_entries, queries
from .models import Kind

ON_A_TASK = 60


def to_tonight(request) -> str:
    """To Tonight once there is a build; a shop that only keeps parts opens on Find."""
    return reverse("buildlog:tonight" if current() else "inventory:find")


def log_of_task(request, task) -> list[Panel]:
    """A task's log, the newest first, and how long it has had; the whole of it is one tap on."""
    entries = list(queries.lines(task.entries).select_related("session")[: ON_A_TASK + 1])
    if not entries:
        return []
    context = {"entries": entries[:ON_A_TASK], "more": len(entries) > ON_A_TASK, "task": task}
    context |= {"minutes": queries.minutes_of(task), "request": request, "user": request.user}
    return [Panel("Its log", "buildlog/worklog/_task_log.html", context)]


def decided(decision, by) -> None:
    """A decision taken or opened again is a line of the log: of the session that runs, else after the last one."""
    session = queries.running(decision.build)
    if session and queries.stale(session):
        actions.stop_as_guessed(session=session)
    at = decision.chosen_at or done_at()
    if session is None or session.ended_at:
        session = decision.build.sessions.begun_by(at).first()
    if session is None:
        return  # nothing was logged of the build until then
    says = f"Decided: {decision} {decision.chosen}." if decision.chosen else f"Opened again: {decision}"
    actions.log(session=session, by=by, at=at, kind=Kind.DECISION, decision=decision, says=says, text=decision.why)


def marked(task, verb, change, words) -> None:
    """What is said of a task on its own page is a line of the night that is, or was, on at that moment."""
    session = queries.running(task.build)
    if session is None or session.started_at > change.at:
        session = queries.ended_about(task.build, change.at)
    if session and not (session.is_running and queries.stale(session, change.at)):
        actions_entries.say(build=task.build, task=task, verb=verb, change=change, words=words)

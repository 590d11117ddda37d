"""All nights: a month of them with their hours; and the log, by whatever one looks for."""

from datetime import date, timedelta

from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from buildlog.builds.queries import current
from buildlog.worklog.models import Entry
from buildlog.worklog.queries import total_time
from inventory.web.http import SeeOther, page

from . import queries
from .calc.weeks import by_week
from .forms import LogForm

PAGE = 40  # lines of the log
YEARS = (1970, 2200)  # what can be asked for


def _month(text: str, otherwise: date) -> date:
    """The first of the month written as 2026-11."""
    try:
        month = date.fromisoformat(f"{text}-01")
    except ValueError:
        return otherwise.replace(day=1)
    return month if YEARS[0] <= month.year <= YEARS[1] else otherwise.replace(day=1)


def _next(month: date) -> date:
    return (month + timedelta(days=31)).replace(day=1)


@require_safe
def nights(request):
    """A month as a calendar and as a list, the hours of the half year up to it, and those of each area."""
    build = current(request.GET.get("build"))
    if build is None:
        return SeeOther(reverse("buildlog:tonight"))
    today = timezone.localdate()
    first, last = queries.reach(build)
    month = _month(request.GET.get("month", ""), last or today)
    after = _next(month)
    end = min(today, after - timedelta(days=1))
    sessions = list(queries.between(build, month, after).with_counts())
    context = {
        "build": build,
        "total": total_time(build),
        "count": build.sessions.count(),
        "month": month,
        "today": today,
        "weeks": queries.month(month, sessions),
        "sessions": sessions,
        "before": (month - timedelta(days=1)).replace(day=1) if first and first < month else None,
        "after": after if last and last >= after else None,
        "years": list(range(last.year, first.year - 1, -1)) if first else [],
        "chart": by_week(queries.worked(build, end), end),
        "areas": queries.areas(build),
        "here": "tonight",
    }
    return page(request, "buildlog/lookback/nights.html", context)


@require_safe
def log(request):
    """The lines of all nights, or those that are asked for, the newest first."""
    build = current(request.GET.get("build"))
    if build is None:
        return SeeOther(reverse("buildlog:tonight"))
    form = LogForm(request.GET, build=build)
    asked = form.asked()
    before = request.GET.get("before", "")
    number = int(before) if before.isdecimal() and len(before) < 19 else None
    found = Entry.objects.none() if "q" in form.errors else queries.asked_for(build, asked)
    entries, more = queries.portion(found, number, PAGE)
    context = {
        "build": build,
        "form": form,
        "asked": asked,
        "entries": entries,
        "more": more,
        "later": number,
        "show_by": not form.alone,
        "here": "tonight",
    }
    return page(request, "buildlog/lookback/log.html", context, partial="lines")

"""Backups that make themselves. The serving process asks every minute whether one is due."""

import logging
import threading
from datetime import datetime, timedelta
from pathlib import Path

from django.db import connections
from django.utils import timezone

from . import actions, coming_back
from .models import Every, KeepingPlan
from .running import in_background, only_one, tell

log = logging.getLogger("gusset.keeping")
INTERVAL = {Every.DAY: timedelta(hours=20), Every.WEEK: timedelta(days=6, hours=20)}


def is_due(plan: KeepingPlan, last: datetime | None, now: datetime) -> bool:
    """Due when the last one is old enough and the hour of the day has come (or was slept through)."""
    if plan.every == Every.NEVER:
        return False
    if last is None:
        return True
    age = now - last
    interval = INTERVAL[Every(plan.every)]
    return age >= interval and (timezone.localtime(now).hour >= plan.hour or age >= interval + timedelta(days=1))


def run_if_due(now: datetime | None = None) -> Path | None:
    """Make the backup that is due, thin out the old ones, and put the second copy where the plan says."""
    plan = KeepingPlan.current()
    found = actions.backups()
    if not is_due(plan, found[0][0] if found else None, now or timezone.now()):
        return None
    with only_one() as mine:
        return run(plan) if mine else None


def run(plan: KeepingPlan) -> Path | None:
    """A backup now, with its progress where the page can see it. What goes wrong is kept for the page to say."""
    try:
        path = actions.make(tell=tell, thin=True)
        if plan.copy_to:
            tell(1, 1, "Copying to the second place")
            actions.copy_to(path, Path(plan.copy_to))
    except (OSError, actions.BadBackup) as error:
        log.error("backup failed: %s", error)
        KeepingPlan.objects.filter(pk=1).update(trouble=str(error))
        return None
    else:
        KeepingPlan.objects.filter(pk=1).update(trouble="")
        return path


def start_now() -> bool:
    """Begin a backup in the background. False when one runs already."""
    plan = KeepingPlan.current()
    return in_background(lambda: run(plan), "Backing up")


def watch(stop: threading.Event, every: float = 60.0) -> None:
    """For the process above the servers: look each minute, until told to stop.

    Between two looks it leaves the database closed, and while a backup is to be brought back it does not open it:
    nothing else may have it open then.
    """
    while not stop.wait(every):
        if coming_back.asked():
            continue
        try:
            run_if_due()
        except Exception:  # whatever it was, the shop goes on and the next minute tries again
            log.exception("the backup schedule stumbled")
        finally:
            connections.close_all()

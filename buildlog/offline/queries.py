"""Which pages a phone keeps beside those it opened: those that are needed at the bench and seldom looked at before."""

from django.urls import reverse

from buildlog.worklog.models import WorkSession
from inventory.donors.models import Donor

MOST = 12


def bench_pages() -> list[str]:
    """The plan, where parts come off donors whose cautions were read, and where the running sessions are stopped."""
    sessions = WorkSession.objects.running().values_list("pk", flat=True)[:MOST]
    donors = Donor.objects.filter(cautions_at__isnull=False, location__retired_at=None).order_by("-pk")
    stops = [reverse("buildlog:sessions_stop", args=[number]) for number in sessions]
    numbers = donors.values_list("pk", flat=True)[:MOST]
    return [reverse("buildlog:plan"), *stops] + [reverse("inventory:donors_pull", args=[number]) for number in numbers]

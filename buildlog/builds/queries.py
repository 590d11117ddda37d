"""Reads over builds that more than one page needs."""

from django.db.models import Count, Q

from .models import Build


def current(code: str | None = None) -> Build | None:
    """The build of this code, or the one worked on now; None when there is none yet."""
    builds = Build.objects.with_vehicle()
    if code:
        return builds.coded(code).first()
    return builds.filter(active=True).first()


def counts(build: Build) -> dict[str, int]:
    """Tasks of a build by how far they are: open (also started), done, and all that were not dropped."""
    return build.tasks.aggregate(
        open=Count("pk", filter=Q(status__in=("open", "started"))),
        done=Count("pk", filter=Q(status="done")),
        all=Count("pk", filter=~Q(status="dropped")),
    )

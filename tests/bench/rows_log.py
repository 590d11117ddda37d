"""Tonight and the log after 2,000 nights: 60,000 lines, 20,000 photos."""

import uuid

from django.urls import reverse

from buildlog.builds.models import Area
from buildlog.tasks.models import Task
from buildlog.worklog.models import WorkSession

from .night import open_log
from .rows import Row, row, side_by_side
from .rows_store import queries_of
from .shop import open_shop

NIGHTS, FEW = 2000, 3
WARM = 12_000  # bytes


def pages() -> dict[str, str]:
    """Title: address, in the shop that is open."""
    last = WorkSession.objects.running().get()
    task, area = Task.objects.order_by("pk").first(), Area.objects.order_by("pk").first()
    return {
        "Tonight": reverse("buildlog:tonight"),
        "the log": reverse("buildlog:log"),
        "the log of an area": f"{reverse('buildlog:log')}?area={area.pk}",
        "the log of words": f"{reverse('buildlog:log')}?q=hinge+door",
        "all nights": reverse("buildlog:sessions_list"),
        "a session": last.get_absolute_url(),
        "stopping": reverse("buildlog:sessions_stop", args=[last.pk]),
        "a task with its log": reverse("buildlog:tasks_detail", args=[task.pk]),
    }


@row("the log", once=True)
def the_log(shop):
    few = {title: queries_of(open_log(FEW), address) for title, address in _pages_of(FEW).items()}
    full = open_log(NIGHTS)
    for title, address in pages().items():
        many = queries_of(full, address)
        yield Row(f"queries of {title}, {NIGHTS:,} nights beside {FEW}", many, few[title], 1)
    for title, address in pages().items():
        size = len(full.client.get(address).content)
        ours, floor = side_by_side(lambda a=address: full.client.get(a), lambda s=size: full.client.get(f"/bare/{s}/"))
        yield Row(f"{title}, {NIGHTS:,} nights, ms", ours, floor, 3)
    for title, address in list(pages().items())[:2]:
        packed = len(full.client.get(address, headers={"Accept-Encoding": "gzip"}).content)
        yield Row(f"{title}, {NIGHTS:,} nights, packed, beside its 12 kB, bytes", packed, WARM, 1)
    open_shop(shop.parts)


def _pages_of(nights: int) -> dict[str, str]:
    open_log(nights)
    return pages()


@row("a line saved", once=True)
def saving(shop):
    full = open_log(NIGHTS)

    def ours():
        form = {"uid": str(uuid.uuid4()), "kind": "note", "text": "Left leaf binds in the last 20 degrees"}
        assert full.client.post(reverse("buildlog:tonight_log"), form).status_code == 303

    ms, floor = side_by_side(ours, lambda: full.client.post("/bare-insert/", {"what": "bare"}))
    yield Row(f"a line saved, durable, {NIGHTS:,} nights, ms", ms, floor, 2)
    open_shop(shop.parts)

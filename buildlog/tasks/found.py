"""Tasks as things that can be found."""

from collections.abc import Collection, Iterable

from inventory.finding.calc.rank import field_text
from inventory.finding.registry import Entry, Source, Watch

from .models import Task

_TASK, _AREA = "buildlog_task", "buildlog_area"


def documents(ids: Collection[int]) -> Iterable[Entry]:
    rows = Task.objects.filter(pk__in=ids, joined_into=None).order_by()
    for number, title, detail, area in rows.values_list("pk", "title", "detail", "area__name"):
        yield Entry(number, {"name": field_text(title), "notes": field_text(detail), "place": field_text(area or "")})


def cards(ids: Collection[int]) -> dict[int, Task]:
    return Task.objects.select_related("area", "build").in_bulk(ids)


TASKS = Source(
    kind="task",
    ids=lambda: Task.objects.filter(joined_into=None).order_by().values_list("pk", flat=True),
    documents=documents,
    cards=cards,
    template="buildlog/tasks/found.html",
    watches=(
        Watch(_TASK, "INSERT", "SELECT 'task', NEW.id"),
        Watch(_TASK, "DELETE", "SELECT 'task', OLD.id"),
        Watch(_TASK, "UPDATE OF title, detail, area_id, joined_into_id", "SELECT 'task', NEW.id"),
        Watch(_AREA, "UPDATE OF name", f"SELECT 'task', t.id FROM {_TASK} t WHERE t.area_id = NEW.id"),  # noqa: S608
    ),
)

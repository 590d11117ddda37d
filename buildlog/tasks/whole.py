"""Tasks with all that hangs on them, as plain values: taken before and after a split or a join, for the undo."""

from collections.abc import Collection, Iterator
from datetime import datetime
from decimal import Decimal

from django.db import models
from django.db.models import Q

from .models import Need, Provision, Task, TaskPart

FIELDS = (
    "title", "detail", "area_id", "hours_low", "hours_likely", "hours_high", "place_id", "wait_hours", "cautions",
    "status", "on_hold", "started_at", "finished_at", "joined_into_id",
)  # fmt: skip
LINE = ("task_id", "part_id", "words", "quantity", "used", "got")
PROMISE = ("task_id", "later_id", "words", "kept_at", "kept_by_id")
WORDS = {
    "tasks": "words or standing", "needs": "needs", "lines": "parts", "promises": "promises", "decisions": "decisions",
    "photos": "photos",
}  # fmt: skip
NOT_ABOVE = {Need, Provision, TaskPart, Task}


def _plain(value):
    if isinstance(value, datetime):
        return value.isoformat()
    return str(value.normalize()) if isinstance(value, Decimal) else value


def _rows(found: models.QuerySet, fields: tuple[str, ...]) -> dict[str, dict]:
    """By number as text, as JSON has it."""
    return {
        str(row["pk"]): {name: _plain(row[name]) for name in fields}
        for row in found.order_by("pk").values("pk", *fields)
    }


def take(tasks: Collection[int]) -> dict:
    """Everything of these tasks that a split or a join may change, or its undo take away, in a fixed order."""
    either = Q(task__in=tasks)
    decided = Task.decisions.through.objects.filter(task__in=tasks)
    pictured = Task.photos.through.objects.filter(task__in=tasks)
    needs = Need.objects.filter(either | Q(need__in=tasks))
    return {
        "tasks": _rows(Task.objects.filter(pk__in=tasks), FIELDS),
        "needs": sorted(map(list, needs.values_list("task_id", "need_id"))),
        "lines": _rows(TaskPart.objects.filter(either), LINE),
        "promises": _rows(Provision.objects.filter(either | Q(later__in=tasks)), PROMISE),
        "decisions": sorted(map(list, decided.values_list("task_id", "decision_id"))),
        "photos": sorted([task, str(photo)] for task, photo in pictured.values_list("task_id", "photo_id")),
    }


def differences(one: dict, other: dict) -> list[str]:
    """In what two states of the same tasks differ, in words. What an older one says nothing of is taken to be equal."""
    return [word for key, word in WORDS.items() if key in other and one[key] != other[key]]


def put_back(before: dict, after: dict) -> None:
    """As it was before; tasks that came since go. Call it only where `take` still answers what it did after."""
    ids = [int(number) for number in after["tasks"]]
    Need.objects.filter(Q(task__in=ids) | Q(need__in=ids)).delete()
    for model, key in ((TaskPart, "lines"), (Provision, "promises")):
        model.objects.filter(pk__in=[int(number) for number in after[key]]).delete()
    Task.objects.filter(pk__in=ids).exclude(pk__in=[int(number) for number in before["tasks"]]).delete()
    for number, fields in before["tasks"].items():
        Task.objects.filter(pk=number).update(**_typed(Task, fields))
    for model, key in ((TaskPart, "lines"), (Provision, "promises")):
        for number, fields in before[key].items():
            model.objects.create(pk=int(number), **_typed(model, fields))
    Need.objects.bulk_create([Need(task_id=task, need_id=need) for task, need in before["needs"]])
    decided = Task.decisions.through.objects
    decided.filter(task__in=ids).delete()
    decided.bulk_create([decided.model(task_id=task, decision_id=decision) for task, decision in before["decisions"]])
    if "photos" not in before:
        return
    pictured = Task.photos.through.objects
    pictured.filter(task__in=ids).delete()
    pictured.bulk_create([pictured.model(task_id=task, photo_id=photo) for task, photo in before["photos"]])


def _typed(model: type[models.Model], fields: dict) -> dict:
    return {name: model._meta.get_field(name.removesuffix("_id")).to_python(value) for name, value in fields.items()}


def stands_on(tasks: Collection[int]) -> Iterator[Task]:
    """Those of the tasks that something above tasks speaks of by now: a line of a log, hours of a night, a story."""
    for link in Task._meta.get_fields(include_hidden=True):  # hidden: a link that gave itself no way back
        above = link.auto_created and link.is_relation and link.related_model not in NOT_ABOVE
        if above and not link.related_model._meta.auto_created:
            named = link.related_model._base_manager.filter(**{f"{link.field.name}__in": tasks}).order_by()
            yield from Task.objects.filter(pk__in=named.values(link.field.name))

"""Pieces of work, what each needs, what it uses, and what it promises to a later one."""

import uuid
from datetime import timedelta
from decimal import Decimal

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from buildlog.builds.models import Area, Build
from buildlog.decisions.models import Decision
from inventory.parts.models import Part
from inventory.parts.quantity import QuantityField
from inventory.photos.models import Photo
from inventory.places.models import Location


class Status(models.TextChoices):
    """What somebody said of a task. Ready and held are computed, never stored."""

    OPEN = "open", "Open"
    STARTED = "started", "Started"
    DONE = "done", "Done"
    DROPPED = "dropped", "Dropped"


class TaskQuerySet(models.QuerySet):
    def unfinished(self) -> "TaskQuerySet":
        return self.filter(status__in=(Status.OPEN, Status.STARTED))

    def of(self, build: Build) -> "TaskQuerySet":
        return self.filter(build=build)

    def in_order(self) -> "TaskQuerySet":
        """Area by area, each in its own order; tasks without an area last."""
        return self.order_by(F("area__order").asc(nulls_last=True), "order", "pk")


def hours(label: str) -> models.DecimalField:
    return models.DecimalField(
        label, max_digits=6, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)]
    )


class Task(models.Model):
    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="tasks")
    area = models.ForeignKey(Area, on_delete=models.SET_NULL, null=True, blank=True, related_name="tasks")
    title = models.CharField(max_length=120)
    detail = models.TextField(blank=True)
    hours_low = hours("hours at best")
    hours_likely = hours("hours most likely")
    hours_high = hours("hours at worst")
    place = models.ForeignKey(
        Location, on_delete=models.PROTECT, null=True, blank=True, related_name="+",
        limit_choices_to={"away": True, "retired_at": None}, verbose_name="where it is done",
    )  # fmt: skip
    wait_hours = models.PositiveIntegerField("hours to wait after it", default=0)
    cautions = models.JSONField(default=list, blank=True, help_text="Keys of cautions.CAUTIONS")
    decisions = models.ManyToManyField(Decision, blank=True, related_name="tasks")
    photos = models.ManyToManyField(Photo, blank=True, editable=False, related_name="+")
    order = models.IntegerField(default=0, editable=False)

    status = models.CharField(max_length=8, choices=Status.choices, default=Status.OPEN, editable=False)
    on_hold = models.CharField("on hold because", max_length=200, blank=True, editable=False)
    started_at = models.DateTimeField(null=True, blank=True, editable=False)
    finished_at = models.DateTimeField(null=True, blank=True, editable=False, help_text="Done or dropped at")
    joined_into = models.ForeignKey(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="joined", editable=False
    )
    created_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = TaskQuerySet.as_manager()

    class Meta:
        ordering = ["order", "pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(title=""), name="task_has_a_title"),
            models.CheckConstraint(condition=Q(status__in=Status.values), name="task_status_known"),
            models.CheckConstraint(
                condition=Q(status__in=("done", "dropped"), finished_at__isnull=False)
                | Q(status__in=("open", "started"), finished_at=None),
                name="task_finished_has_a_time",
            ),
            models.CheckConstraint(
                condition=(Q(hours_low=None) | Q(hours_high=None) | Q(hours_low__lte=F("hours_high")))
                & (Q(hours_low=None) | Q(hours_likely=None) | Q(hours_low__lte=F("hours_likely")))
                & (Q(hours_likely=None) | Q(hours_high=None) | Q(hours_likely__lte=F("hours_high"))),
                name="task_hours_rise",
                violation_error_message="Hours must rise from best to most likely to worst.",
            ),
        ]
        indexes = [models.Index(fields=["build", "status"], name="task_by_build_and_status")]

    def __str__(self) -> str:
        return self.title

    @property
    def is_open(self) -> bool:
        return self.status in (Status.OPEN, Status.STARTED)

    @property
    def is_done(self) -> bool:
        return self.status == Status.DONE

    @property
    def wait_said(self) -> str:
        """'2 days', '6 hours'."""
        whole_days = self.wait_hours % 24 == 0
        count = self.wait_hours // 24 if whole_days else self.wait_hours
        return f"{count} {'day' if whole_days else 'hour'}{'' if count == 1 else 's'}"

    @property
    def hours_said(self) -> str:
        """'1 at best, 2 likely, 4 at worst', as far as it is known."""
        ends = ((self.hours_low, "at best"), (self.hours_likely, "likely"), (self.hours_high, "at worst"))
        return ", ".join(f"{hours.normalize():f} {word}" for hours, word in ends if hours is not None)

    @property
    def wait_after(self) -> timedelta:
        return timedelta(hours=self.wait_hours)


class Need(models.Model):
    """`task` can't be done before `need` is."""

    task = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="needs")
    need = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="needed_by")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["task", "need"], name="need_once"),
            models.CheckConstraint(condition=~Q(task=F("need")), name="need_is_another_task"),
        ]

    def __str__(self) -> str:
        return f"{self.task_id} needs {self.need_id}"


class TaskPart(models.Model):
    """What a task uses: a part of the shop, or words for what isn't known yet."""

    task = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="parts")
    part = models.ForeignKey(Part, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    words = models.CharField(max_length=120, blank=True)
    quantity = QuantityField(default=1)
    used = QuantityField(default=0, editable=False, help_text="How many were fitted or used up for it already")
    got = models.BooleanField(default=False, editable=False, help_text="Only for words: it is here now")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(part__isnull=False) | ~Q(words=""), name="task_part_says_what"),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="task_part_quantity_positive"),
            models.CheckConstraint(condition=Q(used__gte=0), name="task_part_used_not_negative"),
            models.UniqueConstraint(
                fields=["task", "part"],
                name="task_part_once",
                violation_error_message="The task has this part already; change how many instead.",
            ),
        ]

    def __str__(self) -> str:
        return str(self.part) if self.part_id else self.words

    @property
    def still_wanted(self) -> Decimal:
        """How many are to come: nothing more of words that are here."""
        return Decimal(0) if self.got else max(self.quantity - self.used, Decimal(0))


class Provision(models.Model):
    """A promise to a later task: 'leave four holes for the guard'. Shown on both, ticked on either."""

    task = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="provisions", help_text="Keeps the promise")
    later = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="promised", help_text="Counts on it")
    words = models.CharField(max_length=200)
    kept_at = models.DateTimeField(null=True, blank=True, editable=False)
    kept_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(words=""), name="provision_says_what"),
            models.CheckConstraint(condition=~Q(task=F("later")), name="provision_is_for_another_task"),
        ]

    def __str__(self) -> str:
        return self.words


class Change(models.Model):
    """Something done to tasks that can be undone: start, hold, finish, drop, reopen, add, split, join.

    `rows`: [{"task": id, "before": {field: value} or null when the task was made, "after": {…}}].
    `whole`: {"before": …, "after": …}, the tasks with all that hangs on them (whole.py), of a split or a join;
    {"areas": [id]}, the areas that came with added tasks.
    The id is made by the client, so that a second arrival changes nothing.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    what = models.CharField(max_length=200)
    rows = models.JSONField(default=list)
    whole = models.JSONField(null=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now, db_index=True)
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-at"]

    def __str__(self) -> str:
        return self.what

    @property
    def came_late(self) -> bool:
        """The task had gone on already when this arrived, and stands as it went on to."""
        return bool(self.rows) and all(row["before"] == row["after"] for row in self.rows)

"""The vehicle being built and the areas its work is sorted into."""

from django.core.validators import RegexValidator
from django.db import models
from django.db.models import Count, Q
from django.db.models.functions import Lower, Upper
from django.utils import timezone

from inventory.places.models import Location

code_shape = RegexValidator(r"^[A-Za-z0-9][A-Za-z0-9-]*$", "Letters, figures and dashes only: HB-64.")


class BuildQuerySet(models.QuerySet):
    def coded(self, code: str) -> "BuildQuerySet":
        return self.filter(code__iexact=code)

    def with_vehicle(self) -> "BuildQuerySet":
        return self.select_related("vehicle")


class Build(models.Model):
    """Its vehicle is a place like any other: what is fitted to the build is moved there."""

    code = models.CharField(max_length=16, validators=[code_shape], help_text="Short, for labels: HB-64.")
    name = models.CharField(max_length=60, help_text="Bakery van")
    goal = models.CharField(max_length=200, blank=True, help_text="What it will be when it is finished, in a sentence.")
    number = models.CharField(
        "identification number", max_length=40, blank=True,
        help_text="As it is stamped on the vehicle. In the record if it is ticked there; kept out of stories.",
    )  # fmt: skip
    vehicle = models.OneToOneField(Location, on_delete=models.PROTECT, related_name="+", editable=False)
    active = models.BooleanField("worked on now", default=False, editable=False)
    finished_at = models.DateTimeField(null=True, blank=True, editable=False)
    created_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = BuildQuerySet.as_manager()

    class Meta:
        ordering = ["-active", "code"]
        constraints = [
            models.UniqueConstraint(
                Upper("code"),
                name="build_code_unique",
                violation_error_message="Another build has this code.",
            ),
            models.UniqueConstraint(fields=["active"], condition=Q(active=True), name="build_one_active"),
            models.CheckConstraint(condition=~Q(name=""), name="build_has_a_name"),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


class AreaQuerySet(models.QuerySet):
    def with_counts(self) -> "AreaQuerySet":
        """Adds `open_tasks` and `done_tasks`."""
        return self.annotate(
            open_tasks=Count("tasks", filter=Q(tasks__status__in=("open", "started"))),
            done_tasks=Count("tasks", filter=Q(tasks__status="done")),
        )


class Area(models.Model):
    """A part of the build: floor, cooling, wiring. Its mark is letters, never a colour."""

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="areas")
    name = models.CharField(max_length=60)
    mark = models.CharField(max_length=3, blank=True, help_text="One to three letters, for small places: SH.")
    order = models.IntegerField(default=0, editable=False)

    objects = AreaQuerySet.as_manager()

    class Meta:
        ordering = ["order", "pk"]
        constraints = [
            models.UniqueConstraint(
                "build",
                Lower("name"),
                name="area_name_unique_in_build",
                violation_error_message="This build has an area of that name.",
            ),
            models.CheckConstraint(condition=~Q(name=""), name="area_has_a_name"),
        ]

    def __str__(self) -> str:
        return self.name

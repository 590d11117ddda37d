"""When backups are made by themselves, and where a second copy goes."""

from django.db import models
from django.db.models import Q


class Every(models.TextChoices):
    NEVER = "never", "Never"
    DAY = "day", "Every day"
    WEEK = "week", "Every week"


class KeepingPlan(models.Model):
    """One row; `current()` makes it."""

    every = models.CharField(max_length=10, choices=Every.choices, default=Every.DAY)
    hour = models.PositiveSmallIntegerField(default=4)
    copy_to = models.CharField(max_length=300, blank=True)
    trouble = models.TextField(blank=True, editable=False, help_text="What went wrong the last time, if it did.")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(pk=1), name="keeping_plan_is_one"),
            models.CheckConstraint(condition=Q(hour__lte=23), name="keeping_plan_hour_of_a_day"),
        ]

    def __str__(self) -> str:
        return self.get_every_display()

    @classmethod
    def current(cls) -> "KeepingPlan":
        return cls.objects.get_or_create(pk=1)[0]

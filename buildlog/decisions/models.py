"""What has to be decided before work can go on."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from buildlog.builds.models import Area, Build
from inventory.photos.models import Photo


class DecisionQuerySet(models.QuerySet):
    def open(self) -> "DecisionQuerySet":
        return self.filter(chosen=None)

    def with_facts(self) -> "DecisionQuerySet":
        """With what a list of them shows: area, choice, options, and the tasks that wait."""
        return self.select_related("build", "area", "chosen", "chosen_by").prefetch_related("options", "tasks")


class Decision(models.Model):
    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="decisions")
    area = models.ForeignKey(Area, on_delete=models.SET_NULL, null=True, blank=True, related_name="decisions")
    question = models.CharField(max_length=160, help_text="Which colour inside the hatch?")
    chosen = models.ForeignKey(
        "Option", on_delete=models.RESTRICT, null=True, blank=True, related_name="+", editable=False
    )
    chosen_at = models.DateTimeField(null=True, blank=True, editable=False)
    chosen_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )
    why = models.CharField(max_length=400, blank=True, editable=False)
    created_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = DecisionQuerySet.as_manager()

    class Meta:
        ordering = ["chosen_at", "pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(question=""), name="decision_asks_something"),
            models.CheckConstraint(
                condition=Q(chosen=None, chosen_at=None) | Q(chosen__isnull=False, chosen_at__isnull=False),
                name="decision_chosen_has_a_time",
            ),
        ]

    def __str__(self) -> str:
        return self.question


class Option(models.Model):
    decision = models.ForeignKey(Decision, on_delete=models.CASCADE, related_name="options")
    name = models.CharField(max_length=120)
    came_from = models.CharField("where the idea came from", max_length=160, blank=True)
    cost = models.DecimalField(max_digits=10, decimal_places=2, null=True, blank=True)
    speaks_for = models.CharField("for it", max_length=300, blank=True)
    speaks_against = models.CharField("against it", max_length=300, blank=True)
    link = models.URLField(max_length=300, blank=True)
    photos = models.ManyToManyField(Photo, blank=True, editable=False, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["decision", "name"],
                name="option_name_unique_in_decision",
                violation_error_message="There is an option of that name.",
            ),
            models.CheckConstraint(condition=~Q(name=""), name="option_has_a_name"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def was_chosen(self) -> bool:
        """It is chosen, or was once: the verdict speaks of it."""
        return Verdict.objects.filter(option=self).exists()


class Verdict(models.Model):
    """A decision as it was taken. It stays when the question is opened again or something else is chosen."""

    decision = models.ForeignKey(Decision, on_delete=models.CASCADE, related_name="verdicts")
    option = models.ForeignKey(Option, on_delete=models.SET_NULL, null=True, related_name="+")
    words = models.CharField(max_length=120, help_text="The option's name then")
    why = models.CharField(max_length=400, blank=True)
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    until = models.DateTimeField(null=True, help_text="When it was opened again or chosen anew; empty: it holds")

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["decision"], condition=Q(until=None), name="verdict_one_holds"),
        ]

    def __str__(self) -> str:
        return self.words

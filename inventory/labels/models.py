"""Labels, what they were stuck to, the addresses they were printed for, and the runs they were printed in."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from inventory.parts.models import Part
from inventory.places.models import Location

from . import codes, sizes


class LabelQuerySet(models.QuerySet):
    def current(self) -> "LabelQuerySet":
        return self.filter(retired_at=None)

    def blank(self) -> "LabelQuerySet":
        return self.current().filter(location=None, part=None)

    def on(self, thing) -> "LabelQuerySet":
        """Labels now stuck to this place or part, the oldest first."""
        field = "location" if isinstance(thing, Location) else "part"
        return self.current().filter(**{field: thing}).order_by("pk")

    def with_things(self) -> "LabelQuerySet":
        return self.select_related("location", "part__donor")


class Label(models.Model):
    """A code, and the one thing it is stuck to: a place, a part, or nothing yet. A code is never used again."""

    code = models.CharField(max_length=12, unique=True, default=codes.draw, editable=False)
    location = models.ForeignKey(Location, on_delete=models.PROTECT, null=True, blank=True, related_name="labels")
    part = models.ForeignKey(Part, on_delete=models.PROTECT, null=True, blank=True, related_name="labels")
    size = models.CharField(max_length=40, blank=True)
    made_at = models.DateTimeField(default=timezone.now, editable=False)
    printed_at = models.DateTimeField(null=True, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = LabelQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(location=None) | Q(part=None),
                name="label_sticks_to_one_thing",
                violation_error_message="A label is stuck to a place or to a part, not to both.",
            ),
        ]

    def __str__(self) -> str:
        return codes.spaced(self.code)

    def get_absolute_url(self) -> str:
        return reverse("inventory:labels_detail", args=[self.code])

    @property
    def thing(self) -> Location | Part | None:
        return self.location or self.part

    @property
    def size_name(self) -> str:
        return sizes.name(self.size)


class LabelBinding(models.Model):
    """One line of a label's history: from then on it was stuck to this, or to nothing."""

    label = models.ForeignKey(Label, on_delete=models.PROTECT, related_name="bindings")
    location = models.ForeignKey(Location, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    part = models.ForeignKey(Part, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(location=None) | Q(part=None), name="label_binding_sticks_to_one_thing"),
        ]

    def __str__(self) -> str:
        return f"{self.label_id}: {self.location or self.part or 'nothing'}"

    @property
    def thing(self) -> Location | Part | None:
        return self.location or self.part


class BaseAddress(models.Model):
    """An address of the shop that labels were printed for. The newest is used; the older ones stay known."""

    address = models.CharField(max_length=100, unique=True)
    since = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-since", "-pk"]
        verbose_name_plural = "base addresses"

    def __str__(self) -> str:
        return self.address


class PrintRun(models.Model):
    """One printing: which codes, on what, from which cell; its PDF is made once and kept for some days."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    stock = models.CharField(max_length=40)
    base = models.CharField(max_length=100, blank=True, help_text="Empty: the symbol holds the code alone.")
    start = models.PositiveSmallIntegerField(default=0)
    nudge_x = models.FloatField(default=0)
    nudge_y = models.FloatField(default=0)
    dark = models.BooleanField(default=False)
    codes = models.JSONField(default=list)
    pages = models.PositiveIntegerField(default=0)
    done = models.PositiveIntegerField(default=0)
    failed = models.CharField(max_length=300, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-at"]
        constraints = [
            models.CheckConstraint(condition=Q(done__lte=models.F("pages")), name="print_run_done_within_pages"),
        ]

    def __str__(self) -> str:
        return f"{len(self.codes)} on {self.stock}"

    def get_absolute_url(self) -> str:
        return reverse("inventory:labels_run", args=[self.pk])

    @property
    def stock_name(self) -> str:
        return sizes.name(self.stock)

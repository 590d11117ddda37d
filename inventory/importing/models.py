"""Lists that were brought, what their columns held, and which rows are in."""

import hashlib
import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from inventory.parts.models import Batch, Part
from inventory.parts.quantity import QuantityField

from .calc.columns import headings_key


def key_of(headings) -> str:
    """A short key that is the same for the same headings."""
    return hashlib.sha256(headings_key(headings).encode()).hexdigest()[:32]


class State(models.TextChoices):
    WAITING = "waiting", "Not brought in yet"
    WORKING = "working", "Being brought in"
    DONE = "done", "Brought in"


class Import(models.Model):
    """One list: from the moment its file was read until it is in, or thrown away."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=200, help_text="The name of the file, or 'Pasted list'.")
    how = models.CharField(max_length=200, help_text="How it was read: CSV, UTF-8, semicolons.")
    headings = models.JSONField(default=list)
    columns = models.JSONField(default=list, help_text="The field each column holds; '' is left out.")
    rows = models.PositiveIntegerField(default=0)
    state = models.CharField(max_length=10, choices=State.choices, default=State.WAITING)
    trouble = models.CharField(max_length=300, blank=True)
    batch = models.OneToOneField(Batch, on_delete=models.PROTECT, null=True, related_name="+")
    counts = models.JSONField(default=dict)
    places_made = models.JSONField(default=list, help_text="The numbers of the places it made.")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-at"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(state="done") | Q(batch__isnull=False), name="import_done_has_its_moves"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        step = {State.WAITING: "columns"}.get(self.state, "progress")
        return reverse(f"inventory:importing_{step}", args=[self.pk])

    @property
    def undone(self) -> bool:
        return self.batch is not None and self.batch.undone


class HeadingMemory(models.Model):
    """What the columns under these headings held the last time; offered first the next time."""

    key = models.CharField(max_length=32, unique=True)
    columns = models.JSONField()
    at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return ", ".join(self.columns)


class ImportedRow(models.Model):
    """A row that is in. Its fingerprint says which part in which place, so that the same list adds nothing twice."""

    source = models.ForeignKey(Import, on_delete=models.CASCADE, related_name="imported_rows")
    fingerprint = models.CharField(max_length=32, db_index=True)
    part = models.ForeignKey(Part, on_delete=models.CASCADE, related_name="+")
    quantity = QuantityField(default=0)
    made_part = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["source", "fingerprint"], name="imported_row_once_a_list"),
        ]

    def __str__(self) -> str:
        return self.fingerprint

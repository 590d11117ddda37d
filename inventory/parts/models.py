"""What there is, where it is, and how it got there."""

import uuid
from collections.abc import Sequence

from django.conf import settings
from django.db import models
from django.db.models import F, Q, Sum
from django.urls import reverse
from django.utils import timezone

from inventory.places.models import Location

from . import hardware
from .quantity import QuantityField


class Condition(models.TextChoices):
    GOOD = "good", "Good"
    REPAIRABLE = "repairable", "Repairable"
    PATTERN = "pattern", "Pattern only"
    SCRAP = "scrap", "Scrap"


class Origin(models.TextChoices):
    BOUGHT = "bought", "Bought"
    MADE = "made", "Made"
    PULLED = "pulled", "Pulled"
    FOUND = "found", "Found"


class Unit(models.TextChoices):
    PIECES = "pieces", "pieces"
    METRES = "metres", "m"
    LITRES = "litres", "l"
    KILOGRAMS = "kilograms", "kg"


class PartSide(models.TextChoices):
    NONE = "", "Either or none"
    LEFT = "left", "Left"
    RIGHT = "right", "Right"
    FRONT = "front", "Front"
    REAR = "rear", "Rear"


class PartQuerySet(models.QuerySet):
    def bulk_create(self, objs, *args, **kwargs):
        """As ever, with the names read as fasteners."""
        objs = list(objs)
        for part in objs:
            part.read_name()
        return super().bulk_create(objs, *args, **kwargs)

    def current(self) -> "PartQuerySet":
        """Parts that were neither retired nor merged into another."""
        return self.filter(retired_at=None)

    def with_on_hand(self) -> "PartQuerySet":
        """Adds `on_hand`: how many there are in all places together (None where there are none)."""
        return self.annotate(on_hand=Sum("holdings__quantity"))

    def same_fastener(self, key: str) -> "PartQuerySet":
        """Current parts that are this fastener, however their names write it; none for ''."""
        return self.current().filter(fastener_key=key) if key else self.none()

    def low(self) -> "PartQuerySet":
        """Parts of which fewer are on hand than should be kept."""
        return (
            self.current()
            .with_on_hand()
            .filter(Q(on_hand__lt=F("keep_at_least")) | Q(on_hand=None, keep_at_least__gt=0))
        )


class Part(models.Model):
    """A kind of thing in one condition from one origin."""

    name = models.CharField(max_length=120)
    other_names = models.TextField(blank=True, help_text="One a line.")
    part_numbers = models.TextField(blank=True, help_text="One a line.")
    side = models.CharField(max_length=10, choices=PartSide.choices, blank=True, default=PartSide.NONE)
    origin = models.CharField(max_length=10, choices=Origin.choices, default=Origin.FOUND)
    condition = models.CharField(max_length=10, choices=Condition.choices, default=Condition.GOOD)
    donor = models.ForeignKey(
        Location,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="parts_from_here",
        limit_choices_to={"kind": "vehicle"},
    )
    pattern = models.ForeignKey(
        "self",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="copies",
        verbose_name="made after",
        help_text="The old part it was copied from.",
    )
    unit = models.CharField(max_length=10, choices=Unit.choices, default=Unit.PIECES)
    keep_at_least = QuantityField(default=0)
    note = models.TextField(blank=True)
    fastener = models.CharField(
        max_length=hardware.MOST,
        blank=True,
        editable=False,
        help_text="What its name says as a fastener, one way only.",
    )
    fastener_key = models.CharField(max_length=hardware.MOST, blank=True, editable=False, db_index=True)
    fastener_told = models.BooleanField(
        default=False, editable=False, help_text="A person said which fastener it is, or that it is none."
    )
    created_at = models.DateTimeField(default=timezone.now, editable=False)
    retired_at = models.DateTimeField(null=True, blank=True, editable=False)
    merged_into = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="merged_from")

    objects = PartQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(name=""), name="part_has_a_name"),
            models.CheckConstraint(condition=Q(condition__in=Condition.values), name="part_condition_known"),
            models.CheckConstraint(condition=Q(origin__in=Origin.values), name="part_origin_known"),
            models.CheckConstraint(condition=Q(unit__in=Unit.values), name="part_unit_known"),
            models.CheckConstraint(condition=Q(keep_at_least__gte=0), name="part_keep_at_least_not_negative"),
            models.CheckConstraint(
                condition=Q(merged_into=None) | Q(retired_at__isnull=False), name="part_merged_is_retired"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.side}" if self.side and self.side not in self.name.lower() else self.name

    def save(self, *args, **kwargs):
        """A name that is changed is read again; see read_name."""
        fields = kwargs.get("update_fields")
        if fields is None or "name" in fields:
            self.read_name()
            if fields is not None:
                kwargs["update_fields"] = {*fields, "fastener", "fastener_key"}
        super().save(*args, **kwargs)

    def get_absolute_url(self) -> str:
        return reverse("inventory:parts_detail", args=[self.pk])

    def read_name(self) -> None:
        """Keep which fastener the name says it is, unless a person has said so. What is inserted in bulk calls it."""
        if not self.fastener_told:
            vars(self).update(hardware.kept(hardware.read_name(self.name)))

    @property
    def whole(self) -> bool:
        """Whether it is counted in whole pieces."""
        return self.unit == Unit.PIECES

    @property
    def number_list(self) -> list[str]:
        return [line.strip() for line in self.part_numbers.splitlines() if line.strip()]

    @property
    def other_name_list(self) -> list[str]:
        return [line.strip() for line in self.other_names.splitlines() if line.strip()]


class Batch(models.Model):
    """Moves that were made together and are undone together. Its id is made by the client: a replay changes nothing."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    what = models.CharField(max_length=200, help_text="In words: Put 4 × Hinge pin into C1·L2·14")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    undoes = models.OneToOneField("self", on_delete=models.PROTECT, null=True, blank=True, related_name="undone_by")

    repeated = False  # True on what `record` answers when the same thing arrives again
    stays: Sequence[str] = ()  # of an undoing, until the page is answered: what it could not take back

    class Meta:
        verbose_name_plural = "batches"

    def __str__(self) -> str:
        return self.what

    @property
    def undone(self) -> bool:
        return hasattr(self, "undone_by")


class Reason(models.TextChoices):
    RECEIVED = "received", "Received"
    PULLED = "pulled", "Pulled"
    MADE = "made", "Made"
    MOVED = "moved", "Moved"
    FITTED = "fitted", "Fitted"
    SENT_OUT = "sent out", "Sent out"
    CAME_BACK = "came back", "Came back"
    COUNTED = "counted", "Counted"
    USED = "used", "Used up"
    SOLD = "sold", "Sold"
    SCRAPPED = "scrapped", "Scrapped"


class Move(models.Model):
    """One row of the ledger. Rows are only ever added; a mistake is put right by a row that reverses it."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, related_name="moves")
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="moves")
    quantity = QuantityField()
    source = models.ForeignKey(Location, on_delete=models.PROTECT, null=True, blank=True, related_name="moves_out")
    target = models.ForeignKey(Location, on_delete=models.PROTECT, null=True, blank=True, related_name="moves_in")
    reason = models.CharField(max_length=10, choices=Reason.choices)
    note = models.TextField(blank=True)
    cost = models.DecimalField(max_digits=12, decimal_places=2, null=True, blank=True)
    at = models.DateTimeField(default=timezone.now, db_index=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    reverses = models.OneToOneField("self", on_delete=models.PROTECT, null=True, blank=True, related_name="reversed_by")

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gt=0), name="move_quantity_positive"),
            models.CheckConstraint(condition=Q(source__isnull=False) | Q(target__isnull=False), name="move_has_an_end"),
            models.CheckConstraint(
                condition=Q(source=None) | Q(target=None) | ~Q(source=F("target")),
                name="move_goes_somewhere_else",
            ),
            models.CheckConstraint(condition=Q(reason__in=Reason.values), name="move_reason_known"),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} × {self.part_id}: {self.source_id} → {self.target_id}"


class HoldingQuerySet(models.QuerySet):
    def inside(self, location: Location) -> "HoldingQuerySet":
        """Everything held by the place or by anything in it."""
        return self.filter(location__path__within=location.path)


class Holding(models.Model):
    """How many of a part are at a place now. Written only by the ledger; a row that comes to nothing is removed."""

    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="holdings")
    location = models.ForeignKey(Location, on_delete=models.PROTECT, related_name="holdings")
    quantity = QuantityField()

    objects = HoldingQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["part", "location"], name="holding_one_a_part_and_place"),
            models.CheckConstraint(condition=Q(quantity__gte=0), name="holding_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} × {self.part_id} at {self.location_id}"

    @property
    def seen(self) -> str:
        """As a page says in its form what lay there when it was looked at."""
        return f"{self.part_id}:{self.quantity:f}"


class CountedQuerySet(models.QuerySet):
    def standing(self) -> "CountedQuerySet":
        """Counts that nobody has undone."""
        return self.filter(batch__undone_by=None)


class Counted(models.Model):
    """So many of a part were counted at a place, also where it was what the shop believed.

    A count is the last word on its moment: what is told later of an earlier moment does not change what it found.
    """

    batch = models.ForeignKey(Batch, on_delete=models.CASCADE, related_name="counted")
    part = models.ForeignKey(Part, on_delete=models.CASCADE, related_name="+")
    location = models.ForeignKey(Location, on_delete=models.CASCADE, related_name="+")
    quantity = QuantityField()
    at = models.DateTimeField(help_text="When it was counted: the batch's own time, here to be looked up by")

    objects = CountedQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["part", "location", "at"], name="counted_by_part_place_time")]
        constraints = [
            models.UniqueConstraint(fields=["batch", "part", "location"], name="counted_once_a_batch"),
            models.CheckConstraint(condition=Q(quantity__gte=0), name="counted_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} × {self.part_id} counted at {self.location_id}"

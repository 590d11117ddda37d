"""Vehicles that are taken apart for the build: what they cost, what is wanted off them, and what came off."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import F, Q, Sum
from django.urls import reverse
from django.utils import timezone

from inventory.parts.models import Batch, Part, PartSide
from inventory.parts.quantity import QuantityField
from inventory.photos.models import Photo
from inventory.places.models import Location

from .calc.vin import VinCheck, check_vin
from .calc.zones import BACK, CAB, FRONT, UNDER


class Shape(models.TextChoices):
    VAN = "van", "Van"
    PICKUP = "pickup", "Pickup"
    SALOON = "saloon", "Saloon"
    ESTATE = "estate", "Estate"


class Zone(models.TextChoices):
    """Where on the vehicle, seen from the left side with the front to the left."""

    FRONT = FRONT, "Front"
    CAB = CAB, "Cab"
    BACK = BACK, "Back"
    UNDER = UNDER, "Underneath"


def money_field(label: str = "", **more) -> models.DecimalField:
    return models.DecimalField(label or None, max_digits=12, decimal_places=2, **more)


def by_whom() -> models.ForeignKey:
    return models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")


class DonorQuerySet(models.QuerySet):
    def with_place(self) -> "DonorQuerySet":
        return self.select_related("location__parent", "cautions_by")


class Donor(models.Model):
    """What is known of a vehicle as a donor. Its name, its address and where it stands are its location's."""

    location = models.OneToOneField(Location, on_delete=models.PROTECT, related_name="donor")
    number = models.CharField("identification number", max_length=40, blank=True)
    shape = models.CharField(max_length=10, choices=Shape.choices, default=Shape.VAN)
    price = money_field(null=True, blank=True)
    bought_on = models.DateField("bought on", null=True, blank=True)
    seller = models.CharField("bought from", max_length=120, blank=True)
    paperwork = models.TextField(blank=True)
    note = models.TextField(blank=True)
    weight = models.DecimalField(
        "weight of what goes to scrap, kg", max_digits=8, decimal_places=1, null=True, blank=True
    )
    scrap_rate = money_field("scrap price for 1000 kg", null=True, blank=True)
    cautions_by = by_whom()
    cautions_at = models.DateTimeField(null=True, blank=True, editable=False)
    added_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = DonorQuerySet.as_manager()

    class Meta:
        ordering = ["location__address_key", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(shape__in=Shape.values), name="donor_shape_known"),
            models.CheckConstraint(condition=Q(price=None) | Q(price__gte=0), name="donor_price_not_negative"),
            models.CheckConstraint(
                condition=(Q(weight=None) | Q(weight__gte=0)) & (Q(scrap_rate=None) | Q(scrap_rate__gte=0)),
                name="donor_scrap_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(cautions_at=None) | Q(cautions_by__isnull=False), name="donor_cautions_by_somebody"
            ),
        ]

    def __str__(self) -> str:
        return self.location.title

    def get_absolute_url(self) -> str:
        return reverse("inventory:donors_detail", args=[self.pk])

    @property
    def check_number(self) -> VinCheck | None:
        return check_vin(self.number) if self.number else None


class Cost(models.Model):
    """What was paid for a donor besides its price: the trailer, storage, papers."""

    donor = models.ForeignKey(Donor, on_delete=models.CASCADE, related_name="costs")
    what = models.CharField(max_length=120)
    amount = money_field()
    on = models.DateField(default=timezone.localdate)
    by = by_whom()
    removed_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        ordering = ["on", "pk"]
        verbose_name = "donor cost"
        constraints = [models.CheckConstraint(condition=Q(amount__gt=0), name="donor_cost_positive")]

    def __str__(self) -> str:
        return self.what


class Paper(models.Model):
    """A paper or receipt of a donor: a picture of it, or a PDF file under the paper's own number."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    donor = models.ForeignKey(Donor, on_delete=models.CASCADE, related_name="papers")
    what = models.CharField(max_length=120)
    photo = models.OneToOneField(Photo, on_delete=models.CASCADE, null=True, blank=True, related_name="+")
    size = models.PositiveIntegerField(null=True, blank=True, help_text="Bytes of the PDF.")
    sha256 = models.CharField(max_length=64, blank=True)
    at = models.DateTimeField(default=timezone.now)
    by = by_whom()
    removed_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        ordering = ["at", "pk"]
        verbose_name = "donor paper"
        constraints = [
            models.CheckConstraint(
                condition=Q(photo=None, size__isnull=False) | Q(photo__isnull=False, size=None),
                name="donor_paper_picture_or_pdf",
            )
        ]

    def __str__(self) -> str:
        return self.what

    def get_absolute_url(self) -> str:
        return self.photo.get_absolute_url() if self.photo else reverse("inventory:donors_paper_file", args=[self.pk])


class Face(models.TextChoices):
    LEFT = "left", "Left"
    RIGHT = "right", "Right"
    FRONT = "front", "Front"
    REAR = "rear", "Rear"
    INSIDE = "inside", "Inside"
    BELOW = "below", "Below"


class DonorPhoto(models.Model):
    """Which side of the donor a photo shows."""

    donor = models.ForeignKey(Donor, on_delete=models.CASCADE, related_name="pictures")
    photo = models.OneToOneField(Photo, on_delete=models.CASCADE, related_name="+")
    face = models.CharField(max_length=10, choices=Face.choices)

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(face__in=Face.values), name="donor_photo_face_known")]

    def __str__(self) -> str:
        return self.get_face_display()


class WantQuerySet(models.QuerySet):
    def with_pulled(self) -> "WantQuerySet":
        """Adds `pulled`: how many came off for it and were not put back by an Undo (None for none)."""
        return self.annotate(pulled=Sum("pulls__quantity", filter=Q(pulls__batch__undone_by=None)))

    def listed(self) -> "WantQuerySet":
        return self.filter(removed_at=None)

    def still_on(self) -> "WantQuerySet":
        """Wanted, and not all of it pulled nor found missing."""
        still = Q(pulled=None) | Q(pulled__lt=F("quantity"))
        return self.listed().filter(missing_at=None).with_pulled().filter(still)


class Want(models.Model):
    """Something that is wanted off a donor. It is ticked by pulling it."""

    donor = models.ForeignKey(Donor, on_delete=models.CASCADE, related_name="wants")
    what = models.CharField(max_length=120)
    side = models.CharField(max_length=10, choices=PartSide.choices, blank=True, default=PartSide.NONE)
    quantity = QuantityField(default=1)
    zone = models.CharField(max_length=10, choices=Zone.choices, blank=True)
    why = models.CharField("for", max_length=160, blank=True)
    part = models.ForeignKey(Part, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    by = by_whom()
    missing_at = models.DateTimeField("not on it", null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = WantQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(what=""), name="want_says_what"),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="want_quantity_positive"),
            models.CheckConstraint(condition=Q(zone__in=["", *Zone.values]), name="want_zone_known"),
        ]

    def __str__(self) -> str:
        return f"{self.what}, {self.side}" if self.side and self.side not in self.what.lower() else self.what

    @property
    def left(self):
        """How many are still to come off; needs with_pulled()."""
        return self.quantity - (self.pulled or 0)


class PullQuerySet(models.QuerySet):
    def standing(self) -> "PullQuerySet":
        """Pulls that were not undone."""
        return self.filter(batch__undone_by=None)


class Pull(models.Model):
    """A part taken off a donor. The moves are its batch's; here is what the ledger has no room for."""

    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, related_name="pulls")
    donor = models.ForeignKey(Donor, on_delete=models.PROTECT, related_name="pulls")
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="pulls")
    quantity = QuantityField()
    zone = models.CharField("where on it", max_length=10, choices=Zone.choices, blank=True)
    want = models.ForeignKey(Want, on_delete=models.SET_NULL, null=True, blank=True, related_name="pulls")
    bag = models.OneToOneField(Location, on_delete=models.PROTECT, null=True, blank=True, related_name="pull")
    back = models.TextField("for putting it back", blank=True, help_text="Order, shims, torque, which way round.")
    at = models.DateTimeField(default=timezone.now)
    by = by_whom()
    said = models.CharField(
        max_length=64, blank=True, editable=False, help_text="Marks of what was sent: they tell a repeat from another."
    )

    objects = PullQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["batch", "part"], name="pull_one_a_part_and_batch"),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="pull_quantity_positive"),
            models.CheckConstraint(condition=Q(zone__in=["", *Zone.values]), name="pull_zone_known"),
        ]

    def __str__(self) -> str:
        return str(self.part)

    def get_absolute_url(self) -> str:
        return reverse("inventory:donors_pull_detail", args=[self.pk])

    @property
    def now(self) -> int:
        """The number of the part by now: another one where its part was merged, and that one perhaps again."""
        part = self.part
        while part.merged_into_id:
            part = part.merged_into
        return part.pk


class When(models.TextChoices):
    BEFORE = "before", "Before"
    AFTER = "after", "After"


class PullPhoto(models.Model):
    """A photo of a pull: how it sat, or what it looks like off the vehicle."""

    pull = models.ForeignKey(Pull, on_delete=models.CASCADE, related_name="pictures")
    photo = models.OneToOneField(Photo, on_delete=models.CASCADE, related_name="+")
    when = models.CharField(max_length=10, choices=When.choices)

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(when__in=When.values), name="pull_photo_when_known")]

    def __str__(self) -> str:
        return self.get_when_display()

"""Photos: two WebP files each, of a part, of a place, or free for something above to link to."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from inventory.parts.models import Part
from inventory.places.models import Location

from . import files


class PhotoQuerySet(models.QuerySet):
    def kept(self) -> "PhotoQuerySet":
        """Photos that were not deleted."""
        return self.filter(deleted_at=None)

    def in_order(self) -> "PhotoQuerySet":
        """As they are shown: the first is the cover."""
        return self.order_by("order", "at", "pk")


class Photo(models.Model):
    id = models.UUIDField(
        primary_key=True, default=uuid.uuid4, editable=False
    )  # made by the client; also the file's name
    part = models.ForeignKey(Part, on_delete=models.PROTECT, null=True, blank=True, related_name="photos")
    location = models.ForeignKey(Location, on_delete=models.PROTECT, null=True, blank=True, related_name="photos")
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    sha256 = models.CharField(max_length=64, db_index=True, help_text="of the file as it was sent")
    taken_at = models.DateTimeField(null=True, blank=True)
    caption = models.CharField(max_length=300, blank=True)
    public = models.BooleanField("may be shown in public", default=True)
    order = models.IntegerField(default=0)
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    deleted_at = models.DateTimeField(null=True, blank=True)

    objects = PhotoQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(part=None) | Q(location=None), name="photo_of_one_thing"),
            models.CheckConstraint(condition=Q(width__gt=0, height__gt=0), name="photo_has_a_size"),
        ]

    def __str__(self) -> str:
        return self.caption or f"Photo of {timezone.localtime(self.taken_at or self.at):%-d %b %Y}"

    def get_absolute_url(self) -> str:
        return reverse("inventory:photos_detail", args=[self.pk])

    @property
    def page_url(self) -> str:
        return self.get_absolute_url()

    @property
    def large_url(self) -> str:
        return reverse("inventory:photos_file", args=[self.pk, "large"])

    @property
    def small_url(self) -> str:
        return reverse("inventory:photos_file", args=[self.pk, "small"])

    @property
    def whole_url(self) -> str:
        return reverse("inventory:photos_file", args=[self.pk, files.WHOLE])

    @property
    def whole_size(self) -> int:
        """Bytes of the original; 0 where none followed."""
        try:
            return files.path_of(self.pk, files.WHOLE).stat().st_size
        except OSError:
            return 0

    @property
    def alt(self) -> str:
        return self.caption or "Photo"

"""What phones had kept and sent: each operation once, with the answer it got."""

import uuid

from django.conf import settings
from django.db import models
from django.utils import timezone


class Op(models.Model):
    """A form that a phone kept and sent. Its row and what it did are written in one transaction."""

    uid = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)  # made by the phone
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    digest = models.CharField(max_length=64, help_text="sha256 of what was sent")
    says = models.TextField(blank=True, help_text="What the shop answered")
    undo = models.CharField(max_length=300, blank=True)
    leads_to = models.CharField(max_length=300, blank=True)
    made_at = models.DateTimeField(help_text="When it was done, by the phone's account")
    received_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-received_at"]

    def __str__(self) -> str:
        return self.says or str(self.uid)

"""A cabinet that was filled from a list: what that wrote besides its moves, so that one Undo takes all of it back."""

from django.db import models

from inventory.parts.models import Batch
from inventory.places.models import LocationChange


class Filling(models.Model):
    batch = models.OneToOneField(Batch, on_delete=models.CASCADE, related_name="+")
    change = models.ForeignKey(LocationChange, on_delete=models.SET_NULL, null=True, related_name="+")
    new = models.JSONField(default=list, help_text="Parts that came into the list with it.")

    def __str__(self) -> str:
        return str(self.batch)

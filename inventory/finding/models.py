"""What is searched: one plain row for each thing that can be found, and what keeps those rows right."""

from django.core.exceptions import ValidationError
from django.db import models

from .calc.alike import read


class FindDocument(models.Model):
    """A thing that can be found, its words already folded (calc/rank.py says how). Written only by refresh()."""

    kind = models.CharField(max_length=10)
    ref = models.BigIntegerField(help_text="The row it stands for.")
    code = models.TextField(default=" ", db_index=True)
    name = models.TextField(default=" ", db_index=True)
    numbers = models.TextField(default=" ")
    others = models.TextField(default=" ")
    notes = models.TextField(default=" ")
    place = models.TextField(default=" ")
    donor = models.TextField(default=" ")
    way = models.TextField(blank=True, help_text="A place's way down, as it is shown: Container 1 ▸ Left rack")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["kind", "ref"], name="find_one_document_a_thing")]

    def __str__(self) -> str:
        return f"{self.kind} {self.ref}"


class StaleDocument(models.Model):
    """A thing that changed since its document was written. Database triggers add rows; refresh() takes them away."""

    kind = models.CharField(max_length=10)
    ref = models.BigIntegerField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["kind", "ref"], name="find_stale_once")]

    def __str__(self) -> str:
        return f"{self.kind} {self.ref}"


class KnownWord(models.Model):
    """A word that stands in some document: what a typing slip is looked up in. Only a rebuild takes words away."""

    word = models.CharField(max_length=60, primary_key=True)

    def __str__(self) -> str:
        return self.word


class SameWords(models.Model):
    """Words this shop uses for one and the same thing, parted by commas."""

    words = models.CharField(max_length=300, help_text="Parted by commas: sliding door, side door, slider")

    class Meta:
        ordering = ["words", "pk"]

    def __str__(self) -> str:
        return self.words

    def clean(self) -> None:
        if len(read(self.words)) < 2:
            raise ValidationError({"words": "Write at least two words for the same thing, with a comma between them."})

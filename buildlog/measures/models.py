"""How well this shop's instruments measure, where that is not what such an instrument usually does."""

from django.db import models
from django.db.models import Q


class How(models.TextChoices):
    """What a size was taken with. `calc/instruments.py` knows how far off each usually is."""

    EYE = "eye", "By eye"
    TAPE = "tape", "Tape"
    RULE = "rule", "Rule"
    CALIPER = "caliper", "Caliper"
    MICROMETER = "micrometer", "Micrometer"


class Usual(models.Model):
    """The plus-or-minus of one instrument, as typed, for sizes in each system; empty: the common one."""

    how = models.CharField(max_length=12, choices=How.choices, unique=True)
    mm = models.CharField(max_length=20, blank=True)
    inch = models.CharField(max_length=20, blank=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(how__in=How.values), name="usual_of_a_known_instrument")]

    def __str__(self) -> str:
        return f"{self.get_how_display()}: {self.mm or 'as common'}, {self.inch or 'as common'}"

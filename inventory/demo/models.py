"""Which rows came with the demo shop, so that it can be taken away again without touching what is the shop's own."""

from django.db import models


class DemoThing(models.Model):
    label = models.CharField(max_length=60, help_text="app_label.model of the row")
    number = models.BigIntegerField(help_text="its primary key")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["label", "number"], name="demo_thing_once")]

    def __str__(self) -> str:
        return f"{self.label} {self.number}"

    @classmethod
    def mark(cls, *rows: models.Model) -> None:
        """Remember these rows as part of the demo."""
        cls.objects.bulk_create(
            [cls(label=row._meta.label_lower, number=row.pk) for row in rows], ignore_conflicts=True, batch_size=500
        )

    @classmethod
    def numbers(cls, model: type[models.Model]) -> list[int]:
        return list(cls.objects.filter(label=model._meta.label_lower).values_list("number", flat=True))

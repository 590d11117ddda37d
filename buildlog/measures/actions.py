"""What the owner says of the shop's instruments."""

from collections.abc import Mapping

from django.db import transaction

from .models import Usual


@transaction.atomic
def set_usual(*, typed: Mapping[str, tuple[str, str]]) -> None:
    """`typed`: (in mm, in inches) by instrument; empty for the common one. Lines made before keep what they had."""
    for how, (mm, inch) in typed.items():
        Usual.objects.update_or_create(how=how, defaults={"mm": mm, "inch": inch})

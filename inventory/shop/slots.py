"""Where the front door leads while there is nothing behind it."""

from django.urls import reverse

from inventory.places.models import Location


def to_first_steps(request) -> str | None:
    return None if Location.objects.exists() else reverse("inventory:first_steps")

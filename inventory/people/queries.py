"""What the pages about people show."""

from django.db.models import Count, Max, QuerySet

from .models import Person


def everybody() -> QuerySet[Person]:
    """All people, those who can come in first, with how many devices they have and when one was last seen."""
    counted = Person.objects.annotate(device_count=Count("devices"), last_seen=Max("devices__seen_at"))
    return counted.order_by("-is_active", "name")

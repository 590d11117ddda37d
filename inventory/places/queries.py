"""Reads over the tree of places that more than one page needs."""

from collections.abc import Sequence

from django.db.models import Q

from inventory.web.picker import Choice

from .calc.address import address_key
from .models import Location


def as_choice(place: Location, *, exact: bool = False) -> Choice:
    return Choice(str(place.pk), place.title, place.get_kind_display(), place.address, exact)


def pick_places(text: str, limit: int = 8) -> list[Choice]:
    """Places that may be meant by what was typed: the address first, then addresses that begin so, then names."""
    key = address_key(text)
    found = list(
        Location.objects.current()
        .filter(Q(address_key=key) | Q(address_key__startswith=key) | Q(name__icontains=text))
        .order_by("address_key")[:200]
    )

    def rank(place: Location):
        is_it = place.address_key == key and bool(place.short)
        return (
            not is_it,
            place.name.casefold() != text.casefold(),
            not place.address_key.startswith(key),
            place.address_key,
        )

    found.sort(key=rank)
    return [
        as_choice(
            place,
            exact=(place.address_key == key and bool(place.short)) or place.name.casefold() == text.casefold(),
        )
        for place in found[:limit]
    ]


def get_place(value: str) -> Location | None:
    """The place a choice stands for."""
    return Location.objects.current().filter(pk=value).first() if value.isdecimal() else None


def choices_for(places: Sequence[Location]) -> list[Choice]:
    return [as_choice(place) for place in places]

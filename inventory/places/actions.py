"""Changes to the tree of places."""

from django.db import transaction

from .calc.address import address_key, join_address
from .models import Kind, Location


def place_address(parent: Location | None, kind: str, short: str) -> str:
    """The address a place of this kind gets under this parent; a shelf's piece is glued to its rack's."""
    glued = kind == Kind.SHELF and parent is not None and parent.kind == Kind.RACK
    return join_address(parent.address if parent else "", short, glued=glued)


@transaction.atomic
def add_place(*, kind: str, name: str = "", short: str = "", parent: Location | None = None, **fields) -> Location:
    """One new place in the tree, with its address and path.

    Raises ValidationError when another place in use has the address.
    """
    short = short.strip().upper()
    place = Location(parent=parent, kind=kind, name=name.strip(), short=short, **fields)
    place.address = place_address(parent, kind, short)
    place.address_key = address_key(place.address)
    place.path = "/"
    place.full_clean(exclude=["path"])
    place.save()
    place.path = f"{parent.path if parent else '/'}{place.pk}/"
    place.save(update_fields=["path"])
    return place

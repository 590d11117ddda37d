"""Changes to what is known of a donor: itself, its costs and papers, its photos, and what is wanted off it."""

import hashlib
import uuid
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from inventory.people.models import Person
from inventory.photos import actions as photos
from inventory.photos.files import write
from inventory.photos.models import Photo
from inventory.places.actions import add_place, move_place, rename
from inventory.places.models import Kind, Location

from .calc.zones import zone_of
from .models import Donor, DonorPhoto, Paper, Want

MOST_PDF = 20 * 1024 * 1024


class NotAPaper(Exception):
    """The file can't be kept as a paper; the text says why and what to do."""


@transaction.atomic
def add_donor(
    *, by: Person | None, location: Location | None = None, name: str = "", short: str = "",
    parent: Location | None = None, **fields: Any,
) -> Donor:  # fmt: skip
    """A vehicle becomes a donor; one that is not in the tree of places yet comes into it first.

    Raises ValidationError when its address is taken.
    """
    if location is None:
        location = add_place(kind=Kind.VEHICLE, name=name, short=short, parent=parent, by=by)
    return Donor.objects.create(location=location, **fields)


@transaction.atomic
def change_donor(*, donor: Donor, by: Person | None, name: str, short: str, parent: Location | None) -> None:
    """Keep what was changed on the donor, and what its place is called and where it stands."""
    place = donor.location
    donor.save()
    if (name, short.upper()) != (place.name, place.short):
        rename(place=place, by=by, name=name, short=short)
    if (parent.pk if parent else None) != place.parent_id:
        move_place(place=place, to=parent, by=by)


def acknowledge(*, donor: Donor, by: Person) -> None:
    """This person has read the cautions for stripping this donor. The first one's name stays."""
    Donor.objects.filter(pk=donor.pk, cautions_at=None).update(cautions_by=by, cautions_at=timezone.now())


@transaction.atomic
def want(*, donor: Donor, things: Sequence[dict[str, Any]], by: Person | None) -> list[Want]:
    """Put things on the list of what is wanted; those that are on it already are left out. Each has what, and may
    have side, quantity, zone, why and part."""
    known = {(one.what.casefold(), one.side) for one in donor.wants.still_on()}
    fresh: dict[tuple[str, str], Want] = {}
    for thing in things:
        key = (thing["what"].casefold(), thing.get("side", ""))
        if key not in known:
            fresh.setdefault(key, Want(donor=donor, by=by, **{"zone": zone_of(thing["what"]), **thing}))
    return Want.objects.bulk_create(list(fresh.values()))


def say_of_want(*, want: Want, missing: bool = False, removed: bool = False) -> None:
    """It turned out not to be on the donor, or is wanted no more, or (neither) is wanted again."""
    now = timezone.now()
    want.missing_at = now if missing else None
    want.removed_at = now if removed else None
    want.save(update_fields=["missing_at", "removed_at"])


def add_photo(*, donor: Donor, data: bytes, name: str, face: str, uid: uuid.UUID, by: Person | None) -> Photo:
    """A photo of one side of the donor. Raises NotAPicture."""
    label = DonorPhoto(face=face).get_face_display()
    photo = photos.add(
        data=data, name=name, uid=uid, by=by, location=donor.location, caption=f"{donor}, {label.lower()}"
    )
    DonorPhoto.objects.get_or_create(photo=photo, defaults={"donor": donor, "face": face})
    return photo


def paper_path(number: uuid.UUID) -> Path:
    """The file of a PDF. Its name is made of nothing but the number, whatever the sender called it."""
    name = uuid.UUID(str(number)).hex
    return Path(settings.MEDIA_ROOT) / "papers" / name[:2] / f"{name}.pdf"


def add_paper(*, donor: Donor, data: bytes, name: str, what: str, uid: uuid.UUID, by: Person | None) -> Paper:
    """Keep a receipt or another paper: a picture or a PDF. A second arrival of the same uid answers with the first.

    Raises NotAPicture or NotAPaper.
    """
    if earlier := Paper.objects.filter(pk=uid).first():
        return earlier
    what = what or Path(name).stem[:120] or "Paper"
    if b"%PDF-" not in data[:8]:
        photo = photos.add(data=data, name=name, uid=uid, by=by, caption=f"{donor}: {what}")
        Photo.objects.filter(pk=photo.pk).update(public=False)
        return Paper.objects.create(pk=uid, donor=donor, what=what, photo=photo, by=by)
    if len(data) > MOST_PDF:
        raise NotAPaper(f"The PDF is larger than {MOST_PDF // 1024**2} MB. Send it in parts, or a smaller scan.")
    if b"%%EOF" not in data[-2048:]:
        raise NotAPaper("The PDF is cut short. Send it again.")
    write(paper_path(uid), data)  # on the disk before the row says so
    digest = hashlib.sha256(data).hexdigest()
    return Paper.objects.create(pk=uid, donor=donor, what=what, size=len(data), sha256=digest, by=by)


def remove(*, row: Any, removed: bool = True) -> None:
    """Take a cost or a paper off, or bring it back."""
    row.removed_at = timezone.now() if removed else None
    row.save(update_fields=["removed_at"])

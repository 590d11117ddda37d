"""Photos come, change place, go, and come back."""

import hashlib
import uuid
from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import F, Max, QuerySet
from django.db.models.functions import Coalesce
from django.utils import timezone

from inventory.parts.models import Part
from inventory.people.models import Person
from inventory.places.models import Location

from . import files
from .imaging import Prepared, read_picture, read_whole
from .models import Photo


def add(
    *,
    data: bytes,
    by: Person | None,
    part: Part | None = None,
    location: Location | None = None,
    uid: uuid.UUID | None = None,
    name: str = "",
    caption: str = "",
    taken_at: datetime | None = None,
) -> Photo:
    """Keep a photo. The files are safe on the disk before the row says so; the picture work is outside any transaction.

    `data` is the file as sent. A second arrival of the same uid answers with the first; with another picture, from a
    form gone back to, it is kept beside the first. Raises NotAPicture.
    """
    uid = uid or uuid.uuid4()
    digest = data.decode() if isinstance(data, Prepared) else hashlib.sha256(data).hexdigest()
    earlier = Photo.objects.filter(pk=uid).first()
    if earlier and (earlier.sha256, earlier.part, earlier.location) != (digest, part, location):
        uid = uuid.uuid5(uid, f"{digest} {part and part.pk} {location and location.pk}")
        earlier = Photo.objects.filter(pk=uid).first()
    if earlier:
        return earlier
    picture = read_picture(data, declared=name)
    files.write(files.path_of(uid, "large"), picture.large)
    files.write(files.path_of(uid, "small"), picture.small)
    if picture.taken_at:
        taken_at = timezone.make_aware(picture.taken_at)
    now = timezone.now()
    with transaction.atomic():
        last = Photo.objects.filter(part=part, location=location).aggregate(last=Max("order"))["last"]
        photo, _ = Photo.objects.get_or_create(
            pk=uid,
            defaults={
                "part": part,
                "location": location,
                "width": picture.width,
                "height": picture.height,
                "sha256": digest,
                "taken_at": min(taken_at, now) if taken_at else None,
                "caption": caption.strip()[:300],
                "order": (last or 0) + 1 if part or location else 0,
                "by": by,
            },
        )
    return photo


def wanted(digests: Sequence[str], by: Person) -> tuple[list[str], list[str]]:
    """Of files this person sent, by their sha256: those whose original may follow, and those that are not here yet.

    Any other has its original, or was deleted.
    """
    photos: dict[str, list[Photo]] = defaultdict(list)
    for photo in Photo.objects.filter(sha256__in=digests, by=by):
        photos[photo.sha256].append(photo)
    lack = [digest for digest in digests if any(not p.deleted_at and not p.whole_size for p in photos[digest])]
    return lack, [digest for digest in digests if not photos[digest]]


def add_original(*, digest: str, data: bytes, by: Person, name: str = "") -> int:
    """The original of a photo that was sent smaller, as `digest`, comes beside it; all else of it stays as it is.

    Answers with how many photos it is the original of. A repeat changes nothing. Raises NotAPicture.
    """
    photos = [photo for photo in Photo.objects.kept().filter(sha256=digest, by=by) if not photo.whole_size]
    whole = read_whole(data, declared=name) if photos else b""
    for photo in photos if whole else ():
        files.write(files.path_of(photo.pk, files.WHOLE), whole)
    return len(photos)


def siblings(photo: Photo):
    """The photos of the same thing, as they are shown."""
    if photo.part_id is None and photo.location_id is None:
        return Photo.objects.none()
    return Photo.objects.kept().filter(part=photo.part_id, location=photo.location_id).in_order()


@transaction.atomic
def shift(*, photo: Photo, to_front: bool = False, by: int = 0) -> None:
    """Move a photo along the row of its thing's photos: to the front (it becomes the cover), or by so many places."""
    row = [other for other in siblings(photo) if other.pk != photo.pk]
    here = [other.pk for other in siblings(photo)].index(photo.pk)
    row.insert(0 if to_front else min(len(row), max(0, here + by)), photo)
    for number, other in enumerate(row):
        other.order = number
    Photo.objects.bulk_update(row, ["order"])


def merged(keep: Part, drop: Part) -> None:
    """Two parts turned out to be one: its photos are those of both, the ones it had first."""
    last = Photo.objects.filter(part=keep).aggregate(last=Max("order"))["last"] or 0
    Photo.objects.filter(part=drop).update(part=keep, order=F("order") + last + 1)


def delete(*, photo: Photo) -> None:
    """Take a photo away. Its files stay until the sweep, so that it can come back."""
    Photo.objects.filter(pk=photo.pk).update(deleted_at=timezone.now())


def bring_back(*, photo: Photo) -> None:
    Photo.objects.filter(pk=photo.pk).update(deleted_at=None)


@transaction.atomic
def let_go(*, things: QuerySet) -> None:
    """Take away the photos of parts or places that are about to leave the shop for good.

    They are deleted as by hand: the sweep removes their files when their time is over.
    """
    field = "part" if things.model is Part else "location"
    photos = Photo.objects.filter(**{f"{field}__in": things})
    photos.update(deleted_at=Coalesce("deleted_at", timezone.now()), part=None, location=None)

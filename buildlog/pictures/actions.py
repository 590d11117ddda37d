"""Photos that come with a form: kept before the line is, so that what a line points at is on the disk."""

import uuid

from inventory.people.models import Person
from inventory.photos import actions
from inventory.photos.imaging import NotAPicture
from inventory.photos.models import Photo


def keep(form, uid: uuid.UUID, by: Person, field: str = "photos") -> list[Photo]:
    """The form's photos, the same again when it is sent again. One that is no picture is said at the field."""
    kept = []
    for number, file in enumerate(form.cleaned_data.get(field) or []):
        try:
            kept.append(actions.add(data=file.read(), name=file.name, uid=_number(uid, number), by=by))
        except NotAPicture as error:
            form.add_error(field, str(error))
    return kept


def came_before(uid: uuid.UUID) -> bool:
    """Whether photos of this form were kept already."""
    return Photo.objects.filter(pk=_number(uid, 0)).exists()


def _number(uid: uuid.UUID, place: int) -> uuid.UUID:
    return uuid.uuid5(uid, f"photo {place}")

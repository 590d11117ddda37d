"""The original of a photo that a phone had sent smaller follows later, and all else of the photo stays as it is."""

import hashlib
import io
import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from inventory.photos import actions, files, sweep
from inventory.photos.models import Photo
from tests.factories import make_part

from .hostile import image, noisy

pytestmark = pytest.mark.django_db
DIGEST = hashlib.sha256(image()).hexdigest()


@pytest.fixture
def photo(hand):
    part = make_part()
    actions.add(data=image(colour=1), by=hand, part=part)
    photo = actions.add(data=image(), by=hand, part=part, caption="The hatch, closed")
    actions.shift(photo=photo, to_front=True)
    return Photo.objects.get(pk=photo.pk)


def original(client, data: bytes, digest=DIGEST):
    return client.post(f"/sync/originals/{digest}/", {"photo": SimpleUploadedFile("hatch.jpg", data)})


def asked(client, *digests) -> tuple[list, list]:
    said = client.post("/sync/originals/", {"digests": ",".join(digests)}).json()
    return said["wanted"], said["unknown"]


def test_an_original_is_kept_beside_the_photo_upright_and_without_where_it_was_taken(as_hand, photo):
    before = vars(Photo.objects.get(pk=photo.pk)) | {"_state": None}
    large = files.path_of(photo.pk, "large").read_bytes()
    exif = Image.Exif()
    exif[0x0112] = 6  # turn 90 degrees clockwise to view (CIPA DC-008, Exif 2.32, 4.6.4 A)
    exif.get_ifd(0x8825)[1] = "N"  # GPSLatitudeRef (4.6.6)
    assert original(as_hand, noisy(size=(2400, 1800), exif=exif)).json()["kept"] == DIGEST
    assert vars(Photo.objects.get(pk=photo.pk)) | {"_state": None} == before  # caption, order, cover
    assert files.path_of(photo.pk, "large").read_bytes() == large
    answer = as_hand.get(photo.whole_url)
    whole = Image.open(io.BytesIO(b"".join(answer)))
    assert (whole.size, whole.format, dict(whole.getexif())) == ((1800, 2400), "WEBP", {})
    assert "Original, " in as_hand.get(photo.get_absolute_url()).text


def test_which_originals_are_wanted_is_asked_first(as_hand, photo):
    unknown = hashlib.sha256(b"not sent yet").hexdigest()
    assert asked(as_hand, DIGEST, unknown, "no digest") == ([DIGEST], [unknown])
    original(as_hand, noisy(size=(1700, 1200)))
    assert asked(as_hand, DIGEST, unknown) == ([], [unknown])


def test_the_original_of_a_deleted_photo_is_not_wanted(as_hand, photo):
    actions.delete(photo=photo)
    assert asked(as_hand, DIGEST) == ([], [])


def test_nobody_puts_an_original_to_a_photo_of_somebody_else(as_owner, photo):
    assert asked(as_owner, DIGEST) == ([], [DIGEST])
    original(as_owner, noisy(size=(2400, 1800)))
    assert not photo.whole_size


def test_an_original_that_comes_twice_is_kept_once_and_one_no_larger_not_at_all(as_hand, photo):
    original(as_hand, image())
    assert not photo.whole_size
    original(as_hand, noisy(size=(2400, 1800)))
    first = files.path_of(photo.pk, "whole").stat().st_mtime_ns
    original(as_hand, noisy(size=(2400, 1800)))
    assert files.path_of(photo.pk, "whole").stat().st_mtime_ns == first


def test_what_is_no_picture_is_refused_in_words(as_hand, photo):
    answer = original(as_hand, b"not a picture")
    assert answer.status_code == 422
    assert "not a picture the shop can read" in answer.json()["refused"][0]["text"]


def test_an_original_goes_with_its_photo_and_is_no_stray_file_before(as_hand, photo):
    original(as_hand, noisy(size=(2400, 1800)))
    path = files.path_of(photo.pk, "whole")
    assert path not in sweep.state().stray
    files.remove(photo.pk)
    assert not path.exists()


def test_a_file_of_no_photo_is_not_there(as_hand, photo):
    assert as_hand.get(f"/photos/{uuid.uuid4()}/whole.webp").status_code == 404
    assert as_hand.get(photo.whole_url).status_code == 404

"""Each of the hostile files gets the answer it must get, and nothing of it is left but a clean picture."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from inventory.photos import files
from inventory.photos.models import Photo
from tests.factories import make_part

from .hostile import cases

CASES = list(cases())


def test_the_table_is_long_enough():
    assert len(CASES) >= 60


@pytest.mark.django_db
@pytest.mark.parametrize(("name", "data", "answer"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_a_sent_file_is_kept_clean_or_refused_with_its_reason(as_hand, name, data, answer):
    part = make_part()
    sent = SimpleUploadedFile("placeholder", data, content_type="image/jpeg")
    sent.name = name
    response = as_hand.post(f"/photos/of/part/{part.pk}/", {"photos": [sent]}, headers={"Accept": "application/json"})
    if answer != "kept":
        assert response.status_code == 422
        assert answer in " ".join(response.json()["errors"])
        assert not Photo.objects.exists()
        return
    assert (response.status_code, response.json()) == (201, {"errors": []})
    photo = Photo.objects.get()
    for size in files.SIZES:
        path = files.path_of(photo.pk, size)
        kept = path.read_bytes()
        assert path.parent.parent == files.root()
        assert b"script" not in kept.lower()
        assert b"<html" not in kept
        assert b"SECRET-CAMERA" not in kept
        with Image.open(path, formats=["WEBP"]) as picture:
            assert not picture.getexif()
            assert picture.getexif().get_ifd(0x8825) == {}
            assert max(picture.size) <= 1600


def test_a_body_of_120_mb_is_refused_before_it_is_read(as_hand):
    class Unreadable:
        def read(self, *args):
            raise AssertionError("the body was read")

        readline = read

    response = as_hand.generic(
        "POST", "/photos/of/part/1/", b"", **{"CONTENT_LENGTH": str(120 * 1024**2), "wsgi.input": Unreadable()}
    )
    assert response.status_code == 413
    assert "at most 64 MB" in response.text


@pytest.mark.django_db
def test_a_file_of_26_mb_is_refused_by_its_size(as_hand):
    sent = SimpleUploadedFile("a.jpg", b"\xff\xd8\xff" + b"\x00" * (26 * 1024**2))
    response = as_hand.post(f"/photos/of/part/{make_part().pk}/", {"photos": [sent]})
    assert response.status_code == 422
    assert "larger than 25 MB" in response.text

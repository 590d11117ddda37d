import hashlib
import io
import os
import uuid
from datetime import timedelta

import pytest
from bs4 import BeautifulSoup
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.utils import timezone
from PIL import Image

from inventory.parts.actions import merge
from inventory.photos import actions, files, sweep
from inventory.photos.imaging import read_picture
from inventory.photos.models import Photo
from tests.factories import make_part, make_place

from .hostile import image, noisy

pytestmark = pytest.mark.django_db


def add(**thing) -> Photo:
    return actions.add(data=image(), by=None, **thing)


def test_a_picture_taken_sideways_is_kept_upright():
    """EXIF orientation 6: turn 90 degrees clockwise to view (CIPA DC-008, Exif 2.32, 4.6.4 A)."""
    left_red = Image.new("RGB", (40, 20), "blue")
    left_red.paste("red", (0, 0, 20, 20))
    exif = Image.Exif()
    exif[0x0112] = 6
    out = io.BytesIO()
    left_red.save(out, "PNG", exif=exif)
    kept = read_picture(out.getvalue())
    assert (kept.width, kept.height) == (20, 40)
    red, green, blue = Image.open(io.BytesIO(kept.large)).convert("RGB").getpixel((10, 5))
    assert red > 200
    assert blue < 60


def test_twelve_megapixels_become_two_small_upright_files():
    kept = read_picture(noisy(size=(4032, 3024), quality=70))
    assert (kept.width, kept.height) == (1600, 1200)
    assert Image.open(io.BytesIO(kept.small)).size == (320, 240)


def test_when_it_was_taken_is_kept_though_the_exif_is_not():
    exif = Image.Exif()
    exif[0x0132] = "2026:11:22 21:14:00"
    photo = actions.add(data=image(exif=exif), by=None)
    assert f"{timezone.localtime(photo.taken_at):%Y-%m-%d %H:%M}" == "2026-11-22 21:14"


def test_several_photos_at_once_are_kept_in_order_and_a_repeat_adds_none(as_hand):
    part, uid = make_part(), uuid.uuid4()
    for _ in range(2):
        sent = [SimpleUploadedFile(f"{n}.jpg", image(colour=n * 40)) for n in range(3)]
        response = as_hand.post(f"/photos/of/part/{part.pk}/", {"photos": sent, "uid": str(uid)})
        assert response.status_code == 303
    assert list(Photo.objects.in_order().values_list("order", flat=True)) == [1, 2, 3]
    assert Photo.objects.in_order()[0].sha256 == hashlib.sha256(image(colour=0)).hexdigest()


def test_another_picture_in_a_form_gone_back_to_is_kept_too_and_its_repeat_is_not(as_hand):
    part = make_part()
    address = f"/photos/of/part/{part.pk}/"
    uid = BeautifulSoup(as_hand.get(address).content, "html.parser").find("input", {"name": "uid"})["value"]
    for colour in (0, 40, 40):
        sent = SimpleUploadedFile("a.jpg", image(colour=colour))
        assert as_hand.post(address, {"photos": sent, "uid": uid}).status_code == 303
    kept = {photo.sha256 for photo in Photo.objects.filter(part=part)}
    assert kept == {hashlib.sha256(image(colour=colour)).hexdigest() for colour in (0, 40)}
    assert Photo.objects.count() == 2


def test_the_photos_of_two_parts_that_are_one_stand_in_one_row():
    keep, drop = make_part(), make_part()
    photos = [add(part=keep), add(part=drop), add(part=drop)]
    merge(keep=keep, drop=drop, by=None)
    assert list(Photo.objects.filter(part=keep).in_order()) == photos


def test_one_bad_file_among_good_ones_is_named_and_the_good_ones_are_kept(as_hand):
    part = make_part()
    sent = [SimpleUploadedFile("a.jpg", image()), SimpleUploadedFile("b.txt", b"no picture at all")]
    response = as_hand.post(f"/photos/of/part/{part.pk}/", {"photos": sent})
    assert response.status_code == 422
    assert "“b.txt” is not a picture" in response.text
    assert Photo.objects.count() == 1


def test_the_cover_shows_wherever_the_part_is_listed(as_hand):
    tub = make_place()
    part = make_part(holds={tub: 1})
    first, second = add(part=part), add(part=part)
    assert first.small_url in as_hand.get(tub.get_absolute_url()).text
    as_hand.post(f"/photos/{second.pk}/shift/", {"where": "cover"})
    page = as_hand.get(tub.get_absolute_url()).text
    assert second.small_url in page
    assert first.small_url not in page


def test_a_deleted_photo_comes_back_with_undo(as_hand):
    part = make_part()
    photo = add(part=part)
    page = as_hand.post(f"/photos/{photo.pk}/delete/", follow=True).text
    assert f'action="/photos/{photo.pk}/bring-back/"' in page
    assert not Photo.objects.kept().exists()
    as_hand.post(f"/photos/{photo.pk}/bring-back/")
    assert Photo.objects.kept().get() == photo


def test_the_file_is_served_with_safe_headers_in_pieces_and_only_to_people_signed_in(as_hand, stranger):
    photo = add(part=make_part())
    whole = as_hand.get(photo.large_url)
    body = b"".join(whole.streaming_content)
    assert whole.headers["Content-Type"] == "image/webp"
    assert whole.headers["X-Content-Type-Options"] == "nosniff"
    assert whole.headers["Content-Disposition"].startswith("inline; filename=")
    piece = as_hand.get(photo.large_url, headers={"Range": "bytes=2-5"})
    assert (piece.status_code, piece.content) == (206, body[2:6])
    assert piece.headers["Content-Range"] == f"bytes 2-5/{len(body)}"
    assert as_hand.get(photo.large_url, headers={"Range": f"bytes={len(body)}-"}).status_code == 416
    assert as_hand.get(photo.large_url, headers={"If-None-Match": whole.headers["ETag"]}).status_code == 304
    assert stranger.get(photo.large_url).status_code == 302


def test_the_sweep_takes_stray_files_and_long_deleted_photos_and_nothing_else():
    kept, gone = add(part=make_part()), add(part=make_part())
    Photo.objects.filter(pk=gone.pk).update(deleted_at=timezone.now() - timedelta(days=31))
    stray = files.root() / "ab" / f"{uuid.uuid4().hex}-large.webp"
    files.write(stray, b"stray")
    young = files.root() / "ab" / f"{uuid.uuid4().hex}-small.webp"
    files.write(young, b"young")
    os.utime(stray, (0, 0))
    sweep.sweep()
    assert (stray.exists(), young.exists()) == (False, True)
    assert list(Photo.objects.all()) == [kept]
    files.remove(kept.pk)
    assert sweep.state().missing == [kept]


def test_a_photo_of_two_things_is_refused_by_the_database():
    with pytest.raises(IntegrityError, match="photo_of_one_thing"), transaction.atomic():
        Photo.objects.create(part=make_part(), location=make_place(), width=1, height=1)


def test_a_piece_asked_for_in_numbers_without_end_is_answered_with_the_whole(as_hand):
    photo = add(part=make_part())
    answer = as_hand.get(photo.large_url, headers={"Range": f"bytes={'9' * 6000}-"})
    assert answer.status_code == 200

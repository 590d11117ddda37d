"""Several photos at once, one of them no picture, on a phone."""

from playwright.sync_api import expect

from inventory.photos.models import Photo
from tests.factories import make_part
from tests.inventory.photos.hostile import image


def test_of_several_photos_the_good_ones_are_kept_and_each_bad_one_is_named(phone):
    part = make_part("Wiper motor")
    phone.goto(f"/photos/of/part/{part.pk}/")
    good = {"name": "front.jpg", "mimeType": "image/jpeg", "buffer": image()}
    cut = {"name": "back.jpg", "mimeType": "image/jpeg", "buffer": image()[:300]}
    phone.get_by_label("Photos").set_input_files([good, cut, {**cut, "name": "side.jpg"}])
    phone.get_by_role("button", name="Keep the photos").click()
    said = phone.locator(".error")
    expect(said).to_contain_text("back.jpg")
    expect(said).to_contain_text("side.jpg")
    expect(said).to_contain_text("1 of 3 are kept.")
    expect(phone.locator("[data-kept-count]")).to_have_text("1")
    expect(phone.get_by_role("progressbar")).to_be_hidden()
    assert Photo.objects.filter(part=part).count() == 1

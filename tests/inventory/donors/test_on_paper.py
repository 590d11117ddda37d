"""The PDF of a donor, read back with another library (pypdf)."""

import io

import pytest
from pypdf import PdfReader

from inventory.donors import printing
from inventory.donors.models import PullPhoto
from inventory.photos import actions as photos
from tests.factories import make_place
from tests.site.addresses import picture

from .made import make_donor, make_pull

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(not printing.available(), reason="Pango is not on this machine"),
]


def test_it_names_the_donor_on_every_page_and_lists_all_that_came_off_with_photos(as_hand):
    donor, bench = make_donor(number="20-P-11873"), make_place("bench", name="Bench", short="W1")
    for number in range(60):
        before = [photos.add(data=picture(), by=None)] if number == 0 else []
        make_pull(donor, f"Thing {number}", to=bench, before=before, back="Shim")
    response = as_hand.get(f"/donors/{donor.pk}/donor.pdf")
    assert response["Content-Type"] == "application/pdf"
    reader = PdfReader(io.BytesIO(response.content))
    texts = [page.extract_text() for page in reader.pages]
    assert len(texts) > 2
    assert all("Halvard 20 pickup" in text and "20-P-11873" in text for text in texts)
    whole = "\n".join(texts)
    assert all(f"Thing {number}" in whole for number in range(60))
    assert len({image.name for page in reader.pages for image in page.images}) == 1


def test_how_it_sat_is_shown_before_how_it_looks_off_the_vehicle(db):
    donor, bench = make_donor(), make_place("bench", name="Bench", short="W1")
    pull = make_pull(donor, to=bench, after=[photos.add(data=picture(), by=None)])
    PullPhoto.objects.create(pull=pull, photo=photos.add(data=picture(), by=None), when="before")
    assert [row.when for row in printing._facts(donor)["shown"][pull.pk]] == ["before", "after"]


def test_nothing_but_our_own_faces_and_photos_is_fetched():
    fetch = printing.closed_fetcher(printing._picture).fetch
    for address in (
        "file:///etc/hostname",
        "http://localhost/",
        "photo:../../secret_key",
        "photo:",
        "data:text/plain,x",
    ):
        with pytest.raises(ValueError, match="Not fetched"):
            fetch(address)


def test_without_the_libraries_the_page_says_what_to_install(as_hand, monkeypatch):
    def missing():
        raise printing.Missing("no Pango")

    monkeypatch.setattr(printing, "weasyprint", missing)
    response = as_hand.get(f"/donors/{make_donor().pk}/donor.pdf")
    assert response.status_code == 503
    assert "Pango" in response.text

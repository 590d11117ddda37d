"""The pages of a donor: adding one, its list, papers, cautions, and the pull form beside the vehicle."""

import re
import uuid
from decimal import Decimal

import pytest
from bs4 import BeautifulSoup
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory.donors import actions
from inventory.donors.calc.bagged import read_bag
from inventory.donors.models import Cost, Donor, Paper, Pull
from inventory.labels.actions import labels_for
from inventory.parts.actions import merge
from inventory.parts.models import Holding, Part
from inventory.photos.models import Photo
from inventory.web import slots
from tests.factories import make_part, make_place
from tests.site.addresses import PDF, picture

from .made import make_donor, make_pull

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench(db):
    return make_place("bench", name="Bench", short="W1")


def ready_donor(person, **fields) -> Donor:
    donor = make_donor(**fields)
    actions.acknowledge(donor=donor, by=person)
    return donor


def photo(name="a.jpg"):
    return SimpleUploadedFile(name, picture(), content_type="image/jpeg")


def send(client, donor, **form):
    return client.post(
        f"/donors/{donor.pk}/pull/",
        {"uid": str(uuid.uuid4()), "quantity": "1", "condition": "good", "side": "", **form},
    )


def test_a_donor_is_added_with_its_place_in_one_screen(as_hand):
    yard = make_place("site", name="Yard", short="Y")
    form = {"name": "Corvane estate", "short": "d7", "shape": "estate", "price": "300", "stands": str(yard.pk)}
    response = as_hand.post("/donors/new/", form)
    donor = Donor.objects.get()
    assert (response.status_code, response["Location"]) == (303, donor.get_absolute_url())
    assert (donor.location.address, donor.location.kind, str(donor)) == ("Y·D7", "vehicle", "Corvane estate")


def test_the_short_name_offered_is_one_that_no_vehicle_has(as_hand):
    yard, container = make_place("site", name="Yard"), make_place("container", short="C1")
    for parent, short in ((None, "D3"), (yard, "D1"), (container, "D2")):
        make_place("vehicle", name=f"Corvane {short}", short=short, parent=parent)
    assert 'value="D4"' in as_hand.get("/donors/new/").text


def test_a_vehicle_that_is_there_becomes_a_donor_once(as_hand):
    place = make_place("vehicle", name="Halvard 20 pickup", short="D1")
    assert f"/donors/new/?place={place.pk}" in as_hand.get(place.get_absolute_url()).text
    form = {"name": "Halvard 20 pickup, 1966", "short": "D1", "shape": "pickup"}
    as_hand.post(f"/donors/new/?place={place.pk}", form)
    donor = Donor.objects.get(location=place)
    assert str(donor) == "Halvard 20 pickup, 1966"
    assert as_hand.get(f"/donors/new/?place={place.pk}").status_code == 303
    assert donor.get_absolute_url() in as_hand.get(place.get_absolute_url()).text


def test_a_taken_address_is_said_at_the_field_and_nothing_is_made(as_hand):
    make_donor("D1")
    response = as_hand.post("/donors/new/", {"name": "Another", "short": "D1", "shape": "van"})
    assert response.status_code == 422
    assert "D1 is taken" in response.text
    assert Donor.objects.count() == 1


def test_a_number_that_fails_its_check_warns_names_the_character_and_is_kept(as_hand):
    # 1M8GDM9AXKP042788 is the worked example of 49 CFR 565.15; here its fourth figure from the end is misread.
    donor = make_donor(number="1M8GDM9AXKPD42788")
    text = as_hand.get(donor.get_absolute_url()).text
    assert "position 12, read as D, may be 0" in text
    assert "before 1981" in text
    assert as_hand.get(make_donor("D2", number="20-P-11873").get_absolute_url()).text.count("LOOK AT THE NUMBER") == 0


def test_the_cautions_come_once_before_the_first_pull_and_are_acknowledged_by_name(as_hand, hand, bench):
    donor = make_donor()
    sent = as_hand.get(f"/donors/{donor.pk}/pull/")
    assert sent.status_code == 302
    page = as_hand.get(sent["Location"]).text
    for word in ("DANGER", "WARNING", "40 CFR 82.154(a)", "local codes", "I, Harald, have read these"):
        assert word in page
    after = as_hand.post(sent["Location"], {"next": f"/donors/{donor.pk}/pull/"})
    assert after["Location"] == f"/donors/{donor.pk}/pull/"
    donor.refresh_from_db()
    assert donor.cautions_by == hand
    assert as_hand.get(f"/donors/{donor.pk}/pull/").status_code == 200


def test_one_post_pulls_bags_photographs_and_ticks(as_hand, hand, bench):
    donor = ready_donor(hand)
    (want,) = actions.want(donor=donor, things=[{"what": "Hatch hinge", "side": "right", "why": "The hatch"}], by=None)
    response = send(
        as_hand, donor, thing=f"want:{want.pk}", place=str(bench.pk), bagged="6 M8×25 hex", back="Long one on top",
        before=[photo()], after=[photo("b.jpg")],
    )  # fmt: skip
    assert response.status_code == 303
    pull = Pull.objects.get()
    assert (str(pull.part), pull.want, pull.bag.short, pull.back) == (
        "Hatch hinge, right",
        want,
        "BAG1",
        "Long one on top",
    )
    assert pull.pictures.count() == 2
    page = as_hand.get(donor.get_absolute_url()).text
    assert "Pulled 1 × Hatch hinge, right off D1 to W1" in page
    assert f"/move/undo/{pull.batch_id}/" in page
    as_hand.post(f"/move/undo/{pull.batch_id}/")
    assert not Holding.objects.exists()


def test_a_form_that_comes_back_has_lost_no_photo(as_hand, hand, bench):
    donor = ready_donor(hand)
    uid = str(uuid.uuid4())
    response = send(as_hand, donor, uid=uid, place=str(bench.pk), thing="", before=[photo()])
    assert response.status_code == 422
    kept = re.search(r'name="before_kept" value="([0-9a-f-]{36})"', response.text)[1]
    assert f"/photos/{kept}/small.webp" in response.text
    send(as_hand, donor, uid=uid, place=str(bench.pk), thing="new:Grille", before_kept=kept)
    assert [str(row.photo_id) for row in Pull.objects.get().pictures.all()] == [kept]


def test_a_form_sent_twice_with_its_photos_pulls_once_and_keeps_each_photo_once(as_hand, hand, bench):
    donor = ready_donor(hand)
    form = {"uid": str(uuid.uuid4()), "place": str(bench.pk), "thing": "new:Grille", "bagged": "2 M6", "back": "Shim "}
    for _ in range(2):
        assert send(as_hand, donor, **form, before=[photo()]).status_code == 303
    assert Pull.objects.get().pictures.count() == Photo.objects.count() == 1


def test_a_form_sent_twice_is_answered_alike_where_the_thing_it_names_was_merged_meanwhile(as_hand, hand, bench):
    donor, known = ready_donor(hand), make_part("Grille")
    form = {"uid": str(uuid.uuid4()), "place": str(bench.pk), "thing": str(known.pk)}
    send(as_hand, donor, **form)
    merge(keep=make_part("Front grille"), drop=known, by=None)
    again = send(as_hand, donor, **form)
    assert (again.status_code, again["Location"]) == (303, donor.get_absolute_url())
    assert "Pulled 1 × Grille off D1 to W1." in as_hand.get(donor.get_absolute_url()).text
    assert Pull.objects.count() == 1
    other = send(as_hand, donor, **form | {"thing": "new:Badge"})
    assert "This was sent already, as: Pulled 1 × Grille" in other.text


def test_a_pull_sent_again_after_its_undo_says_so(as_hand, hand, bench):
    donor = ready_donor(hand)
    form = {"uid": str(uuid.uuid4()), "place": str(bench.pk), "thing": "new:Grille"}
    send(as_hand, donor, **form)
    as_hand.post(f"/move/undo/{form['uid']}/")
    as_hand.get(donor.get_absolute_url())
    send(as_hand, donor, **form)
    assert "Pulled 1 × Grille off D1 to W1 (undone since)." in as_hand.get(donor.get_absolute_url()).text
    assert not Pull.objects.standing().exists()


def test_a_form_gone_back_to_changed_and_sent_again_is_refused_and_can_be_sent_as_something_more(as_hand, hand, bench):
    donor = ready_donor(hand)
    form = {"uid": str(uuid.uuid4()), "place": str(bench.pk), "thing": "new:Grille"}
    send(as_hand, donor, **form, before=[photo()])
    refused = send(as_hand, donor, **form, quantity="3", before=[photo()])
    assert refused.status_code == 422
    assert "This was sent already, as: Pulled 1 × Grille" in refused.text
    assert "/small.webp" not in refused.text  # that photo belongs to the first
    fresh = re.search(r'name="uid" value="([0-9a-f-]{36})"', refused.text)[1]
    assert send(as_hand, donor, **form | {"uid": fresh}, quantity="3").status_code == 303
    assert [pull.quantity for pull in Pull.objects.order_by("at")] == [1, 3]


def test_a_photo_of_something_else_can_not_be_taken_along(as_hand, hand, bench):
    donor = ready_donor(hand)
    papers = actions.add_paper(donor=donor, data=picture(), name="a.jpg", what="Receipt", uid=uuid.uuid4(), by=hand)
    send(as_hand, donor, place=str(bench.pk), thing="new:Grille", before_kept=str(papers.photo_id))
    assert Pull.objects.get().pictures.count() == 0


def test_a_file_that_is_no_picture_is_named_and_nothing_is_pulled(as_hand, hand, bench):
    donor = ready_donor(hand)
    bad = SimpleUploadedFile("a.jpg", b"not a picture", content_type="image/jpeg")
    response = send(as_hand, donor, place=str(bench.pk), thing="new:Grille", after=[bad])
    assert response.status_code == 422
    assert "not a picture" in response.text
    assert not Pull.objects.exists()


def test_the_bag_of_a_pull_has_a_label_of_its_own_one_press_away(as_hand, hand, bench):
    pull = make_pull(ready_donor(hand), to=bench, bagged=read_bag("6 M8x25"))
    page = BeautifulSoup(as_hand.get(pull.get_absolute_url()).content, "html.parser")
    label = as_hand.get(page.find("a", string="Label for the bag")["href"])
    assert [thing.short for thing in label.context["want"].things] == ["BAG1"]


def test_the_bench_is_where_it_goes_unless_said_otherwise(as_hand, hand, bench):
    donor = ready_donor(hand)
    page = as_hand.get(f"/donors/{donor.pk}/pull/").text
    assert re.search(rf'name="place" value="{bench.pk}" checked', page)


def test_where_it_goes_may_be_said_by_the_code_on_a_bins_label(as_hand, hand, bench):
    donor, bin14 = ready_donor(hand), make_place("bin", name="Bin", short="K14")
    (label,) = labels_for(things=[bin14], by=None)
    address = f"HTTPS://SHOP.TEST/L/{label.code}"
    offered = as_hand.get("/pick/scanned-place/", {"name": "place", "place_text": address}).text
    assert f'value="{bin14.pk}" checked' in offered
    send(as_hand, donor, thing="new:Grille", place_text=address)
    assert str(Holding.objects.get().location) == "K14"
    label.retired_at = label.made_at
    label.save()
    assert "K14" not in as_hand.get("/pick/scanned-place/", {"name": "place", "place_text": address}).text


def test_what_is_still_on_the_donor_is_not_said_to_be_pulled_off_it(as_hand, bench):
    donor = make_donor()
    part = make_part("Grille", holds={donor.location: 2}, donor=donor.location, origin="pulled")
    assert "Still on it" in as_hand.get(donor.location.get_absolute_url()).text
    page = BeautifulSoup(as_hand.get(part.get_absolute_url()).content, "html.parser")
    assert " ".join(page.select_one(".titleblock .sub").text.split()) == "Still on D1 · good"
    make_pull(donor, "Grille", to=bench)
    page = BeautifulSoup(as_hand.get(part.get_absolute_url()).content, "html.parser")
    assert " ".join(page.select_one(".titleblock .sub").text.split()) == "Pulled off D1 · good"


def test_guesses_come_from_the_list_from_tasks_and_from_other_donors(as_hand, hand, bench, monkeypatch):
    donor, other = ready_donor(hand), make_donor("D2")
    actions.want(donor=donor, things=[{"what": "Hatch hinge"}], by=None)
    make_pull(other, "Hatch seal", to=bench)
    monkeypatch.setitem(slots._filled, "wanted", [lambda: [slots.Wish("Hatch lamp", Decimal(1), "Light the hatch")]])
    text = as_hand.get(f"/donors/{donor.pk}/pick/?thing_text=hatch").text
    for word in (
        "Hatch hinge",
        "Wanted",
        "Hatch lamp",
        "Light the hatch",
        "Hatch seal",
        "As pulled off D2",
        "New part: hatch",
    ):
        assert word in text


def test_what_a_task_is_short_of_is_put_on_the_list_with_one_press(as_hand, monkeypatch):
    donor = make_donor()
    monkeypatch.setitem(slots._filled, "wanted", [lambda: [slots.Wish("Check strap", Decimal(2), "Hang the doors")]])
    assert "for: Hang the doors" in as_hand.get(donor.get_absolute_url()).text
    as_hand.post(f"/donors/{donor.pk}/wanted/", {"wish": "Check strap"})
    want = donor.wants.get()
    assert (want.what, want.quantity, want.why, want.zone) == ("Check strap", 2, "Hang the doors", "cab")


def test_the_list_is_filled_by_hand_and_from_the_starter_list_each_thing_once(as_hand):
    donor = make_donor()
    form = {"lines": "2 Seat base\nPedal box", "area-0": ["Cab door L/R"]}
    as_hand.post(f"/donors/{donor.pk}/wanted/", form)
    as_hand.post(f"/donors/{donor.pk}/wanted/", {"lines": "pedal box"})
    assert sorted((str(one), int(one.quantity)) for one in donor.wants.all()) == [
        ("Cab door, left", 1),
        ("Cab door, right", 1),
        ("Pedal box", 1),
        ("Seat base", 2),
    ]
    assert "Cab door L/R" not in as_hand.get(f"/donors/{donor.pk}/wanted/").text
    assert as_hand.post(f"/donors/{donor.pk}/wanted/", {"lines": ""}).status_code == 422


def test_papers_are_pictures_or_pdfs_served_as_a_download_and_nothing_else(as_hand):
    donor = make_donor()
    page = f"/donors/{donor.pk}/papers/"
    evil = SimpleUploadedFile("x.pdf", b"<script>alert(1)</script>%PDF-1.4", content_type="application/pdf")
    cut = SimpleUploadedFile("y.pdf", b"%PDF-1.4 and no end", content_type="application/pdf")
    for bad in (evil, cut):
        assert as_hand.post(page, {"uid": str(uuid.uuid4()), "files": [bad]}).status_code == 422
    sent = [SimpleUploadedFile("../../bill.pdf", PDF, content_type="text/html"), photo("receipt.jpg")]
    assert as_hand.post(page, {"uid": str(uuid.uuid4()), "what": "Bill of sale", "files": sent}).status_code == 303
    pdf, receipt = Paper.objects.filter(photo=None).get(), Paper.objects.exclude(photo=None).get()
    response = as_hand.get(pdf.get_absolute_url())
    assert response["Content-Type"] == "application/pdf"
    assert response["Content-Disposition"] == 'attachment; filename="bill-of-sale.pdf"'
    assert response["X-Content-Type-Options"] == "nosniff"
    assert b"".join(response.streaming_content) == PDF
    assert receipt.photo.public is False
    assert actions.paper_path(pdf.pk).name == f"{pdf.pk.hex}.pdf"


def test_a_cost_counts_and_comes_off_again_with_undo(as_hand):
    donor = make_donor(price=Decimal(600))
    as_hand.post(f"/donors/{donor.pk}/money/", {"what": "Trailer", "amount": "55.50", "on": "2026-01-03"})
    assert "655.50" in as_hand.get(f"/donors/{donor.pk}/money/").text
    cost = Cost.objects.get()
    as_hand.post(f"/donors/costs/{cost.pk}/remove/")
    assert "655.50" not in as_hand.get(donor.get_absolute_url()).text
    as_hand.post(f"/donors/costs/{cost.pk}/remove/?back=1")
    assert "655.50" in as_hand.get(donor.get_absolute_url()).text


def test_photos_know_their_side(as_hand):
    donor = make_donor()
    as_hand.post(f"/donors/{donor.pk}/photos/", {"face": "rear", "photos": [photo()], "uid": str(uuid.uuid4())})
    assert donor.pictures.get().face == "rear"
    assert Photo.objects.get().location == donor.location


def test_a_pattern_says_what_was_made_after_it(as_hand, bench):
    pattern = make_pull(make_donor(), "Hatch hinge", to=bench, condition="pattern").part
    assert "Something was made after it" in as_hand.get(pattern.get_absolute_url()).text
    as_hand.post(f"/parts/{pattern.pk}/made-after/", {"part": "new:Hatch hinge, turned"})
    made = Part.objects.get(name="Hatch hinge, turned")
    assert "Hatch hinge, turned" in as_hand.get(pattern.get_absolute_url()).text
    assert f'Made after <a href="{pattern.get_absolute_url()}">' in as_hand.get(made.get_absolute_url()).text


def test_a_guest_looks_and_changes_nothing(as_guest, bench):
    donor = make_donor()
    pull = make_pull(donor, to=bench)
    for address in (donor.get_absolute_url(), pull.get_absolute_url(), f"/donors/{donor.pk}/money/"):
        page = as_guest.get(address)
        assert page.status_code == 200
        assert "<button>" not in page.text.partition("<main")[2].partition("</main>")[0]
    assert as_guest.post(f"/donors/{donor.pk}/wanted/", {"lines": "x"}).status_code == 403


def test_the_page_asks_the_database_as_often_for_forty_pulls_as_for_two(as_hand, bench):
    small, large = make_donor("D1"), make_donor("D2")
    for donor, count in ((small, 2), (large, 40)):
        for number in range(count):
            make_pull(donor, f"Part {number}", to=bench)
            actions.want(donor=donor, things=[{"what": f"Want {number}"}], by=None)
    asked = []
    for donor in (small, large):
        as_hand.get(donor.get_absolute_url())
        with CaptureQueriesContext(connection) as seen:
            as_hand.get(donor.get_absolute_url())
        asked.append(len(seen))
    assert asked[0] == asked[1]

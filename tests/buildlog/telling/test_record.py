"""The record of a build as a PDF, read back: text, links, page numbers, fonts, pictures; and how it is made."""

import io
import re
import uuid
from datetime import date
from decimal import Decimal

import pytest
from pypdf import PdfReader

from buildlog.decisions.actions import choose
from buildlog.tasks.actions import finish
from buildlog.telling import record_pdf
from buildlog.telling.actions import leave
from buildlog.telling.actions import make as tell_story
from buildlog.telling.models import RecordRun
from buildlog.worklog.actions import log, start
from buildlog.worklog.actions_parts import log_part
from inventory.donors.actions import add_donor
from inventory.donors.models import Cost
from inventory.labels.pdf import closed_fetcher
from inventory.parts.models import Holding
from inventory.places.models import Location
from tests.factories import make_build, make_decision, make_part, make_person, make_place, make_task

from .shop import Nights, make_photo

pytestmark = pytest.mark.django_db


@pytest.fixture
def nights(owner):
    nights = Nights(owner)
    finish(task=nights.boards, by=owner)
    colour = make_decision(nights.build, "Which colour inside?", options=("Cream", "Signal white"))
    choose(decision=colour, option=colour.options.first(), by=owner, why="It hides the flour.")
    return nights


def made(nights, *keeps) -> tuple[RecordRun, PdfReader]:
    run = RecordRun.objects.create(build=nights.build, keeps=list(keeps))
    record_pdf.make(run)
    run.refresh_from_db()
    assert run.failed == ""
    return run, PdfReader(io.BytesIO(record_pdf.file_of(run).read_bytes()))


def words(pdf: PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in pdf.pages).split())


def drawn(page) -> int:
    """How many pictures a page draws."""
    return len(re.findall(rb"/\S+ Do\b", page.get_contents().get_data()))


def test_it_says_what_an_inspector_asks_for(nights):
    run, pdf = made(nights)
    assert run.pages == len(pdf.pages)
    text = words(pdf)
    for said in (
        "Bakery van", "Lay the floor boards", "Hinge pin", "pulled from Halvard 20 pickup", "hatch opening",
        "43 5/16 in",
        "Which colour inside?", "Cream", "It hides the flour.", "Night 1", "It closes with two fingers",
        "Index of parts",
        "Left leaf, before",
    ):  # fmt: skip
        assert said in text, said


def test_every_page_has_the_title_block_its_section_and_its_number(nights):
    _, pdf = made(nights)
    for number, page in enumerate(pdf.pages, 1):
        text = " ".join(page.extract_text().split())
        assert "HB-64" in text
        assert "SECTION" in text
        assert f"{number} / {len(pdf.pages)}" in text


def test_the_contents_lead_to_their_pages(nights):
    _, pdf = made(nights)
    contents = next(page for page in pdf.pages if "Contents" in page.extract_text() and page.get("/Annots"))
    links = [note.get_object() for note in contents["/Annots"]]
    named = pdf.named_destinations
    reached = set()
    for link in links:
        goal = link.get("/Dest") or link["/A"]["/D"]
        reached.add(pdf.get_destination_page_number(named[goal]))
    assert len(links) >= 8
    printed = {int(n) for n in re.findall(r"\.\s*(\d+)", contents.extract_text())}
    assert {number + 1 for number in reached} <= printed
    assert len(pdf.outline) >= 5


def test_its_fonts_are_in_it_and_so_are_the_pictures(nights):
    _, pdf = made(nights)
    fonts = {}
    for page in pdf.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
            fonts[inner["/FontName"]] = any(key in inner for key in ("/FontFile", "/FontFile2", "/FontFile3"))
    assert fonts
    assert all(fonts.values())
    assert len(pdf.pages[0].images) == 2  # one list for all pages
    assert sum(map(drawn, pdf.pages)) == 2


def test_what_is_not_ticked_is_held_back_and_what_is_ticked_is_in_it(nights):
    text = words(made(nights)[1])
    for secret in ("Quarrel", "C1·B7", "HX-44170-2", "1,234.50", "Olga"):
        assert secret not in text
    text = words(made(nights, "private", "number", "price", "person", "address")[1])
    for told in ("Quarrel about the noise", "C1·B7", "HX-44170-2", "1,234.50", "Olga"):
        assert told in text, told


def test_it_names_the_vehicle_by_its_number_where_that_is_ticked_only(nights):
    nights.build.number = "H20-64-03117"
    nights.build.save()
    nights.closes.text = "Stamped H20-64-03117 on the frame"
    nights.closes.save()
    assert "03117" not in words(made(nights)[1])
    text = words(made(nights, "number")[1])
    assert "HB-64, number H20-64-03117" in text
    assert "Stamped H20-64-03117 on the frame" in text


def test_a_short_number_of_a_donor_is_not_named_where_its_parts_are(nights):
    make_part("Door, left", holds={nights.build.vehicle: 1}, donor=nights.donor.location, origin="pulled")
    type(nights.donor).objects.update(number="K7")
    assert "K7" not in words(made(nights)[1])
    assert "number K7" in words(made(nights, "number")[1])


def test_a_task_that_only_lines_kept_out_speak_of_is_not_named(nights):
    secret = make_task("Hide the gold stash", build=nights.build)
    finish(task=secret, by=nights.owner)
    entry = log(session=nights.sessions[0], by=nights.owner, at=nights.first_start, text="x", private=True, task=secret)
    assert "gold stash" not in words(made(nights)[1])
    assert "gold stash" in words(made(nights, "private")[1])
    entry.private = False
    entry.save()
    assert "gold stash" in words(made(nights)[1])


def test_what_was_paid_stands_at_the_day_it_was_paid(nights):
    type(nights.donor).objects.update(bought_on=date(2025, 3, 7))
    Cost.objects.create(donor=nights.donor, what="Trailer", amount=Decimal("55.25"), on=date(2025, 3, 9))
    text = words(made(nights, "price")[1])
    assert "7 Mar 2025 Donor: Halvard 20 pickup" in text
    assert "9 Mar 2025 Halvard 20 pickup: Trailer" in text


def test_photos_are_all_those_chosen_for_a_story_or_none(nights, as_owner, monkeypatch):
    story = tell_story(build=nights.build, by=nights.owner, takes="nights", sessions=nights.sessions)
    leave(piece=story.pieces.get(entry=nights.closes), out=True)
    monkeypatch.setattr(record_pdf, "start", record_pdf.make)
    counts = []
    for choice in ("", "chosen-photos", "no-photos"):
        as_owner.post("/record/", {"photos": choice})
        run = RecordRun.objects.latest("at")
        counts.append(sum(map(drawn, PdfReader(io.BytesIO(record_pdf.file_of(run).read_bytes())).pages)))
    assert counts == [2, 1, 0]


def test_the_log_begins_with_its_first_night_and_no_part_fitted_is_said(nights):
    text = words(made(nights)[1])
    assert "In the log since 3 November 2025" in text
    assert "No part has been fitted" not in text
    Holding.objects.inside(nights.build.vehicle).delete()
    assert "No part has been fitted to it yet." in words(made(nights)[1])


def test_another_builds_donors_and_what_they_cost_are_not_in_it(nights):
    other = make_build("KW-71", areas=())
    wreck = make_place("vehicle", name="Corvane estate", short="D7")
    add_donor(by=None, location=wreck, number="CE-1", price=Decimal("777.70"))
    assert "Corvane estate" not in words(made(nights, "price")[1])
    text = words(made(nights, "price")[1])
    assert "Halvard 20 pickup" in text
    part = make_part("Wing mirror", holds={wreck: 1}, donor=wreck, origin="pulled")
    session = start(build=other, by=nights.owner)
    log_part(
        build=other, by=nights.owner, part=part, quantity=Decimal(1), happened="fitted", source=wreck, session=session
    )
    run = RecordRun.objects.create(build=other, keeps=["price"])
    record_pdf.make(run)
    text = words(PdfReader(io.BytesIO(record_pdf.file_of(run).read_bytes())))
    assert "Corvane estate" in text
    assert "777.70" in text
    assert "Halvard 20 pickup" not in text


def test_a_person_in_the_name_of_the_build_is_held_back_on_its_cover_too(nights):
    make_person("hand", name="Berg")
    nights.build.name = "Berg pickup"
    nights.build.save()
    run, pdf = made(nights)
    assert "Berg" not in words(pdf)
    assert "Berg" not in str(pdf.metadata)


def test_a_photo_of_the_vehicle_is_on_the_cover_and_one_kept_out_is_not(nights):
    make_photo("olive", location=Location.objects.get(pk=nights.build.vehicle_id))
    assert drawn(made(nights)[1].pages[0]) == 1
    nights.build.vehicle.photos.update(public=False)
    assert drawn(made(nights)[1].pages[0]) == 0


def test_it_fetches_nothing_but_the_shops_own_photos():
    fetcher = closed_fetcher(record_pdf.picture)
    for address in (
        "http://127.0.0.1:9/x.png",
        "file:///etc/hostname",
        f"photo:{uuid.uuid4()}",
        "photo:../../x",
        "ftp://x/",
    ):
        with pytest.raises(ValueError, match="Not fetched"):
            fetcher.fetch(address)


def test_markup_in_an_entry_is_text_in_the_record(nights):
    nights.closes.text = "<img src='file:///etc/hostname'><link rel=attachment href='file:///etc/hostname'> {{ x }}"
    nights.closes.save()
    _, pdf = made(nights)
    assert "<img src='file:///etc/hostname'>" in words(pdf)
    assert pdf.attachments == {}


def test_pictures_are_no_larger_than_they_are_printed(nights):
    from PIL import Image

    big = make_photo("teal")
    data = record_pdf.picture(f"photo:{big.pk.hex}")
    with Image.open(io.BytesIO(data)) as image:
        assert image.format == "JPEG"
        assert max(image.size) <= record_pdf.PIXELS


def test_it_is_asked_for_watched_and_opened(nights, as_owner, monkeypatch):
    monkeypatch.setattr(record_pdf, "start", record_pdf.make)
    answer = as_owner.post("/record/", {"number": "on"})
    page = as_owner.get(answer.headers["Location"])
    assert "Open the record" in page.text
    run = RecordRun.objects.get()
    assert run.keeps == ["number"]
    pdf = as_owner.get(f"/record/{run.pk}/record.pdf")
    assert b"".join(pdf.streaming_content).startswith(b"%PDF")
    assert str(run.pk) in as_owner.get("/record/").text


def test_how_far_it_is_only_ever_grows_and_is_told(nights, as_owner):
    run = RecordRun.objects.create(build=nights.build, done=30, steps=120)
    record_pdf._busy.add(run.pk)
    try:
        shown = as_owner.get(f"/record/{run.pk}/", headers={"HX-Request": "true"}).text
    finally:
        record_pdf._busy.discard(run.pk)
    assert 'value="25"' in shown
    assert "hx-get" in shown
    progress = record_pdf.Progress(run, photos=2, guess=3)
    seen = []
    for step in (progress.photo, lambda: progress.page(2), lambda: progress.page(1), progress.photo, progress.paint):
        progress.told_at = 0
        step()
        run.refresh_from_db()
        seen.append(run.done)
    assert seen == sorted(seen)
    assert seen[-1] > seen[0]


def test_one_that_was_cut_off_says_so(nights, as_owner):
    run = RecordRun.objects.create(build=nights.build)
    shown = as_owner.get(f"/record/{run.pk}/").text
    assert "Make it again" in shown
    assert "hx-get" not in shown

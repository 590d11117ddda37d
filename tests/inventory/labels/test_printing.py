"""From what is picked to a PDF."""

import io
import uuid

import pytest
from pypdf import PdfReader

from inventory.labels import actions, bases, pdf, printing
from inventory.labels.models import BaseAddress, Label, PrintRun
from tests.factories import make_part, make_place
from tests.trade.label_reading import raster, zxing

pytestmark = pytest.mark.django_db
SHEET = {"stock": "a4-3x7-63.5x38.1", "start": "1", "nudge_x": "0", "nudge_y": "0"}


@pytest.fixture(autouse=True)
def named():
    BaseAddress.objects.create(address="https://gusset.lan:8443")


def make_pdf(client, query, **sheet):
    response = client.post(f"/labels/print/?{query}", {**SHEET, "uid": uuid.uuid4(), **sheet})
    assert response.status_code == 303, response.text
    run = PrintRun.objects.first()
    return run, b"".join(client.get(f"/labels/run/{run.pk}/labels.pdf").streaming_content)


def codes_read(run):
    """What zxing-cpp reads from the run's pages, the base address cut off."""
    start = "HTTPS://GUSSET.LAN:8443/L/"
    return {text.removeprefix(start) for picture in raster(printing.page_drawings(run), 150) for text in zxing(picture)}


def test_blanks_are_made_and_printed(as_hand):
    run, data = make_pdf(as_hand, "blank=24")
    assert len(PdfReader(io.BytesIO(data)).pages) == run.pages == 2
    assert Label.objects.blank().count() == 24
    assert codes_read(run) == set(run.codes)
    assert Label.objects.exclude(printed_at=None).filter(size=SHEET["stock"]).count() == 24


def test_a_whole_container_is_printed_in_the_order_of_its_addresses(as_hand):
    container = make_place("container", short="C1", name="Container 1")
    for short in ("10", "2", "1"):
        make_place(short=short, parent=container)
    make_place(short="X9")
    run, _ = make_pdf(as_hand, f"inside={container.pk}")
    addresses = [Label.objects.get(code=code).location.address for code in run.codes]
    assert addresses == ["C1", "C1·1", "C1·2", "C1·10"]


def test_a_place_that_has_a_label_keeps_its_code(as_hand):
    box, part = make_place(short="14"), make_part("Hatch hinge")
    label = actions.labels_for(things=[box], by=None)[0]
    run, data = make_pdf(as_hand, f"place={box.pk}&part={part.pk}")
    assert run.codes[0] == label.code
    assert Label.objects.count() == 2
    text = PdfReader(io.BytesIO(data)).pages[0].extract_text()
    assert "Hatch hinge" in text.replace("\n", " ")


def test_a_second_tap_makes_no_second_run(as_hand):
    form = {**SHEET, "uid": uuid.uuid4()}
    first, second = (as_hand.post("/labels/print/?blank=3", form) for _ in range(2))
    assert first.headers["Location"] == second.headers["Location"]
    assert (PrintRun.objects.count(), Label.objects.count()) == (1, 3)


def test_looking_at_the_sheet_makes_no_label(as_hand):
    box = make_place(short="14")
    response = as_hand.get(f"/labels/print/?place={box.pk}&blank=5&start=3")
    assert response.text.count('class="cell used"') == 2
    assert "Make the PDF: 6 labels" in response.text
    assert not Label.objects.exists()


def test_a_part_of_the_page_is_answered_to_htmx(as_hand):
    response = as_hand.get("/labels/print/?blank=5&stock=a4-tag", headers={"HX-Request": "true"})
    assert response.text.startswith('<div id="sheet"')
    assert "<html" not in response.text


def test_a_stock_too_small_is_refused_with_the_reason_and_makes_nothing(as_hand):
    page = as_hand.get("/labels/print/?blank=5&stock=tape-12")
    assert "Too small: the symbol needs" in page.text
    assert "Make the PDF" not in page.text
    response = as_hand.post("/labels/print/?blank=5", {**SHEET, "stock": "tape-12", "uid": uuid.uuid4()})
    assert response.status_code == 422
    assert not Label.objects.exists()


def test_the_code_alone_fits_the_narrow_tape(as_hand):
    run, _ = make_pdf(as_hand, "blank=2", stock="tape-12", code_only="on")
    assert run.base == ""
    assert codes_read(run) == set(run.codes)


def test_a_long_run_is_made_beside_and_says_how_far_it_is(as_hand, monkeypatch):
    begun = []
    monkeypatch.setattr(printing.threading, "Thread", lambda **how: begun.append(how) or _Never())
    response = as_hand.post("/labels/print/?blank=90", {**SHEET, "uid": uuid.uuid4()})
    run = PrintRun.objects.get()
    PrintRun.objects.update(done=2)
    page = as_hand.get(response.headers["Location"])
    assert '<progress id="pages-done" max="5" value="2">' in page.text
    assert page.headers["Refresh"] == "2"
    printing.make(*begun[0]["args"])
    assert "Open the PDF, 5 pages" in as_hand.get(run.get_absolute_url()).text


class _Never:
    def start(self):
        pass


def test_a_run_that_was_cut_off_is_made_when_it_is_looked_at(as_hand):
    label = actions.make_blank(count=1)[0]
    run = PrintRun.objects.create(stock=SHEET["stock"], codes=[label.code], pages=1)
    assert "Open the PDF" in as_hand.get(run.get_absolute_url()).text


def test_printing_is_politely_off_without_the_pdf_libraries(as_hand, monkeypatch):
    def missing():
        raise pdf.Missing("no pango")

    monkeypatch.setattr(pdf, "weasyprint", missing)
    page = as_hand.get("/labels/print/?blank=5")
    assert "Install Pango" in page.text
    assert "Make the PDF" not in page.text
    assert as_hand.get("/labels/ruler/").status_code == 404


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("http://192.168.1.20:8000", "is a number"),
        ("http://localhost:8000", "only works on the machine"),
        ("https://shop.lan", ""),
    ],
)
def test_a_base_address_that_will_not_last_is_warned_of(as_hand, address, said):
    BaseAddress.objects.all().delete()
    BaseAddress.objects.create(address=address)
    text = as_hand.get("/labels/print/?blank=1").text
    assert ("Give the shop a name first" in text) == bool(said)
    assert said in text


def test_the_owner_sets_the_address_and_the_old_one_stays_known(as_owner, rf):
    as_owner.post("/labels/base/", {"address": "Barn.lan"})
    assert str(BaseAddress.objects.first()) == "https://barn.lan"
    assert "gusset.lan:8443" in as_owner.get("/labels/base/").text
    assert bases.known_hosts(rf.get("/")) >= {"gusset.lan:8443", "barn.lan"}


@pytest.mark.parametrize(
    "bad", ["", "https://", "ftp://x.lan", "https://x.lan/shop", "a b", "https://u@x.lan", "http://x:99999999"]
)
def test_what_is_not_an_address_is_refused_at_the_field(as_owner, bad):
    response = as_owner.post("/labels/base/", {"address": bad})
    assert response.status_code == 422
    assert 'class="error"' in response.text


def test_the_ruler_page_has_the_papers_size(as_hand):
    sheet = PdfReader(io.BytesIO(as_hand.get("/labels/ruler/?stock=a4-2x4-99.1x67.7&nudge_x=1").content)).pages[0]
    assert float(sheet.mediabox.width) * 25.4 / 72 == pytest.approx(210, abs=0.1)
    assert "right +1 mm" in sheet.extract_text()


def test_things_are_added_to_the_pages_address(as_hand):
    place = make_place("container", short="C1")
    response = as_hand.get(f"/labels/print/add/?blank=3&start=4&add_place={place.pk}&whole=on&more=7")
    assert response.headers["Location"] == f"../?blank=7&start=4&inside={place.pk}"


@pytest.mark.parametrize("count", [1, 6])
def test_queries_do_not_grow_with_the_labels(as_hand, django_assert_max_num_queries, count):
    container = make_place("container", short="C1")
    for number in range(count):
        make_place(short=str(number + 1), parent=container)
    with django_assert_max_num_queries(14):
        as_hand.get(f"/labels/print/?inside={container.pk}")

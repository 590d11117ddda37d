"""Filling a cabinet from a typed list, and how it is drawn."""

import uuid
from decimal import Decimal

import pytest
from bs4 import BeautifulSoup
from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import given
from hypothesis import strategies as st

from inventory.labels.actions import labels_for
from inventory.labels.calc.stock import stock_of
from inventory.labels.queries import contents
from inventory.organizers.calc.lines import read_lines
from inventory.parts import audit
from inventory.parts.actions import put_in
from inventory.parts.models import Batch, Holding, Part
from inventory.places.actions import rename
from inventory.places.actions_grid import join, organizer_places, set_up
from inventory.places.calc.cabinet import Face, cabinet
from inventory.places.calc.grid import Numbering
from inventory.places.models import Location
from tests.factories import make_part

DRAWERS = {f"{row}{number}" for row in "ABCDEF" for number in range(1, 11)}
ISO_LENGTHS = ["10", "12", "16", "20", "25", "30", "35", "40", "45", "50"]  # ISO 888, from memory


def soup(response):
    return BeautifulSoup(response.content, "html.parser")


@pytest.fixture
def organizer(db):
    """Six rows of ten drawers, A1 to F10, 55 mm wide and 36 high."""
    places = organizer_places(
        parent=None, name="Bolts", short="H1", rows=6, cols=10, numbering=Numbering(style="letters"),
        cell_width=55, cell_height=36,
    )  # fmt: skip
    return set_up(places=places, by=None)


def _fill(client, organizer, text, step="fill"):
    return client.post(f"/places/{organizer.pk}/fill/", {"lines": text, "uid": uuid.uuid4(), "step": step})


def _drawer(name: str) -> Location:
    return Location.objects.get(short=name, kind="drawer", retired_at=None)


def test_a_line_is_a_drawer_a_thing_and_a_number():
    line = read_lines("B3 M8x25 hex 8.8, 40", DRAWERS)[0]
    assert (line.drawer, line.what, line.count) == ("B3", "M8x25 hex 8.8", 40)
    assert read_lines("b3: M8x1,25x25; 7", DRAWERS)[0].count == 7
    assert read_lines("B3 M8x1,25", DRAWERS)[0].count is None


@pytest.mark.parametrize(
    ("text", "what", "count"),
    [
        ("C4 40 M10x30", "M10x30", 40),
        ("40 M10x30", "M10x30", 40),
        ("12 x 5/16 UNF nyloc", "5/16 UNF nyloc", 12),
        ("C4 M8 washer x 6", "M8 washer", 6),
        ("C4 1 1/4 washer", "1 1/4 washer", None),
        ("C4 4 x 20 wood screw", "4 x 20 wood screw", None),
        ("C4 12 volt relay", "12 volt relay", None),
    ],
)
def test_the_number_may_stand_on_either_side_where_it_can_be_no_size(text, what, count):
    (line,) = read_lines(text, DRAWERS)
    assert (line.what, line.count) == (what, count)


def test_a_range_takes_the_lengths_there_are():
    lines = read_lines("C1 M6 hex 8.8, lengths 10 to 50", DRAWERS)
    assert [line.what.split("×")[2].split()[0] for line in lines] == ISO_LENGTHS
    assert [line.further for line in lines] == list(range(10))
    inches = read_lines("A1 1/4-20 hex, lengths 1/2 to 1-1/4", DRAWERS)
    assert [line.what.split("×")[1].split()[0] for line in inches] == [
        "1/2", "5/8", "3/4", "7/8", "1", "1-1/4",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "trouble"),
    [("B3", "line"), ("Z9 hatch, 4", "drawer"), ("C1 hatch, lengths 10 to 50", "range"),
     ("C1 M6, lengths 13 to 15", "lengths"), ("C1 M6, lengths 1/0 to 5", "lengths")],
)  # fmt: skip
def test_what_cannot_be_read_says_so(text, trouble):
    assert [line.trouble for line in read_lines(text, DRAWERS)] == [trouble]


def test_a_line_without_a_drawer_is_for_the_next_empty_one():
    lines = read_lines("M8x25 hex 8.8, 40\nTrim clip\nM6, lengths 10 to 16\nM6 washer, 9", DRAWERS)
    assert {line.drawer for line in lines} == {""}
    assert [line.what for line in lines] == [
        "M8x25 hex 8.8", "Trim clip", "M6×1×10", "M6×1×12", "M6×1×16", "M6 washer",
    ]  # fmt: skip
    assert [line.count for line in lines] == [40, None, None, None, None, 9]


@given(st.text(max_size=200))
def test_nothing_typed_breaks_the_reading(text):
    read_lines(text, DRAWERS)


def test_sixty_drawers_are_filled_from_six_ranges_in_one_go(as_owner, organizer):
    text = "\n".join(
        f"{row}1 M{size} hex 8.8, lengths 10 to 50" for row, size in zip("ABCDEF", (4, 5, 6, 8, 10, 12), strict=True)
    )
    assert _fill(as_owner, organizer, text, "look").status_code == 200
    assert Part.objects.count() == 0
    assert _fill(as_owner, organizer, text).status_code == 303
    assert Part.objects.count() == 60
    assert _drawer("C4").name == "M6×1×20 hex bolt 8.8"
    text = as_owner.get(organizer.get_absolute_url()).text
    assert ">M6×20<" in text
    assert "none there" in text


def test_the_drawer_then_holds_what_the_line_says_and_the_part_there_is_is_used(as_owner, organizer):
    part = make_part("Hex bolt M8×25 8.8")
    _fill(as_owner, organizer, "B3 M8x25 hex 8.8, 40\nB4 M8x25 hex 8.8, 10\nB4 Hatch seal, 2")
    assert {row.location.short: row.quantity for row in part.holdings.all()} == {"B3": 40, "B4": 10}
    assert _drawer("B4").name == "M8×1.25×25 hex bolt 8.8 · Hatch seal"
    _fill(as_owner, organizer, "B3 M8x25 hex 8.8, 12")
    assert {row.location.short: row.quantity for row in part.holdings.all()} == {"B3": 12, "B4": 10}


def test_a_list_without_drawers_fills_the_empty_ones_in_order(as_owner, organizer):
    _fill(as_owner, organizer, "A2 M8x25, 40")
    _fill(as_owner, organizer, "M6, lengths 10 to 16\nC1 M5 nut\nM5 washer, 3\nM5x10\nA5 M5x12")
    named = Location.objects.filter(kind="drawer").exclude(name="")
    assert {drawer.short: drawer.name for drawer in named} == {
        "A1": "M6×1×10", "A2": "M8×1.25×25", "A3": "M6×1×12", "A4": "M6×1×16", "A5": "M5×0.8×12",
        "C1": "M5×0.8 hex nut", "C2": "M5 flat washer", "C3": "M5×0.8×10",
    }  # fmt: skip


def test_a_drawer_that_the_list_filled_is_not_empty_for_a_line_further_down(as_owner, organizer):
    _fill(as_owner, organizer, "B1 M8x25\nM8x30\nM8x35\nB1 M8 washer\nM8 nut")
    named = Location.objects.filter(kind="drawer").exclude(name="")
    assert {drawer.short: drawer.name for drawer in named} == {
        "B1": "M8×1.25×25 · M8 flat washer", "B2": "M8×1.25×30", "B3": "M8×1.25×35", "B4": "M8×1.25 hex nut",
    }  # fmt: skip


def test_one_wrong_line_stops_all_of_it_and_is_named(as_owner, organizer):
    response = _fill(as_owner, organizer, "B3 M8x25, 40\nZ9 M8x30, 40\nF9 M6, lengths 10 to 50")
    assert response.status_code == 422
    assert "Line 2: This cabinet has no drawer of that name." in response.text
    assert "No drawer is left" in response.text
    assert Part.objects.count() == 0


def test_sending_the_list_twice_changes_nothing(as_owner, organizer):
    data = {"lines": "B3 M8x25, 40", "uid": uuid.uuid4(), "step": "fill"}
    for _ in range(2):
        as_owner.post(f"/places/{organizer.pk}/fill/", data)
    assert [row.quantity for row in Part.objects.get().holdings.all()] == [40]


def _undo(client):
    """Undo the newest filling; answers what the next page says."""
    batch = Batch.objects.filter(undoes=None).latest("at")
    return client.post(f"/move/undo/{batch.pk}/", {"next": "/places/"}, follow=True).text


def test_one_undo_takes_back_the_numbers_the_names_and_what_was_new_to_the_list(as_owner, organizer):
    known = make_part("M8 washer")
    _fill(as_owner, organizer, "B3 M8x25, 40\nB4 M8x30\nB5 M8 washer, 9")
    assert "Undone: Filled 3 drawers of H1." in _undo(as_owner)
    assert not Holding.objects.exists()
    assert not Location.objects.filter(kind="drawer").exclude(name="").exists()
    assert list(Part.objects.current()) == [known]
    assert audit.differences() == []


def test_undo_leaves_on_the_list_what_was_used_since(as_owner, organizer, owner):
    _fill(as_owner, organizer, "B3 M8x25, 40\nB4 M8x30")
    put_in(part=Part.objects.get(name="M8x30"), quantity=Decimal(5), target=_drawer("F1"), by=owner)
    as_owner.post(f"/move/undo/{Batch.objects.get(what__startswith='Filled').pk}/")
    assert [part.name for part in Part.objects.current()] == ["M8x30"]


def test_where_a_drawer_was_named_anew_since_undo_says_that_the_names_stay_and_where_to_undo_them(as_owner, organizer):
    _fill(as_owner, organizer, "B3 M8x25, 40\nB4 M8x30, 5")
    rename(place=_drawer("B4"), name="Odd ones", by=None)
    text = _undo(as_owner)
    assert "The drawers keep the names they were given: H1·B4 has been changed again since." in text
    assert "Undo of its own on the page of H1." in text
    assert not Holding.objects.exists()
    assert _drawer("B4").name == "Odd ones"


def test_the_same_list_sent_again_after_an_undo_says_so_and_fills_on_a_second_word(as_owner, organizer):
    data = {"lines": "B3 M8x25, 40", "uid": str(uuid.uuid4()), "step": "fill"}
    as_owner.post(f"/places/{organizer.pk}/fill/", data)
    _undo(as_owner)
    response = as_owner.post(f"/places/{organizer.pk}/fill/", data)
    assert response.status_code == 422
    assert "that was undone since. Nothing was written now." in response.text
    assert not Holding.objects.exists()
    form = soup(response)
    assert form.select_one("[name=step][value=fill]").text == "Fill them again"
    again = form.select_one("[name=uid]")["value"]
    assert again != data["uid"]
    as_owner.post(f"/places/{organizer.pk}/fill/", {**data, "uid": again})
    assert [(row.location.short, row.quantity) for row in Holding.objects.all()] == [("B3", 40)]
    assert _drawer("B3").name


def test_a_name_in_other_capitals_is_the_same_thing(as_owner, organizer):
    clip, oil = make_part("Trim clip"), make_part("Ölwanne", part_numbers="20-6402")
    _fill(as_owner, organizer, "A1 TRIM CLIP, 3\nA2 ölwanne, 1\nA3 20-6402, 2")
    assert {row.location.short: row.part for row in Holding.objects.all()} == {"A1": clip, "A2": oil, "A3": oil}
    assert Part.objects.count() == 2


def test_what_may_be_several_parts_is_asked_for_at_its_line_and_nothing_is_written_until_it_is_said(
    as_owner, organizer
):
    bought = make_part("Hex bolt M8×25 8.8")
    pulled = make_part("M8x25 hex 8.8", origin="pulled", condition="repairable")
    lines = "A1 M8x25 8.8 hex, 5\nA2 M8x25 hex bolt 8.8, 6\nA3 M8x25 hex 8.8, 7\nA4 M8 nut, 1"
    response = _fill(as_owner, organizer, lines)
    assert response.status_code == 422
    assert "3 lines may mean more than one thing" in response.text
    assert "A2 · line 2: which of these is it?" in response.text
    assert "Repairable · Pulled" in response.text
    assert not Holding.objects.exists()
    fields = {radio["name"]: None for radio in soup(response).select("[name^=which-]")}
    assert len(fields) == 3
    said = dict(zip(fields, (bought.pk, pulled.pk, "new:"), strict=True))
    data = {"lines": lines, "uid": uuid.uuid4(), "step": "fill", **said}
    assert as_owner.post(f"/places/{organizer.pk}/fill/", data).status_code == 303
    held = {row.location.short: row.part for row in Holding.objects.select_related("part", "location")}
    assert (held["A1"], held["A2"]) == (bought, pulled)
    assert held["A3"] not in (bought, pulled)


def test_of_several_parts_it_is_the_one_that_lies_in_the_drawer(as_owner, organizer):
    make_part("M8x25 hex 8.8", origin="pulled")
    bought = make_part("Hex bolt M8×25 8.8", holds={_drawer("A1"): 3})
    assert _fill(as_owner, organizer, "A1 M8x25 hex 8.8, 12").status_code == 303
    assert [row.quantity for row in bought.holdings.all()] == [12]


def test_an_answer_that_is_none_of_the_parts_asked_about_is_no_answer(as_owner, organizer):
    make_part("Hatch seal"), make_part("Hatch seal", side="left")
    other = make_part("Trim clip")
    field = f"which-{_drawer('A1').pk}-hatch seal"
    data = {"lines": "A1 Hatch seal, 2", "uid": uuid.uuid4(), "step": "fill", field: other.pk}
    assert as_owner.post(f"/places/{organizer.pk}/fill/", data).status_code == 422
    assert not Holding.objects.exists()


def test_a_list_gone_back_to_and_changed_is_done_as_it_stands_now(as_owner, organizer):
    data = {"uid": uuid.uuid4(), "step": "fill"}
    for lines in ("B3 M8x25, 40", "B3 M8x25, 30\nB4 M8x30, 5"):
        as_owner.post(f"/places/{organizer.pk}/fill/", {**data, "lines": lines})
    held = Holding.objects.filter(quantity__gt=0).values_list("location__short", "quantity")
    assert dict(held) == {"B3": 30, "B4": 5}
    assert Part.objects.count() == 2


def test_only_what_is_low_is_coloured_and_a_drawer_that_ran_out_is_low(as_owner, organizer):
    _fill(as_owner, organizer, "A1 M8x25, 5\nA2 M8x30, 50\nA3 M8x35")
    Part.objects.exclude(name="M8x30").update(keep_at_least=20)
    cells = as_owner.get(organizer.get_absolute_url()).context["cabinet"].cabinet.drawers
    states = {cell.ref.short: cell.state for cell in cells[:4]}
    assert states == {"A1": "low", "A2": "", "A3": "low empty", "A4": "empty"}


def test_how_many_to_keep_is_said_once_for_all_that_is_new(as_owner, organizer):
    known = make_part("M8x25", keep_at_least=3)
    data = {"lines": "M8x25, 5\nM8x30, 15\nM8x35, 40", "uid": uuid.uuid4(), "step": "fill", "keep": "20"}
    as_owner.post(f"/places/{organizer.pk}/fill/", data)
    known.refresh_from_db()
    assert known.keep_at_least == 3
    cells = as_owner.get(organizer.get_absolute_url()).context["cabinet"].cabinet.drawers
    assert [cell.state for cell in cells[:3]] == ["", "low", ""]


def test_the_drawing_keeps_the_drawers_proportion_and_joined_ones_their_share(as_owner, organizer):
    join(cell=_drawer("A1"), other=_drawer("A2"), by=None)
    drawers = {d.ref.short: d for d in as_owner.get(organizer.get_absolute_url()).context["cabinet"].cabinet.drawers}
    step = (drawers["B2"].x - drawers["B1"].x) / (drawers["C1"].y - drawers["B1"].y)
    assert step == pytest.approx(55 / 36, rel=0.01)
    assert drawers["A1"].width == pytest.approx(2 * drawers["B1"].width + 3, abs=0.3)


@given(st.integers(1, 12), st.integers(1, 20), st.integers(10, 300), st.integers(10, 200), st.integers(0, 9))
def test_words_stay_inside_their_drawer_and_every_drawer_has_room_for_a_thumb(cols, rows, w, h, things):
    faces = [Face(None, "B3", r, c, 1, 1, ("M10×1.25×100",) * things) for r in range(rows) for c in range(cols)]
    drawn = cabinet(faces, rows, cols, w, h)
    for drawer in drawn.drawers:
        assert drawer.height >= 42
        assert drawer.width >= 60
        assert drawer.right <= drawn.width
        for words in drawer.words:
            assert words.y <= drawer.y + drawer.height
            assert len(words.text) * words.size * 0.5 <= drawer.width


def _said_on(*lines, w=55, h=36):
    (drawer,) = cabinet([Face(None, "B3", 0, 0, 1, 1, lines)], 10, 10, w, h).drawers
    return [(words.text, words.begins) for words in drawer.words], drawer.cut


def test_what_is_too_long_for_one_line_goes_on_in_the_next_where_there_is_room():
    assert _said_on("5/16-24×1-1/4") == ([("5/16-24", True), ("×1-1/4", False)], False)
    assert _said_on("M8×25") == ([("M8×25", True)], False)
    both, cut = _said_on("5/16-24×1-1/4", "M8 washer")
    assert both[0][0].endswith("…")
    assert cut
    assert _said_on("M8 nut", "M8 washer", "M6 nut") == ([("M8 nut", True), ("+ 2 more", True)], True)


def test_a_label_has_the_size_of_its_drawer_and_the_sheet_is_full(as_owner, organizer):
    stock = stock_of("cut-55x36")
    assert (stock.w, stock.h, stock.cells) == (55, 36, 3 * 7)
    box = stock.cell(stock.cells - 1)
    assert box.x + box.w <= 210 - 6
    assert box.y + box.h <= 297 - 6
    page = as_owner.get(f"/labels/print/?drawers={organizer.pk}&stock=cut-55x36")
    assert "55 × 36 mm" in page.text
    assert page.context["want"].count == 60
    as_owner.post(f"/places/{organizer.pk}/fill/", {"lines": "A1 M8x25 hex 8.8", "uid": uuid.uuid4(), "step": "fill"})
    assert "M8×25" in as_owner.get(f"/labels/print/?drawers={organizer.pk}&stock=cut-55x36").text
    assert stock_of("cut-999x10") is stock_of("cut-5x5") is None


def test_the_label_of_a_drawer_without_a_name_says_what_lies_in_it(organizer):
    make_part("Hex bolt M8×25 8.8", holds={_drawer("B3"): 4})
    make_part("M8 washer", holds={_drawer("B3"): 4})
    (said, empty) = contents(labels_for(things=[_drawer("B3"), _drawer("B4")], by=None), "http://gusset.lan/")
    assert (said.name, said.trail) == ("M8×25 · M8 washer", "H1·B3 · M8×1.25×25 hex bolt 8.8 · M8 flat washer")
    assert empty.address == "H1·B4"


def test_the_page_of_a_full_cabinet_asks_as_little_as_that_of_an_empty_one(
    as_owner, organizer, django_assert_max_num_queries
):
    as_owner.get(organizer.get_absolute_url())
    with CaptureQueriesContext(connection) as empty:
        as_owner.get(organizer.get_absolute_url())
    before = len(empty)
    _fill(as_owner, organizer, "A1 M6 hex, lengths 10 to 50\nB1 M8 hex, lengths 10 to 50\nC1 M5x10, 9\nC2 M5x12, 8")
    as_owner.get(organizer.get_absolute_url())
    with django_assert_max_num_queries(before + 3):
        as_owner.get(organizer.get_absolute_url())

"""Everything taken out. Outside references: RFC 4180, and OWASP on cells that a spreadsheet runs as a formula."""

import csv
import io
import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.importing.actions import import_rows
from inventory.importing.calc.columns import guess_columns
from inventory.importing.calc.neutral import neutral
from inventory.importing.calc.rows import read_rows
from inventory.importing.exporting import csv_lines, json_lines
from inventory.importing.models import Import, ImportedRow
from inventory.importing.reading import read_file
from inventory.parts.models import Batch, Holding, Move, Part
from inventory.places.actions import add_place
from inventory.places.models import Location
from tests.factories import make_part


# OWASP CSV Injection: = + - @ TAB CR at the start of a cell.
@pytest.mark.parametrize(
    ("text", "safe"),
    [
        ("=1+1", "'=1+1"),
        ("+SUM(A1)", "'+SUM(A1)"),
        ("-2+3", "'-2+3"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\t=1", "'\t=1"),
        ("\r=1", "'\r=1"),
        ("-3", "-3"),
        ("+1.5", "+1.5"),
        ("-1,5", "-1,5"),
        ("Hinge = left", "Hinge = left"),
        ("", ""),
    ],
)
def test_what_a_spreadsheet_would_run_has_an_apostrophe_before_it(text, safe):
    assert neutral(text) == safe


def test_lines_are_as_rfc_4180_has_them():
    rows = [("aaa", 'b"bb', "c,cc", "d\r\nd", None)]
    assert "".join(csv_lines("vwxyz", rows)) == '\ufeffv,w,x,y,z\r\naaa,"b""bb","c,cc","d\r\nd",\r\n'


cells = st.text(st.characters(codec="utf-8", exclude_characters="\0"))


@given(st.lists(st.tuples(cells, cells), max_size=5))
def test_any_text_comes_back_from_csv_and_json(rows):
    read = list(csv.reader(io.StringIO("".join(csv_lines(["A", "B"], rows))[1:], newline="")))
    assert read == [["A", "B"], *[[neutral(a), neutral(b)] for a, b in rows]]
    assert json.loads("".join(json_lines(["A", "Keep at least"], rows))) == [
        {"a": a, "keep_at_least": b} for a, b in rows]  # fmt: skip


@pytest.fixture
def shop(db):
    yard = add_place(kind="site", name="Yard", short="")
    container = add_place(kind="container", name="The blue one", short="C1", parent=yard)
    rack = add_place(kind="rack", name="Left rack", short="L", parent=container)
    shelf = add_place(kind="shelf", short="2", parent=rack)
    bin_14 = add_place(kind="bin", short="14", parent=shelf)
    bench = add_place(kind="bench", name="Lathe, by the door / window", short="B", parent=yard)
    donor = add_place(kind="vehicle", name="Corvane estate", short="D7", parent=yard)
    make_part("Hatch hinge", part_numbers="4-4410-2\n99", side="left", holds={bin_14: 2, bench: 1})
    make_part('=HYPERLINK hose, 3/8"', unit="metres", origin="bought", holds={bench: Decimal("1.255")})
    make_part("Door strap", origin="pulled", donor=donor, condition="pattern", note="two\nlines", holds={bin_14: 1})
    make_part("Seat rail", origin="pulled", donor=donor, holds={donor: 2})
    make_part("Roof vent", keep_at_least=2, other_names="Mushroom\nLid")


def facts():
    """The shop by what a person sees of it, without numbers of rows."""
    held = {
        (h.part.name, h.part.unit, h.location.address, h.location.kind, h.location.title, h.quantity)
        for h in Holding.objects.select_related("part", "location")
    }
    parts = {
        (p.name, p.part_numbers, p.other_names, p.side, p.origin, p.condition, str(p.donor), p.keep_at_least, p.note)
        for p in Part.objects.select_related("donor")
    }
    places = {(p.address, p.kind, p.title, str(p.parent)) for p in Location.objects.select_related("parent")}
    return held, parts, places


def test_exported_parts_brought_into_an_empty_shop_are_the_same_shop(as_owner, shop):
    before = facts()
    exported = b"".join(as_owner.get("/export/parts.csv").streaming_content)
    for model in (ImportedRow, Import, Move, Holding, Batch, Part):
        model.objects.all().delete()
    for place in Location.objects.order_by("-path"):
        place.delete()
    table = read_file(exported).table
    brought = import_rows(readings=read_rows(table, [c.field for c in guess_columns(table)]), name="parts.csv", by=None)
    assert (brought.counts["error"], brought.counts["left_out"]) == (0, 0)
    assert facts() == before


def test_exported_parts_brought_into_their_own_shop_would_count_twice_only_once(as_owner, shop):
    """A part that is in the shop but not from a list comes in once more; that list itself then never again."""
    exported = b"".join(as_owner.get("/export/parts.csv").streaming_content)
    table = read_file(exported).table
    columns = [c.field for c in guess_columns(table)]
    import_rows(readings=read_rows(table, columns), name="parts.csv", by=None)
    again = import_rows(readings=read_rows(table, columns), name="parts.csv", by=None)
    assert (again.counts["to_do"], Part.objects.count()) == (0, 5)


@pytest.mark.parametrize("what", ["parts", "places", "moves"])
def test_each_export_has_the_same_rows_in_both_forms(as_guest, shop, what):
    answer = as_guest.get(f"/export/{what}.csv")
    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8; header=present"
    assert answer.headers["Content-Disposition"].startswith(f'attachment; filename="gusset-{what}-')
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    objects = json.loads(b"".join(as_guest.get(f"/export/{what}.json").streaming_content))
    assert len(rows) == len(objects) == {"parts": 6, "places": 7, "moves": 5}[what]
    assert [neutral(str(o["note"] or "")) for o in objects] == [r["Note"] for r in rows]


def test_an_empty_shop_exports_headings_and_an_empty_list(as_owner):
    assert b"".join(as_owner.get("/export/moves.csv").streaming_content).count(b"\r\n") == 1
    assert json.loads(b"".join(as_owner.get("/export/moves.json").streaming_content)) == []


def test_only_what_there_is_can_be_exported(as_owner):
    assert as_owner.get("/export/secrets.csv").status_code == 404


def test_the_number_of_queries_of_an_export_stays(as_owner, shop, django_assert_max_num_queries):
    with django_assert_max_num_queries(8):
        b"".join(as_owner.get("/export/parts.csv").streaming_content)
    with django_assert_max_num_queries(5):
        b"".join(as_owner.get("/export/moves.csv").streaming_content)

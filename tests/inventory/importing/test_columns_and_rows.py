"""Columns guessed and rows read, on lists like the ones a workshop keeps. Common practice, no source."""

from decimal import Decimal

import pytest

from inventory.importing.calc.columns import guess_columns, headings_key
from inventory.importing.calc.headings import meaning
from inventory.importing.calc.rows import Problem, read_rows, worst_first
from inventory.importing.calc.table import arrange, separate


def table(text):
    return arrange(separate(text)[1])


def guesses(text):
    return [c.field for c in guess_columns(table(text))]


@pytest.mark.parametrize(
    ("heading", "field"),
    [("Qty", "quantity"), ("QUANTITY (pcs)", "quantity"), ("Antall", "quantity"), ("Antal st.", "quantity"),
     ("Menge", "quantity"),
     ("Min. qty", "keep_at_least"), ("Part", "name"), ("Part description", "name"), ("Part No.", "numbers"),
     ("P/N", "numbers"),
     ("Beskrivelse", "name"), ("Stück", "quantity"), ("Where is it?", "place"), ("Storage location", "place"),
     ("Hylle", "shelf"),
     ("Zustand", "condition"), ("Remarks", "note"), ("Off vehicle", "donor"), ("", ""), ("Colour", "")],
)  # fmt: skip
def test_headings_of_several_habits(heading, field):
    assert meaning(heading)[0] == field


def test_a_plain_list_is_guessed_from_its_headings():
    assert guesses("Part;No.;Qty;Where;Cond.;Remarks\nHatch hinge;4-4410-2;2;C1 L2 14;good;left one bent\n") == [
        "name", "numbers", "quantity", "place", "condition", "note"]  # fmt: skip


def test_a_vague_heading_is_settled_by_what_stands_under_it():
    assert guesses("No;Item;Location\n4;Hatch hinge;C1\n2;Pin;C1\n9;Bolt;C2\n") == [
        "quantity",
        "name",
        "place",
    ]
    assert guesses("No;Item;Qty\n4-4410;Hatch hinge;1\n7-1200-A;Pin;1\n") == ["numbers", "name", "quantity"]
    assert guesses("No;Item;Qty\n1;Hatch hinge;1\n2;Pin;5\n3;Bolt;7\n") == ["", "name", "quantity"]


def test_a_list_without_headings_is_guessed_from_its_contents():
    assert guesses("Hatch hinge;2;good;C1 L2 14\nDoor check strap;1;rusty;C1 L2 15\n") == [
        "name", "quantity", "condition", "place"]  # fmt: skip


def test_place_columns_and_a_second_describing_column_are_kept():
    assert guesses("Part,Description,Qty,Container,Rack,Shelf,Bin\nHinge,steel,2,1,left,2,14\n") == [
        "name", "note", "quantity", "container", "rack", "shelf", "bin"]  # fmt: skip


def test_a_guess_says_why_and_shows_up_to_three_different_examples():
    column = guess_columns(table("Part,Qty\nHinge,1\nPin,1\nHinge,2\nBolt,3\nNut,4\n"))[0]
    assert (column.why, column.examples) == ("heading", ("Hinge", "Pin", "Bolt"))


def test_the_same_headings_have_the_same_key():
    assert headings_key(("Part ", "QTY.", "Étage")) == headings_key(("part", "Qty", "etage"))
    assert headings_key(("Part", "Qty")) != headings_key(("Qty", "Part"))


def readings(text):
    parsed = table(text)
    return list(read_rows(parsed, [c.field for c in guess_columns(parsed)]))


def test_a_row_is_read_whole():
    (row,) = readings(
        "Part;Part no;Also called;Qty;Where;Condition;Origin;Side;Min;Note\n"
        "Hatch hinge;4-4410-2;Lid hinge;2 pcs;C1 L2 14;needs work;off the Corvane estate;LH;1;one bent\n"
    )
    assert (row.name, row.numbers, row.other_names) == ("Hatch hinge", ("4-4410-2",), ("Lid hinge",))
    assert (row.quantity.amount, row.unit, len(row.place.steps)) == (2, "pieces", 4)
    assert (row.condition, row.origin, row.donor, row.side) == (
        "repairable",
        "pulled",
        "Corvane estate",
        "left",
    )
    assert (row.keep_at_least, row.note, row.errors, row.remarks) == (Decimal(1), "one bent", (), ())


@pytest.mark.parametrize(
    ("row", "problem"),
    [
        (";2;C1", Problem("name", "missing")),
        ("Hinge;-2;C1", Problem("quantity", "negative", "-2")),
        ("Hinge;see box;C1", Problem("quantity", "unclear", "see box")),
        ("Hinge;2;?", Problem("place", "unclear", "?")),
        ("Hinge;2;", Problem("place", "missing")),
        ("x" * 121 + ";2;C1", Problem("name", "too-long", "x" * 60)),
    ],
)
def test_what_cannot_be_understood_is_named(row, problem):
    assert readings(f"Part;Qty;Where\n{row}\n")[0].errors == (problem,)


def test_words_that_are_not_known_are_kept_in_the_note():
    (row,) = readings("Part;Qty;Where;Condition\nHinge;a few;C1;bit wobbly\n")
    assert [p.code for p in row.remarks] == ["about", "unknown-word"]
    assert row.note == "a few\nbit wobbly"


def test_titles_totals_and_repeated_headings_are_left_out():
    rows = readings("Part;Qty;Where\nBRAKES;;\nHinge;2;C1\nRoof vent;;\n;;\nBody\nPart;Qty;Where\nTotal;2;\n")
    assert [r.left_out for r in rows] == ["title", "", "", "title", "total"]
    rows = readings("Part;Qty;Where;Note\nHinge;2;C1;x\nPart;Qty;Where\n")
    assert [r.left_out for r in rows] == ["", "repeated-heading"]


def test_the_fingerprint_knows_a_row_again_and_tells_equal_rows_apart():
    first = readings("Part;Qty;Where\nHinge;2;C1\nHinge;2;C1\nPin;1;C1\n")
    again = readings("Where;Part;Qty\nC1;HINGE ;5\nC1;Pin;1\nC1;Hinge;2\n")
    assert len({r.fingerprint for r in first}) == 3
    assert {r.fingerprint for r in first} == {r.fingerprint for r in again}


def test_the_worst_rows_come_first():
    rows = readings("Part;Qty;Where\nHinge;2;C1\nPin;a few;C1\nBRAKES;;\nBolt;?;C1\n")
    assert [r.name for r in worst_first(rows)] == ["Bolt", "BRAKES", "Pin", "Hinge"]

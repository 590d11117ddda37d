"""Files as people have them. Outside references: RFC 4180, Python's csv module, the Unicode byte order marks."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.importing.calc.table import OpenQuote, TooWide, arrange, separate
from inventory.importing.calc.text import NotText, decode

LIST = 'Part;Qty;Where\nHatch hinge, left;2;C1 L2 14\nKjølerslange ½";1,5;C1 R1 03\n'


@pytest.mark.parametrize(
    ("encoding", "name"),
    [("utf-8", "UTF-8"), ("utf-8-sig", "UTF-8"), ("utf-16", "UTF-16"), ("utf-16-le", "UTF-16"),
     ("utf-16-be", "UTF-16"), ("windows-1252", "Windows-1252")],
)  # fmt: skip
def test_any_usual_encoding_gives_the_same_text(encoding, name):
    decoded = decode(LIST.encode(encoding))
    assert (decoded.text, decoded.encoding) == (LIST, name)


def test_bytes_that_windows_1252_leaves_unassigned_do_not_stop_it():
    # WHATWG Encoding Standard, index windows-1252: 0x81 is U+0081.
    assert decode(b"caf\xe9 \x81").text == "café \x81"


@pytest.mark.parametrize("data", [b"GIF89a\x00\x00\x01", b"\xff\xfea\x00\x00\x00", bytes(50)])
def test_other_kinds_of_file_are_refused(data):
    with pytest.raises(NotText):
        decode(data)


# RFC 4180 section 2, rules 1, 2 and 5 to 7, with the text of its examples.
@pytest.mark.parametrize(
    ("text", "records"),
    [
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]),
    ],
)
def test_it_reads_what_rfc_4180_defines(text, records):
    assert separate(text) == (",", records)


@pytest.mark.parametrize(
    ("text", "separator"),
    [
        (LIST, ";"),
        (LIST.replace(";", "\t"), "\t"),
        ("Part,Qty,Where\nHinge,2,\"C1, L2, 14\"\n", ","),
        ("sep=;\nPart;Qty\nHinge;2\n", ";"),
        ("Name;Where\nHinge;container, left, shelf 2, bin 14\nPin;container, left, shelf 2, bin 15\n", ";"),
        ("Bolt;1,5\nNut;2,5\n", ";"),
        ("just one column\nand a second row\n", ","),
    ],
)  # fmt: skip
def test_it_finds_the_separator(text, separator):
    assert separate(text)[0] == separator


cells = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12)


@given(st.lists(st.lists(cells, min_size=2, max_size=4), min_size=1, max_size=6), st.sampled_from(",;\t"))
def test_what_the_csv_module_writes_comes_back_cell_for_cell(rows, separator):
    written = io.StringIO()
    writer = csv.writer(written, delimiter=separator, quoting=csv.QUOTE_ALL)
    writer.writerow(["Part", "Qty"])
    writer.writerows(rows)
    assert separate(written.getvalue()) == (separator, [["Part", "Qty"], *rows])


def test_an_open_quotation_mark_is_named_by_its_row():
    with pytest.raises(OpenQuote) as caught:
        separate('Part,Qty\nHinge,2\n"Pin,3\nBolt,4\nNut,5\n')
    assert caught.value.row == 3
    with pytest.raises(OpenQuote):
        separate('Part,Qty\n"Hinge,2')


def test_inch_marks_inside_a_cell_are_just_marks():
    assert separate('Part;Qty\nHose 3/8" heater;2\n')[1][1] == ['Hose 3/8" heater', "2"]


def test_a_row_of_thousands_of_columns_is_refused():
    with pytest.raises(TooWide):
        separate("a," * 300)


def test_titles_above_the_headings_and_empty_rows_are_passed_over():
    table = arrange(separate("My parts,,\n,,\nPart,Qty,Where\n,,\nHinge,2,C1\n,,\n")[1])
    assert table.headings == ("Part", "Qty", "Where")
    assert [(r.number, r.cells) for r in table.rows] == [(5, ("Hinge", "2", "C1"))]
    assert table.heading_row == 3


def test_a_merged_heading_goes_before_each_of_its_columns():
    table = arrange([["What", "", "Where", "", ""], ["Name", "Qty", "Rack", "Shelf", "Bin"], list("abcde")])
    assert table.headings == ("What Name", "What Qty", "Where Rack", "Where Shelf", "Where Bin")


def test_a_table_without_headings_has_all_its_rows():
    table = arrange([["Hinge", "2", "C1 L2 14"], ["Pin", "3", "C1 L2 15"]])
    assert (table.headings, len(table.rows), table.heading_row) == (("", "", ""), 2, 0)


def test_empty_columns_at_the_end_are_dropped_and_short_rows_filled():
    table = arrange([["Part", "Qty", "", ""], ["Hinge"], ["Pin", "2", ""]])
    assert [r.cells for r in table.rows] == [("Hinge", ""), ("Pin", "2")]

"""Files opened: workbooks through openpyxl, and what is refused."""

import io
import zipfile
from datetime import date

import openpyxl
import pytest

from inventory.importing.reading import LARGEST, Unreadable, read_file, read_pasted


def workbook(rows, **sheets):
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for title, more in sheets.items():
        sheet = book.create_sheet(title)
        for row in more:
            sheet.append(row)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def test_a_workbook_reads_like_the_same_list_in_csv():
    rows = [["My parts"], [], ["Part", "Qty", "Where", "Counted"], ["Hinge", 2.0, "C1", date(2026, 11, 9)],
            ["Hose", 1.5, "C1", None],
            ["Wire", 1.255, "C1", None]]  # fmt: skip
    read = read_file(workbook(rows))
    csv = read_file(b"My parts\n\nPart,Qty,Where,Counted\nHinge,2,C1,2026-11-09\nHose,1.5,C1,\nWire,1.2550,C1,\n")
    assert read.table == csv.table


def test_the_fullest_sheet_is_taken_and_named():
    read = read_file(workbook([["Notes"]], Parts=[["Part", "Qty"], ["Hinge", 2]]))
    assert read.how == "XLSX, sheet ‘Parts’ (1 other sheet left out)"


def test_pasted_cells_come_with_tabs():
    assert read_pasted("Part\tQty\nHinge\t2\n").table.rows[0].cells == ("Hinge", "2")


def packed(**files):
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name.replace("__", "/"), data)
    return file.getvalue()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no rows"),
        (b"Part,Qty\n", "no rows"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\x0d", "not a table"),
        (b"\xd0\xcf\x11\xe0" + bytes(100), "old .xls"),
        (b"PK\x03\x04 not really", "damaged"),
        (packed(**{"content.xml": "x"}), "not an XLSX"),
        (packed(**{"xl__workbook.xml": "<broken"}), "damaged"),
        (packed(**{"xl__workbook.xml": "<w/>", "xl__sheet.xml": b"0" * 20_000_000}), "unpacks to far more"),
        (b'Part,Qty\n"Hinge,2\nPin,3\n', "quotation mark opened in row 2"),
        (b"x" * (LARGEST + 1), "larger than 30 MB"),
    ],
    ids=[
        "empty",
        "headings only",
        "picture",
        "xls",
        "cut zip",
        "other zip",
        "broken",
        "bomb",
        "quote",
        "large",
    ],
)
def test_what_is_no_list_is_refused_with_the_reason(data, words):
    with pytest.raises(Unreadable, match=words):
        read_file(data)

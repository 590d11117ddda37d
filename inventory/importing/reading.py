"""A file or pasted text, as a table. The one place that opens spreadsheets, and that words what is wrong with one."""

import io
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from itertools import islice

from .calc.table import MAX_COLUMNS, OpenQuote, Table, TooWide, arrange, separate
from .calc.text import NotText, decode

LARGEST = 30 * 1024 * 1024
MOST_ROWS = 200_000
# An honest sheet packs 10 to 40 times; one that unpacks further is refused before anything is unpacked.
MOST_PACKED = 200
MOST_UNPACKED = 400 * 1024 * 1024
_SEPARATOR_NAMES = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}


class Unreadable(ValueError):
    """The file cannot be read as a table; the text says why and what to do."""


@dataclass(frozen=True, slots=True)
class Read:
    table: Table
    how: str  # for the person: 'CSV, UTF-8, semicolons'


def read_file(data: bytes) -> Read:
    """The table in the bytes of a CSV or XLSX file. Raises Unreadable."""
    if len(data) > LARGEST:
        raise Unreadable("The file is larger than 30 MB. Split it into several and bring them one by one.")
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        raise Unreadable("This is an old .xls workbook. Save it as .xlsx or as CSV and choose that file.")
    if data.startswith(b"PK"):
        return _read_workbook(data)
    try:
        decoded = decode(data)
    except NotText:
        raise Unreadable("This is not a table. Choose a CSV or XLSX file.") from None
    return _read_text(decoded.text, decoded.encoding)


def read_pasted(text: str) -> Read:
    """The table in text copied from a spreadsheet or typed. Raises Unreadable."""
    if len(text) > LARGEST:
        raise Unreadable("That is more than 30 MB of text. Bring it as a file, in several pieces.")
    return _read_text(text, "")


def _read_text(text: str, encoding: str) -> Read:
    try:
        separator, records = separate(text)
    except OpenQuote as error:
        raise Unreadable(
            f"A quotation mark opened in row {error.row} is never closed. Close it or take it out."
        ) from None
    except TooWide:
        raise Unreadable(f"A row has more than {MAX_COLUMNS} columns. Is this a list of parts?") from None
    kind = f"CSV, {encoding}" if encoding else "Pasted"
    how = f"{kind}, {_SEPARATOR_NAMES.get(separator, separator)}"
    return Read(_arranged(records), how)


def _arranged(records) -> Table:
    table = arrange(records)
    if not table.rows:
        raise Unreadable("There are no rows in it. The list needs at least one row with a part.")
    if len(table.rows) > MOST_ROWS:
        raise Unreadable(f"It has more than {MOST_ROWS:,} rows. Split it into several.")
    return table


def _read_workbook(data: bytes) -> Read:
    import openpyxl  # 0.2 s that only a workbook should cost

    _refuse_bomb(data)
    try:
        book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        sheets = [s for s in book.worksheets if s.sheet_state == "visible"]
        tables = [(s.title, list(_sheet_rows(s))) for s in sheets]
    except Unreadable:
        raise
    except Exception as error:  # openpyxl raises whatever its parsing met: KeyError, ValueError, ParseError …
        raise Unreadable(
            "The workbook is damaged or is not an XLSX. Open it, save it again as XLSX or CSV, choose that."
        ) from error
    filled = [(title, rows) for title, rows in tables if any(any(r) for r in rows)]
    if not filled:
        raise Unreadable("The workbook has no visible sheet with rows in it.")
    title, rows = max(filled, key=lambda pair: sum(1 for r in pair[1] if any(r)))
    others = len(filled) - 1
    how = f"XLSX, sheet ‘{title}’" + (f" ({others} other sheet{'s' * (others > 1)} left out)" if others else "")
    return Read(_arranged(rows), how)


def _sheet_rows(sheet) -> Iterator[list[str]]:
    sheet.reset_dimensions()  # what a file says about its own size is often wrong
    for row in islice(sheet.iter_rows(values_only=True), MOST_ROWS * 2):
        if len(row) > MAX_COLUMNS and any(v is not None for v in row[MAX_COLUMNS:]):
            raise Unreadable(f"A row has more than {MAX_COLUMNS} columns. Is this a list of parts?")
        yield [_cell(value) for value in row[:MAX_COLUMNS]]


def _cell(value) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case float():
            return _number(value)
        case datetime():
            return value.date().isoformat() if value.time() == time() else value.isoformat(" ", "minutes")
        case date() | time():
            return value.isoformat()
        case _:
            return str(value)


def _number(value: float) -> str:
    """As digits. Never with just three decimals: in text '1.255' could also be a thousand."""
    if value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    digits = repr(round(value, 9))
    return f"{digits}0" if "e" not in digits and len(digits.partition(".")[2]) == 3 else digits


def _refuse_bomb(data: bytes) -> None:
    try:
        entries = zipfile.ZipFile(io.BytesIO(data)).infolist()
    except zipfile.BadZipFile:
        raise Unreadable("The workbook is damaged. Open it, save it again and choose that file.") from None
    names = {e.filename for e in entries}
    if "xl/workbook.xml" not in names:
        raise Unreadable("This is a packed file, but not an XLSX workbook. Choose a CSV or XLSX file.")
    unpacked = sum(e.file_size for e in entries)
    suspicious = any(e.file_size > 1_000_000 and e.file_size > MOST_PACKED * e.compress_size for e in entries)
    if suspicious or unpacked > MOST_UNPACKED or len(entries) > 5000:
        raise Unreadable("The workbook unpacks to far more than a list of parts would. It was not opened.")

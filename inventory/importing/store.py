"""The rows of a list between its steps: one CSV file a list in the data folder, so that a workbook is opened once."""

import csv
import time
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings

from .calc.rows import Reading, read_rows
from .calc.table import Row, Table
from .models import Import

KEPT_FOR = 7 * 24 * 3600  # seconds that a list may wait to be brought in


class Gone(Exception):
    """The rows were thrown away; the list has to be chosen again."""


def _folder() -> Path:
    folder = Path(settings.DATA_DIR) / "imports"
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder


def _path(source: Import) -> Path:
    return _folder() / f"{source.pk}.csv"


def keep(source: Import, table: Table) -> None:
    with _path(source).open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow([table.heading_row, *table.headings])
        writer.writerows([row.number, *row.cells] for row in table.rows)


def table_of(source: Import) -> Table:
    """Raises Gone."""
    try:
        with _path(source).open(newline="", encoding="utf-8") as file:
            rows = csv.reader(file)
            heading_row, *headings = next(rows)
            body = tuple(Row(int(number), tuple(cells)) for number, *cells in rows)
    except (OSError, StopIteration, ValueError) as error:
        raise Gone from error
    return Table(tuple(headings), body, int(heading_row))


def readings_of(source: Import) -> Iterator[Reading]:
    """Raises Gone."""
    return read_rows(table_of(source), source.columns)


def forget(source: Import) -> None:
    _path(source).unlink(missing_ok=True)


def sweep() -> None:
    """Rows of lists that nobody brought in for a week."""
    for path in _folder().glob("*.csv"):
        if path.stat().st_mtime < time.time() - KEPT_FOR:
            path.unlink(missing_ok=True)

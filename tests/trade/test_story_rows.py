"""A story's table is RFC 4180 CSV, and comes back as it was. Reference: Python's csv, default dialect."""

import csv
import io
import re

import pytest

from buildlog.telling import actions
from buildlog.telling.calc.commonmark import plain
from tests.buildlog.telling.hostile import HOSTILE
from tests.buildlog.telling.shop import Nights

pytestmark = pytest.mark.django_db


def test_the_table_of_a_story_is_rfc_4180(owner, as_owner):
    nights = Nights(owner)
    story = actions.make(build=nights.build, by=owner, takes="nights", sessions=nights.sessions)
    actions.write(piece=story.pieces.get(entry=nights.binds), text='He said "shim it", twice,\nand left')
    raw = b"".join(as_owner.get(f"/tell/{story.pk}/story.csv").streaming_content).decode("utf-8-sig")
    # RFC 4180, 2: lines end in CRLF (1, 2); a field with a quote, a comma or a line break is quoted (6), quotes doubled
    # (7), and each line has the same number of fields (4).
    assert '"He said ""shim it"", twice,\nand left"' in raw
    assert raw.endswith("\r\n")
    table = list(csv.reader(io.StringIO(raw, newline="")))
    assert table[0] == ["At", "Under", "Kind", "Text", "Measure", "Who", "Pictures"]
    assert {len(row) for row in table} == {7}
    assert table[1][3] == 'He said "shim it", twice,\nand left'
    assert not re.search(r"(?<!\r)\n(?=\d{4}-)", raw)


@pytest.mark.parametrize("text", HOSTILE)
def test_no_cell_is_run_by_a_spreadsheet(owner, as_owner, text):
    nights = Nights(owner)
    story = actions.make(build=nights.build, by=owner, takes="nights", sessions=nights.sessions[:1])
    actions.write(piece=story.pieces.get(entry=nights.binds), text=text)
    raw = b"".join(as_owner.get(f"/tell/{story.pk}/story.csv").streaming_content).decode("utf-8-sig")
    row = next(row for row in list(csv.reader(io.StringIO(raw, newline="")))[1:] if row[6])
    assert not row[3].startswith(("=", "+", "-", "@", "\t", "\r"))
    assert plain(row[3].lstrip("'")).split() == plain(text.lstrip("'")).split()

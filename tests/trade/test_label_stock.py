"""Sheets of labels by their dimensions (common practice, no standard); A4 is ISO 216, Letter 8.5 x 11 in."""

import pytest

from inventory.labels.calc.stock import PLACARDS, SHEETS, STOCK, TAGS, TAPES, pages, readable_from

INCH = 25.4
# columns, rows, width, height, gap, left, top; inches for Letter, mm for A4
LETTER = [
    (3, 10, 2.625, 1.0, 0.125, 0.1875, 0.5),
    (2, 10, 4.0, 1.0, 0.1875, 0.15625, 0.5),
    (2, 7, 4.0, 1.3333, 0.1875, 0.15625, 0.8333),
    (2, 5, 4.0, 2.0, 0.1875, 0.15625, 0.5),
    (2, 3, 4.0, 3.3333, 0.1875, 0.15625, 0.5),
    (4, 20, 1.75, 0.5, 0.30, 0.30, 0.5),
]
A4 = [
    (3, 7, 63.5, 38.1, 2.5, 7.25, 15.15),
    (3, 8, 63.5, 33.9, 2.5, 7.25, 12.9),
    (5, 13, 38.1, 21.2, 2.5, 4.75, 10.7),
    (2, 7, 99.1, 38.1, 2.5, 4.65, 15.15),
    (2, 4, 99.1, 67.7, 2.5, 4.65, 13.1),
    (3, 4, 63.5, 72.0, 2.5, 7.25, 4.5),
    (3, 8, 70, 37, 0, 0, 0.5),
]


def test_every_sheet_of_the_table_is_offered_with_its_dimensions():
    table = [("A4", *row) for row in A4] + [
        ("Letter", *row[:2], *(round(value * INCH, 2) for value in row[2:])) for row in LETTER
    ]
    ours = [(s.paper, s.cols, s.rows, *(round(v, 2) for v in (s.w, s.h, s.gap_x, s.left, s.top))) for s in SHEETS]
    assert sorted(ours) == sorted(table)


@pytest.mark.parametrize("stock", [*SHEETS, *TAGS, *PLACARDS], ids=lambda s: s.key)
def test_margins_labels_and_gaps_close_on_the_sheet(stock):
    assert 2 * stock.left + stock.cols * stock.w + (stock.cols - 1) * stock.gap_x == pytest.approx(
        stock.page_w, abs=0.06
    )
    assert 2 * stock.top + stock.rows * stock.h + (stock.rows - 1) * stock.gap_y == pytest.approx(
        stock.page_h, abs=0.06
    )


def test_tapes_are_12_24_and_62_mm_wide():
    assert [tape.h for tape in TAPES] == [12, 24, 62]


def test_a_nudge_moves_every_cell_by_the_same():
    sheet = STOCK["a4-3x7-63.5x38.1"]
    plain, moved = sheet.cell(4), sheet.cell(4, 0.8, -0.5)
    assert (plain.x, plain.y) == pytest.approx((7.25 + 66, 15.15 + 38.1))
    assert (moved.x - plain.x, moved.y - plain.y) == pytest.approx((0.8, -0.5))


def test_a_part_used_sheet_goes_on_at_the_chosen_cell_and_runs_over_to_a_whole_one():
    sheet = STOCK["a4-2x4-99.1x67.7"]
    assert pages(4, sheet, start=6) == [[6, 7], [0, 1]]
    assert pages(8, sheet) == [[0, 1, 2, 3, 4, 5, 6, 7]]
    assert pages(0, sheet) == []


def test_capitals_of_25_mm_read_from_five_metres():
    """200 : 1, common practice, no standard."""
    assert readable_from(25) == pytest.approx(5)

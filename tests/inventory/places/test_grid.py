"""Numbering of cells. Worked by hand from the picture of the grid; common practice, no published source."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from inventory.places.calc.grid import (
    ALONG,
    CORNERS,
    GridError,
    Numbering,
    Row,
    Span,
    even_rows,
    number_cells,
    row_labels,
    row_letter,
)


def picture(rows, numbering, **more):
    """The labels as seen, one text a row; a joined cell is written once, an unused one in brackets."""
    lines = [[] for _ in rows]
    for cell in sorted(number_cells(rows, numbering, **more), key=lambda c: (c.row, c.col)):
        lines[cell.row].append(f"({cell.label})" if cell.unused else cell.label)
    return [" ".join(line) for line in lines]


@pytest.mark.parametrize(
    ("numbering", "seen"),
    [
        (Numbering(), ["1 2 3", "4 5 6"]),
        (Numbering("top-right"), ["3 2 1", "6 5 4"]),
        (Numbering("bottom-left"), ["4 5 6", "1 2 3"]),
        (Numbering("bottom-right"), ["6 5 4", "3 2 1"]),
        (Numbering(along="column"), ["1 3 5", "2 4 6"]),
        (Numbering("top-right", "column"), ["5 3 1", "6 4 2"]),
        (Numbering("bottom-left", "column"), ["2 4 6", "1 3 5"]),
        (Numbering("bottom-right", "column"), ["6 4 2", "5 3 1"]),
        (Numbering(restart=True), ["1 2 3", "1 2 3"]),
        (Numbering("top-right", "column", restart=True), ["1 1 1", "2 2 2"]),
        (Numbering(style="letters"), ["A1 A2 A3", "B1 B2 B3"]),
        (Numbering("bottom-right", style="letters"), ["B3 B2 B1", "A3 A2 A1"]),
        (Numbering(digits=2), ["01 02 03", "04 05 06"]),
        (Numbering(first=9, digits=2), ["09 10 11", "12 13 14"]),
    ],
)
def test_numbers_run_from_any_corner_either_way(numbering, seen):
    assert picture(even_rows(2, 3), numbering) == seen


def test_fourteen_of_a_rack_of_three_by_eight_is_the_sixth_on_the_second_shelf():
    cell = next(c for c in number_cells(even_rows(3, 8), Numbering()) if c.label == "14")
    assert (cell.row, cell.col) == (1, 5)


def test_rows_may_differ_in_length_and_numbering():
    rows = (Row(4), Row(2), Row(3, first=21), Row(3, first=31, backwards=True))
    assert picture(rows, Numbering()) == ["1 2 3 4", "5 6", "21 22 23", "33 32 31"]
    assert picture(rows[:2], Numbering(along="column")) == ["1 3 5 6", "2 4"]


def test_joining_and_leaving_out_renumbers_nobody():
    seen = picture(even_rows(2, 4), Numbering(), joined=[Span(0, 1, 1, 2)], unused=[(1, 3)])
    assert seen == ["1 2 4", "5 6 7 (8)"]


def test_a_joined_cell_carries_the_number_that_comes_first():
    assert picture(even_rows(2, 2), Numbering("bottom-right"), joined=[Span(0, 0, 2, 1)]) == ["2 3", "1"]


@pytest.mark.parametrize(
    ("rows", "numbering", "more", "reason"),
    [
        ((), Numbering(), {}, "size"),
        ((Row(-1),), Numbering(), {}, "size"),
        ((Row(61),), Numbering(), {}, "size"),
        ((Row(2), Row(3)), Numbering(), {"joined": [Span(0, 0, 2, 1)]}, "ragged"),
        ((Row(2),), Numbering(), {"joined": [Span(0, 1, 1, 2)]}, "outside"),
        ((Row(3),), Numbering(), {"joined": [Span(0, 0, 1, 2), Span(0, 1, 1, 2)]}, "overlap"),
        ((Row(3),), Numbering(), {"joined": [Span(0, 0, 1, 2)], "unused": [(0, 1)]}, "overlap"),
        ((Row(3),), Numbering(), {"unused": [(0, 3)]}, "outside"),
        ((Row(3), Row(3, first=2)), Numbering(), {}, "twice"),
        ((Row(3, first=2),), Numbering(along="column"), {}, "numbering"),
    ],
)
def test_what_cannot_be_is_refused_by_reason(rows, numbering, more, reason):
    with pytest.raises(GridError) as refused:
        number_cells(rows, numbering, **more)
    assert refused.value.reason == reason


def test_an_unknown_corner_is_refused():
    with pytest.raises(GridError):
        Numbering(corner="middle")


def test_row_letters_leave_out_those_that_read_as_figures():
    assert "".join(row_letter(n) for n in range(24)) == "ABCDEFGHJKLMNPQRSTUVWXYZ"
    assert [row_letter(n) for n in (24, 25, 47, 48)] == ["AA", "AB", "AZ", "BA"]


def test_shelves_are_counted_from_the_corner():
    assert row_labels(3, Numbering()) == ("1", "2", "3")
    assert row_labels(3, Numbering("bottom-right")) == ("3", "2", "1")
    assert row_labels(2, Numbering(style="letters")) == ("A", "B")


numberings = st.builds(
    Numbering,
    corner=st.sampled_from(CORNERS),
    along=st.sampled_from(ALONG),
    restart=st.booleans(),
    style=st.sampled_from(["numbers", "letters"]),
    digits=st.integers(1, 3),
)
grids = st.lists(st.integers(1, 9).map(Row), min_size=1, max_size=7).map(tuple)


@st.composite
def spans(draw, rows):
    """Some rectangles in the grid that may or may not be possible."""
    made = []
    for _ in range(draw(st.integers(0, 3))):
        row = draw(st.integers(0, len(rows) - 1))
        col = draw(st.integers(0, rows[row].cols - 1))
        made.append(Span(row, col, draw(st.integers(1, 3)), draw(st.integers(1, 3))))
    return made


@given(grids, numberings)
def test_no_two_cells_share_a_label_where_it_is_an_address(rows, numbering):
    cells = number_cells(rows, numbering)
    lettered = numbering.style == "letters"
    row_counts = numbering.restart and numbering.along == "row" and not lettered
    col_counts = numbering.restart and numbering.along == "column" and not lettered
    scope = [(c.row if row_counts else c.col if col_counts else 0, c.label) for c in cells]
    assert len(set(scope)) == sum(row.cols for row in rows)


@given(st.data(), grids, numberings)
def test_cells_tile_the_grid_and_joining_changes_no_other_label(data, rows, numbering):
    joined = data.draw(spans(rows))
    try:
        cells = number_cells(rows, numbering, joined=joined)
    except GridError:
        assume(False)
    squares = [square for c in cells for square in Span(c.row, c.col, c.rows, c.cols).squares()]
    assert sorted(squares) == [(r, c) for r, row in enumerate(rows) for c in range(row.cols)]
    before = {(c.row, c.col): c.label for c in number_cells(rows, numbering)}
    for cell in cells:
        covered = Span(cell.row, cell.col, cell.rows, cell.cols).squares()
        assert cell.label in {before[square] for square in covered}
        assert len(covered) > 1 or cell.label == before[covered[0]]

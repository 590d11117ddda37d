"""Drawings: what they keep whatever is drawn. Checked against the definition of overlap; no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.places.calc.drawing import Thing, fit, front, plan


def overlap(a, b):
    return (
        a.x < b.x + b.width - 0.01
        and b.x < a.x + a.width - 0.01
        and a.y < b.y + b.height - 0.01
        and b.y < a.y + a.height - 0.01
    )


def stays_apart_and_inside(drawing):
    for number, box in enumerate(drawing.boxes):
        assert box.width > 0
        assert box.height > 0
        assert box.x >= 0
        assert box.y >= 0
        assert box.x + box.width <= drawing.width + 0.01
        assert box.y + box.height <= drawing.height + 0.01
        assert not any(overlap(box, other) for other in drawing.boxes[number + 1 :])


def cells(row_cols):
    return [Thing((r, c), f"{r}{c}", r, c) for r, cols in enumerate(row_cols) for c in range(cols)]


@given(st.lists(st.integers(1, 20), min_size=1, max_size=12))
def test_cells_of_a_front_stay_apart_and_inside(row_cols):
    drawing = front(cells(row_cols), row_cols, shelves=True)
    assert len(drawing.boxes) == sum(row_cols)
    assert len(drawing.lines) == len(row_cols) - 1
    stays_apart_and_inside(drawing)


@given(
    st.lists(st.sampled_from(["left", "right", "back", "front", ""]), max_size=14),
    st.booleans(),
)
def test_places_of_a_plan_stay_apart_and_inside(sides, door):
    drawing = plan([Thing(n, f"R{n}", side=side) for n, side in enumerate(sides)], door=door)
    assert sorted(box.ref for box in drawing.boxes) == list(range(len(sides)))
    stays_apart_and_inside(drawing)


def test_a_joined_cell_is_as_wide_as_the_cells_it_covers():
    alone, joined = (front([Thing(1, "1", 0, 0, 1, n)], [8], shelves=False).boxes[0] for n in (1, 2))
    assert joined.width == pytest.approx(2 * alone.width + 6, abs=0.05)


def test_racks_stand_where_they_are_said_to_stand():
    boxes = {box.ref: box for box in plan([Thing(s, s, side=s) for s in ("left", "right", "back")], door=True).boxes}
    assert boxes["left"].x < boxes["right"].x
    assert boxes["back"].y < boxes["left"].y


def test_nothing_stands_in_the_doorway():
    drawing = plan([Thing("bench", "B", side="front")], door=True)
    assert drawing.boxes[0].x + drawing.boxes[0].width <= drawing.gap.x1


def test_a_cell_is_never_too_small_for_a_finger():
    drawing = front(cells([8] * 12), [8] * 12, shelves=False)
    assert drawing.height / 12 >= 24


@pytest.mark.parametrize(
    ("text", "width", "written"), [("14", 40, "14"), ("Lathe bench", 40, "Lathe …"), ("Lathe bench", 8, "")]
)
def test_text_shrinks_then_is_cut_to_stay_in_its_box(text, width, written):
    shown, size = fit(text, width, 30, most=19)
    assert shown == written
    assert len(shown) * size * 0.58 <= width + 0.01

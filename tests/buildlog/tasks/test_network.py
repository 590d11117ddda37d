from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from buildlog.tasks.calc.network import BOX_HEIGHT, BOX_WIDTH, Drawing, draw, plain_needs


@st.composite
def plans(draw):
    """Plans without a circle: a task needs only earlier ones."""
    count = draw(st.integers(0, 12))
    return {id: sorted(draw(st.sets(st.integers(0, id - 1), max_size=4))) if id else [] for id in range(count)}


def reachable(needs, task):
    found = set()
    stack = list(needs[task])
    while stack:
        need = stack.pop()
        if need not in found:
            found.add(need)
            stack += needs[need]
    return found


def test_a_need_that_follows_from_others_is_not_drawn():
    assert plain_needs([1, 2, 3], {3: [1, 2], 2: [1]}) == {1: (), 2: (1,), 3: (2,)}


def test_a_line_over_two_columns_bends_in_between():
    drawing = draw([1, 2, 3, 4], {2: [1], 3: [2], 4: [3], 5: [1]} | {4: [3, 6], 6: []})
    assert len(drawing.boxes) == 4
    long = draw([1, 2, 3, 4, 5], {2: [1], 3: [2], 4: [3, 5]})
    (arrow,) = [arrow for arrow in long.arrows if arrow.need == 5]
    assert arrow.path.count("C") == 3
    assert arrow.path.count("H") == 2


def test_tasks_that_hang_together_with_none_are_not_drawn():
    assert draw([1, 2], {}) == Drawing(0, 0, (), ())
    assert {box.task for box in draw([1, 2, 3], {2: [1]}).boxes} == {1, 2}


@given(plans())
def test_what_can_be_reached_stays_the_same_with_fewer_lines(needs):
    plain = plain_needs(needs, needs)
    for task in needs:
        assert reachable(plain, task) == reachable(needs, task)
        for need in plain[task]:
            others = {other: [n for n in own if (other, n) != (task, need)] for other, own in plain.items()}
            assert need not in reachable(others, task)


@given(plans())
def test_needs_stand_to_the_left_and_no_two_boxes_touch(needs):
    drawing = draw(needs, needs)
    at = {box.task: box for box in drawing.boxes}
    for arrow in drawing.arrows:
        assert at[arrow.need].x + BOX_WIDTH < at[arrow.task].x
        end = f"{at[arrow.task].x} {at[arrow.task].y + BOX_HEIGHT // 2}"
        assert arrow.path.endswith(end)
    for one, other in combinations(drawing.boxes, 2):
        assert abs(one.x - other.x) >= BOX_WIDTH or abs(one.y - other.y) >= BOX_HEIGHT
    for box in drawing.boxes:
        assert 0 <= box.x <= drawing.width - BOX_WIDTH
        assert 0 <= box.y <= drawing.height - BOX_HEIGHT

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.tasks.calc.circle import circle_made_by, find_circle, work_order


def test_a_circle_is_spelled_out_from_the_task_that_asks():
    needs = {"hang": ["weld"], "weld": ["mill"], "mill": ["saw"]}
    assert circle_made_by("saw", "hang", needs) == ("saw", "hang", "weld", "mill", "saw")
    assert circle_made_by("hang", "saw", needs) == ()
    assert circle_made_by("saw", "saw", needs) == ("saw", "saw")


def test_the_shortest_circle_is_the_one_told():
    needs = {1: [2, 5], 2: [3], 3: [4], 4: [], 5: [4]}
    assert circle_made_by(4, 1, needs) == (4, 1, 5, 4)


graphs = st.dictionaries(st.integers(0, 7), st.lists(st.integers(0, 7), max_size=4, unique=True), max_size=8)


def distances(needs):
    """Steps from each to each by the all-pairs method of Floyd and Warshall (1962)."""
    steps = {(a, b): 1 if b in needs.get(a, ()) else math.inf for a in range(8) for b in range(8)}
    steps |= {(a, a): 0 for a in range(8)}
    for via in range(8):
        for a in range(8):
            for b in range(8):
                steps[a, b] = min(steps[a, b], steps[a, via] + steps[via, b])
    return steps


@given(graphs)
def test_it_finds_a_circle_exactly_when_there_is_one(needs):
    circle = find_circle(needs)
    steps = distances(needs)
    assert bool(circle) == any(steps[need, task] < math.inf for task, all_needs in needs.items() for need in all_needs)
    assert all(after in needs[task] for task, after in zip(circle, circle[1:], strict=False))
    assert circle[:1] == circle[-1:]


@given(graphs, st.integers(0, 7), st.integers(0, 7))
def test_a_need_makes_a_circle_exactly_when_there_is_a_path_back(needs, task, need):
    back = distances(needs)[need, task]
    circle = circle_made_by(task, need, needs)
    assert bool(circle) == (back < math.inf)
    if circle:
        assert len(circle) - 1 == back + 1


@given(graphs)
def test_the_order_of_work_puts_every_need_first(needs):
    if find_circle(needs):
        with pytest.raises(ValueError, match="cycle"):
            work_order(needs)
        return
    order = work_order(needs)
    place = {task: index for index, task in enumerate(order)}
    assert all(place[need] < place[task] for task, all_needs in needs.items() for need in all_needs)

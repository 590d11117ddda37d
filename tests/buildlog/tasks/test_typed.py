from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.tasks.calc.typed import Problem, key, parse

WORKED = """\
Side hatch:
Hang the hatch 2-3h
  Weld hatch hinges 1-2-4h
    Mill hinge blocks
      Saw hinge blocks, 4 2h
  Fit gas strut brackets 1h

Oven bay:
- [x] Strip the floor
- Weld the frame after: Strip the floor, Saw hinge blocks, 4
Fit the counter (after: hang the hatch; Fit the seats)
"""


def test_a_pasted_list_becomes_tasks_with_areas_hours_and_needs():
    typed = parse(WORKED, {key("Fit the seats"): (77,)})
    assert typed.problems == ()
    assert [(one.line, one.area, one.title, one.needs, one.needs_known) for one in typed.lines] == [
        (2, "Side hatch", "Hang the hatch", (3, 6), ()),
        (3, "Side hatch", "Weld hatch hinges", (4,), ()),
        (4, "Side hatch", "Mill hinge blocks", (5,), ()),
        (5, "Side hatch", "Saw hinge blocks, 4", (), ()),
        (6, "Side hatch", "Fit gas strut brackets", (), ()),
        (9, "Oven bay", "Strip the floor", (), ()),
        (10, "Oven bay", "Weld the frame", (9, 5), ()),
        (11, "Oven bay", "Fit the counter", (2,), (77,)),
    ]
    assert [one.done for one in typed.lines] == [False] * 5 + [True] + [False] * 2
    assert [one.hours for one in typed.lines[:5]] == [
        (Decimal(2), None, Decimal(3)),
        (Decimal(1), Decimal(2), Decimal(4)),
        (None, None, None),
        (None, Decimal(2), None),
        (None, Decimal(1), None),
    ]


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        ("Hang after: Weeld", [Problem(1, "unknown", ("Weeld",))]),
        ("Weld\nWeld\nHang after: weld", [Problem(3, "ambiguous", ("weld",))]),
        ("Weld left\nWeld right\nHang after: Weld", [Problem(3, "ambiguous", ("Weld",))]),
        ("Hang\n  Weld after: Hang", [Problem(1, "circle", ("Hang", "Weld", "Hang"))]),
        ("Hang after: Hang", [Problem(1, "circle", ("Hang", "Hang"))]),
        ("Weld 3-1h", [Problem(1, "hours", ("Weld",))]),
        ("x" * 121, [Problem(1, "long", ("x" * 121,))]),
        ("Weld -3h", [Problem(1, "below", ("Weld -3h",))]),
        ("Weld −30min", [Problem(1, "below", ("Weld −30min",))]),
        ("x" * 61 + ":\nSaw\nWeld", [Problem(2, "area", ("x" * 61,))]),
        ("Weld\nHang after: weld", []),
        ("Weld hatch hinges\nHang after: weld h", []),
        ("Weld\n\n\t\n", []),
    ],
)
def test_it_says_which_line_it_cannot_take_and_why(text, problems):
    assert list(parse(text).problems) == problems


def test_a_circle_is_told_in_the_order_of_needing():
    (problem,) = parse("A\n  B\n    C after: A").problems
    circle = problem.words
    assert set(zip(circle, circle[1:], strict=False)) == {("A", "B"), ("B", "C"), ("C", "A")}


def test_hours_are_only_read_with_an_h():
    (line,) = parse("Drill 4 holes 8").lines
    assert (line.title, line.hours) == ("Drill 4 holes 8", (None, None, None))
    (line,) = parse("Cut the sill 1,5 hours").lines
    assert (line.title, line.hours) == ("Cut the sill", (None, Decimal("1.5"), None))


@pytest.mark.parametrize(
    ("typed", "hours"), [("30min", "0.5"), ("20 minutes", "0.33"), ("1h 30 min", "1.5"), ("2h15min", "2.25")]
)
def test_minutes_are_read_as_hours(typed, hours):
    (line,) = parse(f"Deburr the sill {typed}").lines
    assert (line.title, line.hours) == ("Deburr the sill", (None, Decimal(hours), None))


def test_it_says_which_titles_there_are_already():
    typed = parse("Weld\nsaw\nWELD\nHang", {key("Saw"): (7,)})
    assert typed.problems == ()
    assert typed.again == ("Weld", "saw")


def test_a_tab_indents_like_four_spaces_and_a_step_back_closes():
    typed = parse("A\n\tB\n        C\n    D\nE")
    assert [line.needs for line in typed.lines] == [(2, 4), (3,), (), (), ()]


@given(st.text(max_size=200))
def test_no_text_breaks_it_and_needs_name_real_lines(text):
    typed = parse(text)
    lines = {line.line for line in typed.lines}
    assert all(set(line.needs) <= lines for line in typed.lines)
    assert all(line.title == line.title.strip() != "" for line in typed.lines)

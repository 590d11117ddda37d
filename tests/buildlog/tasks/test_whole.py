"""A split and a join are undone to the last line, as long as nothing has happened since."""

from datetime import timedelta
from decimal import Decimal

import pytest
from bs4 import BeautifulSoup
from django.utils import timezone

from buildlog.tasks import actions, linking, whole
from buildlog.tasks.models import Change, Need, Provision, Task
from buildlog.worklog import actions as log
from tests.factories import make_build, make_decision, make_part, make_place, make_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(db):
    return make_build("HB-64", areas=("Side hatch",))


@pytest.fixture
def web(build):
    """A task with something of everything, and its neighbours."""
    before, after, later = (make_task(title, build=build) for title in ("Saw", "Hang", "Paint"))
    bolts, pin = make_part("M8×25", holds={make_place(): 20}), make_part("Pin")
    weld = make_task(
        "Weld hinges", build=build, area=build.areas.get(), needs=[before], uses={bolts: 4, pin: 1}, words=("Shim",),
        decisions=[make_decision(build)], detail="Tack first", hours_low=Decimal("1.5"), hours_high=4, wait_hours=12,
        cautions=["dust"],
    )  # fmt: skip
    Need.objects.create(task=after, need=weld)
    Provision.objects.create(task=weld, later=later, words="Four holes", kept_at=timezone.now())
    other = make_task("Grind hinges", build=build, uses={bolts: 3}, needs=[before], words=("Disc",))
    Need.objects.create(task=later, need=other)
    return weld, other


def everything(build) -> dict:
    return whole.take(list(build.tasks.values_list("pk", flat=True)))


def test_a_split_is_undone_to_the_last_line(build, web):
    before = everything(build)
    change = linking.split(task=web[0], titles=["Tack", "Weld out", "Dress"], in_turn=True, by=None)
    assert build.tasks.count() == 7
    actions.undo(change=change)
    assert everything(build) == before
    actions.undo(change=Change.objects.get(pk=change.pk))
    assert everything(build) == before


def test_a_join_is_undone_to_the_last_line(build, web):
    before = everything(build)
    change = linking.join(keep=web[0], other=web[1], by=None)
    assert everything(build) != before
    actions.undo(change=change)
    assert everything(build) == before


def test_it_is_undone_from_what_the_page_offers(as_hand, build, web):
    before = everything(build)
    page = as_hand.post(f"/tasks/{web[0].pk}/join/", {"other": web[1].pk}, follow=True)
    undo = BeautifulSoup(page.content, "html.parser").select_one(".flash form")["action"]
    as_hand.post(undo)
    assert everything(build) == before
    page = as_hand.post(f"/tasks/{web[0].pk}/split/", {"titles": "Tack\nWeld out", "in_turn": ""}, follow=True)
    as_hand.post(BeautifulSoup(page.content, "html.parser").select_one(".flash form")["action"])
    assert everything(build) == before


@pytest.mark.parametrize("since", ["finished", "renamed", "a need", "a part"])
def test_what_was_changed_since_is_not_thrown_away(build, web, since):
    change = linking.split(task=web[0], titles=["Tack", "Weld out"], in_turn=False, by=None)
    piece = Task.objects.get(title="Weld out")
    match since:
        case "finished":
            actions.finish(task=piece, by=None)
        case "renamed":
            Task.objects.filter(pk=piece.pk).update(title="Weld all")
        case "a need":
            linking.add_need(task=piece, need=web[1])
        case _:
            piece.parts.create(words="Gas")
    before = everything(build)
    with pytest.raises(actions.CannotUndo, match="changed again"):
        actions.undo(change=change)
    assert everything(build) == before


def test_a_task_that_stands_in_the_log_does_not_go_with_an_undo(build, owner):
    change = actions.add_typed(build=build, lines=_lines("Fit the catch"), area=None, by=owner)
    task = Task.objects.get(title="Fit the catch")
    session = log.start(build=build, by=owner, at=timezone.now() - timedelta(hours=1))
    log.stop(session=session, at=timezone.now(), minutes={task: 30})
    with pytest.raises(actions.CannotUndo, match="in the log already"):
        actions.undo(change=change)
    assert session.times.get().task == task


def _lines(text):
    from buildlog.tasks.calc.typed import parse

    return parse(text).lines

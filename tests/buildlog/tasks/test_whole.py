"""A split and a join are undone to the last line, as long as nothing has happened since."""

import uuid
from datetime import timedelta
from decimal import Decimal

import pytest
from bs4 import BeautifulSoup
from django.core.exceptions import ValidationError
from django.utils import timezone

from buildlog.tasks import actions, linking, whole
from buildlog.tasks.models import Change, Need, Provision, Task
from buildlog.telling.models import Story
from buildlog.worklog import actions as log
from buildlog.worklog.models import Kind
from inventory.photos.models import Photo
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
    page = as_hand.post(f"/tasks/{web[0].pk}/join/", {"uid": uuid.uuid4(), "other": web[1].pk}, follow=True)
    undo = BeautifulSoup(page.content, "html.parser").select_one(".flash form")["action"]
    as_hand.post(undo)
    assert everything(build) == before
    split = {"uid": uuid.uuid4(), "titles": "Tack\nWeld out", "in_turn": ""}
    page = as_hand.post(f"/tasks/{web[0].pk}/split/", split, follow=True)
    as_hand.post(BeautifulSoup(page.content, "html.parser").select_one(".flash form")["action"])
    assert everything(build) == before


@pytest.mark.parametrize("way", ["split", "join"])
def test_the_same_form_sent_twice_does_it_once(as_hand, build, web, way):
    form = {"uid": uuid.uuid4(), "titles": "Tack\nWeld out", "other": web[1].pk}
    answers, states = [], []
    for _ in range(2):
        answers.append(as_hand.post(f"/tasks/{web[0].pk}/{way}/", form))
        states.append(everything(build))
    assert [answer.status_code for answer in answers] == [303, 303]
    assert states[0] == states[1]
    assert Change.objects.count() == 1


def test_a_task_is_joined_only_once(build, web):
    linking.join(keep=web[0], other=web[1], by=None)
    before = everything(build)
    with pytest.raises(ValidationError, match="part of “Weld hinges” already"):
        linking.join(keep=web[0], other=Task.objects.get(pk=web[1].pk), by=None)
    assert everything(build) == before


def test_a_join_keeps_how_either_stands_and_where_it_is_done(as_hand, build, web):
    keep, other, third = *web, make_task("Dress hinges", build=build)
    yard = make_place("shelf", away=True)
    started = actions.start(task=other, by=None, at=timezone.now() - timedelta(hours=2)).at
    actions.hold(task=third, words="Gas is empty", by=None)
    actions.hold(task=keep, words="Light is lent out", by=None)
    Task.objects.filter(pk=third.pk).update(place=yard)
    before = everything(build)
    changes = [linking.join(keep=_fresh(keep), other=_fresh(one), by=None) for one in (other, third)]
    whole_one = _fresh(keep)
    assert (whole_one.status, whole_one.started_at, whole_one.place) == ("started", started, yard)
    assert whole_one.on_hold == "Light is lent out; Gas is empty"
    page = BeautifulSoup(as_hand.get(f"/tasks/{keep.pk}/").content, "html.parser")
    assert "Light is lent out; Gas is empty" in page.select_one(".reasons").get_text()
    for change in reversed(changes):
        actions.undo(change=Change.objects.get(pk=change.pk))
    assert everything(build) == before
    linking.join(keep=_fresh(keep), other=_fresh(other), by=None)
    as_hand.post(page.find("button", string="Take off hold").parent["action"])
    assert (_fresh(keep).status, _fresh(keep).on_hold) == ("started", "")


def _fresh(task: Task) -> Task:
    return Task.objects.get(pk=task.pk)


def test_what_two_tasks_wait_for_is_not_cut_off(build, web):
    for task, words in zip(web, ("a" * 150, "b" * 150), strict=True):
        actions.hold(task=task, words=words, by=None)
    with pytest.raises(ValidationError, match="too long in one"):
        linking.join(keep=web[0], other=web[1], by=None)


@pytest.mark.parametrize("over", [actions.finish, actions.drop])
def test_an_open_task_does_not_vanish_in_one_that_is_over(as_hand, owner, build, web, over):
    over(task=web[0], by=owner)
    page = as_hand.post(f"/tasks/{web[0].pk}/join/", {"uid": uuid.uuid4(), "other": web[1].pk})
    assert page.status_code == 422
    assert " by Olga on " in BeautifulSoup(page.content, "html.parser").select_one(".error").get_text()
    assert _fresh(web[1]).is_open


@pytest.mark.parametrize("way", ["split", "join"])
def test_it_is_undone_also_where_it_was_made_before_pictures_were_remembered(build, web, way):
    before = everything(build)
    if way == "split":
        change = linking.split(task=web[0], titles=["Tack", "Weld out"], in_turn=True, by=None)
    else:
        change = linking.join(keep=web[0], other=web[1], by=None)
    for one in change.whole.values():
        del one["photos"]
    change.save()
    web[0].photos.add(_photo())
    actions.undo(change=change)
    assert everything(build) | {"photos": []} == before
    assert web[0].photos.count() == 1


def test_a_promise_and_a_thing_in_words_stand_there_once(as_hand, build, web):
    task, later = web[1], Task.objects.get(title="Paint")
    for _ in range(2):
        as_hand.post(f"/tasks/{task.pk}/promises/", {"words": "Leave a gap", "later": later.pk})
        as_hand.post(f"/tasks/{task.pk}/parts/", {"part": "new:Tape", "part_text": "Tape", "quantity": 1})
    assert task.provisions.filter(words="Leave a gap").count() == 1
    assert task.parts.filter(words="Tape").count() == 1


def test_pictures_of_both_are_on_the_joined_task_and_go_back_with_the_undo(build, web):
    web[1].photos.add(_photo())
    change = linking.join(keep=web[0], other=web[1], by=None)
    assert web[0].photos.count() == 1
    actions.undo(change=change)
    assert (web[0].photos.count(), web[1].photos.count()) == (0, 1)


def _photo() -> Photo:
    return Photo.objects.create(width=4, height=3, sha256="0" * 64)


@pytest.mark.parametrize("since", ["a snag became it", "a story tells of it", "a deleted story told of it"])
def test_what_speaks_of_a_piece_keeps_it(build, web, owner, since):
    change = linking.split(task=web[0], titles=["Tack", "Weld out"], in_turn=False, by=None)
    piece = Task.objects.get(title="Weld out")
    if since == "a snag became it":
        log.log(build=build, by=owner, kind=Kind.SNAG, text="Gap is open", became=piece)
    else:
        gone = timezone.now() if since.startswith("a deleted") else None
        Story.objects.create(build=build, takes="task", title="The welding", task=piece, deleted_at=gone)
    with pytest.raises(actions.CannotUndo, match="in the log or a story"):
        actions.undo(change=change)
    assert Task.objects.filter(pk=piece.pk).exists()


@pytest.mark.parametrize("since", ["finished", "renamed", "a need", "a part", "a photo"])
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
        case "a part":
            piece.parts.create(words="Gas")
        case _:
            piece.photos.add(_photo())
    before = everything(build)
    with pytest.raises(actions.CannotUndo, match="changed again"):
        actions.undo(change=change)
    assert everything(build) == before


def test_a_task_that_stands_in_the_log_does_not_go_with_an_undo(build, owner):
    change = actions.add_typed(build=build, lines=_lines("Fit the catch"), area=None, by=owner)
    task = Task.objects.get(title="Fit the catch")
    session = log.start(build=build, by=owner, at=timezone.now() - timedelta(hours=1))
    log.stop(session=session, at=timezone.now(), minutes={task: 30})
    with pytest.raises(actions.CannotUndo, match="in the log or a story already"):
        actions.undo(change=change)
    assert session.times.get().task == task


def _lines(text):
    from buildlog.tasks.calc.typed import parse

    return parse(text).lines


def test_every_piece_of_a_split_has_the_cautions_and_what_waits_waits_as_before(build, web):
    linking.split(task=web[0], titles=["Tack", "Weld out", "Dress"], in_turn=True, by=None)
    pieces = Task.objects.filter(title__in=("Tack", "Weld out", "Dress")).order_by("order")
    assert [(piece.cautions, piece.wait_hours) for piece in pieces] == [(["dust"], 0), (["dust"], 0), (["dust"], 12)]


def test_pieces_side_by_side_each_have_the_wait(build, web):
    linking.split(task=web[0], titles=["Left", "Right"], in_turn=False, by=None)
    assert [piece.wait_hours for piece in Task.objects.filter(title__in=("Left", "Right"))] == [12, 12]


def test_hours_of_the_pieces_are_typed_with_them_and_those_of_the_whole_go_with_a_word(as_hand, build, web):
    address = f"/tasks/{web[0].pk}/split/"
    page = as_hand.post(address, {"uid": uuid.uuid4(), "titles": "Tack\nWeld out"}, follow=True)
    assert "Its hours (1.5 at best, 4 at worst) were of the whole" in page.text
    as_hand.post(address, {"uid": uuid.uuid4(), "titles": "Tack 0,5h\nGrind 1-2-4h"})
    hours = [task.hours_said for task in Task.objects.filter(title__in=("Tack", "Grind")).order_by("order")]
    assert hours == ["0.5 likely", "1 at best, 2 likely, 4 at worst"]
    assert as_hand.post(address, {"uid": uuid.uuid4(), "titles": "Tack\nGrind 4-2-1h"}).status_code == 422

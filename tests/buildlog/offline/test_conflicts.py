"""What becomes of things that two phones did, or that come late. One row a rule; the same rows in words are in
DEVELOPERS.md. Times are hours of one evening; what a phone sends late it says the age of."""

import uuid
from datetime import timedelta

import pytest
from django.utils import timezone

from buildlog.tasks import actions as tasks
from buildlog.tasks.models import Status
from buildlog.worklog import actions as log
from buildlog.worklog.models import Entry, WorkSession
from inventory.parts import actions as parts
from inventory.parts import audit
from inventory.parts.models import Batch, Counted, Holding, Move, Part
from inventory.parts.quantity import exact
from inventory.places.models import Location
from tests.factories import make_build, make_part, make_place, make_task

from .test_outbox import send

pytestmark = pytest.mark.django_db
HOUR = 3_600_000  # as phones count: milliseconds


@pytest.fixture
def now():
    return timezone.now()


@pytest.fixture
def shop(db):
    class Shop:
        build = make_build()
        bin, other = make_place("bin", short="14"), make_place("bin", short="15")
        bench = make_place("bench", short="B1")
        bolt = make_part("Hatch bolt", holds={bin: 1, other: 6})
        task = make_task("Cut the floor", build=build)

    Move.objects.update(at=timezone.now() - timedelta(days=1))  # all of it lay there the evening before
    return Shop()


def held(part, place) -> int:
    return int(sum(row.quantity for row in Holding.objects.filter(part=part, location=place)))


def take_out(shop, quantity=1):
    return f"/move/take-out/?place={shop.bin.pk}&part={shop.bolt.pk}", {"quantity": quantity, "place": shop.bench.pk}


def sent(client, person, call, age=0):
    path, fields = call
    return send(client, person, path, {"uid": str(uuid.uuid4()), **fields}, age=age)


def test_a_line_only_ever_comes_on_top_also_when_its_session_is_over(as_hand, hand, shop, now):
    session = log.start(build=shop.build, by=hand, at=now - timedelta(hours=5))
    log.stop(session=session, at=now - timedelta(hours=1))
    log.start(build=shop.build, by=None, at=now - timedelta(minutes=10))
    answer = sent(as_hand, hand, ("/tonight/log/", {"kind": "note", "text": "Cut it"}), age=3 * HOUR)
    assert answer.status_code == 200
    entry = Entry.objects.get()
    assert entry.session == session
    assert abs(entry.at - (now - timedelta(hours=3))) < timedelta(minutes=1)


def test_a_line_of_an_earlier_night_that_nobody_started_gets_a_session_of_that_night(as_hand, hand, shop, now):
    log.start(build=shop.build, by=None, at=now - timedelta(minutes=10))
    for age in (26, 25.5):
        sent(as_hand, hand, ("/tonight/log/", {"kind": "note", "text": "Cut it"}), age=int(age * HOUR))
    late, running = WorkSession.objects.order_by("started_at")
    assert (late.entries.count(), running.entries.count()) == (2, 0)
    assert late.end_guessed
    assert late.ended_at - late.started_at == late.entries.order_by("-at")[0].at - late.started_at


def test_a_line_about_a_task_that_was_finished_meanwhile_is_still_saved(as_hand, hand, shop):
    tasks.finish(task=shop.task, by=None)
    fields = {"kind": "note", "text": "Cut it", "task": shop.task.pk}
    assert sent(as_hand, hand, ("/tonight/log/", fields), age=HOUR).status_code == 200
    assert Entry.objects.get().task == shop.task


def test_takings_add_up_while_there_is_enough(as_hand, hand, as_owner, owner, shop):
    parts.put_in(part=shop.bolt, quantity=exact(4), target=shop.bin, by=None)
    assert sent(as_hand, hand, take_out(shop, 2), age=2 * HOUR).status_code == 200
    assert sent(as_owner, owner, take_out(shop, 3), age=HOUR).status_code == 200
    assert held(shop.bolt, shop.bin) == 0


def test_of_two_who_took_the_last_one_the_second_is_told_who_and_when_and_where_else(
    as_hand, hand, as_owner, owner, shop
):
    assert sent(as_owner, owner, take_out(shop), age=HOUR).status_code == 200
    answer = sent(as_hand, hand, take_out(shop), age=2 * HOUR)
    assert answer.status_code == 422
    short = answer.json()["short"]
    assert (short["who"], short["there"], short["wanted"], short["place"]) == ("Olga", "0", "1", "14")
    (there,) = [one for one in short["elsewhere"] if one["place"] == "15"]
    assert there["quantity"] == "6"
    assert "Olga took 1" in answer.json()["refused"][0]["text"]
    # and one of the choices is to take it from there
    fields = take_out(shop)[1]
    assert sent(as_hand, hand, (there["url"], fields)).status_code == 200
    assert (held(shop.bolt, shop.other), held(shop.bolt, shop.bench), audit.differences()) == (5, 2, [])


def test_a_count_that_comes_late_is_held_against_what_lay_there_then(as_hand, hand, shop):
    """Counted 5 three hours ago where 1 was believed; 1 was taken since: 4 are left, not 5 and not 0."""
    parts.take_out(part=shop.bolt, quantity=exact(1), source=shop.bin, target=shop.bench, by=None)
    path = f"/move/correct/?place={shop.bin.pk}&part={shop.bolt.pk}"
    assert sent(as_hand, hand, (path, {"quantity": 5}), age=3 * HOUR).status_code == 200
    assert held(shop.bolt, shop.bin) == 4
    assert audit.differences() == []


def counted(shop, quantity, by="part"):
    if by == "part":
        return f"/move/correct/?place={shop.bin.pk}&part={shop.bolt.pk}", {"quantity": quantity}
    return f"/move/count/?place={shop.bin.pk}", {f"part-{shop.bolt.pk}": quantity}


@pytest.mark.parametrize("newer", [1, 4], ids=["that found all as it should be", "that put it right"])
@pytest.mark.parametrize("by", ["part", "place"])
def test_a_count_that_comes_late_leaves_a_newer_one_as_it_is(as_hand, hand, as_owner, owner, shop, now, by, newer):
    assert sent(as_owner, owner, counted(shop, newer, by), age=HOUR).status_code == 200
    answer = sent(as_hand, hand, counted(shop, 5, by), age=3 * HOUR)
    assert answer.status_code == 200
    assert answer.json()["taken"]["says"] == "Counted 14: 1 counted again since, where the newer number stands."
    assert held(shop.bolt, shop.bin) == newer
    assert Counted.objects.earliest("at").quantity == 5  # kept, as it was counted
    if by == "place":
        shop.bin.refresh_from_db()
        assert abs(shop.bin.counted_at - (now - timedelta(hours=1))) < timedelta(minutes=1)


def test_a_newer_count_that_was_undone_stands_in_no_ones_way(as_hand, hand, shop, now):
    newer = parts.count(location=shop.bin, counted={shop.bolt: exact(4)}, by=None, at=now - timedelta(hours=1))
    parts.undo(batch=newer, by=None)
    assert sent(as_hand, hand, counted(shop, 5), age=3 * HOUR).status_code == 200
    assert held(shop.bolt, shop.bin) == 5


@pytest.mark.parametrize("found", [0, 1, 3])
def test_what_was_taken_before_a_count_and_is_told_after_it_leaves_the_counted_number(
    as_hand, hand, as_owner, owner, shop, found
):
    """One was taken, then `found` were counted; who took it says so last. The bin holds what was counted."""
    assert sent(as_owner, owner, counted(shop, found), age=HOUR).status_code == 200
    assert sent(as_hand, hand, take_out(shop), age=2 * HOUR).status_code == 200
    assert (held(shop.bolt, shop.bin), held(shop.bolt, shop.bench), audit.differences()) == (found, 1, [])
    late = Batch.objects.get(what__startswith="Took")
    assert late.moves.count() == 1  # the log tells of what was done, the count of what it found
    parts.undo(batch=late, by=None)  # it was not taken after all; counted it was
    assert (held(shop.bolt, shop.bin), held(shop.bolt, shop.bench), audit.differences()) == (found, 0, [])


def test_what_was_put_in_before_a_count_and_is_told_after_it_was_counted_already(as_hand, hand, shop, now):
    parts.count(location=shop.bin, counted={shop.bolt: exact(3)}, by=None, at=now - timedelta(hours=1))
    path = f"/move/put-in/?place={shop.bin.pk}&part={shop.bolt.pk}"
    assert sent(as_hand, hand, (path, {"quantity": 2, "source": shop.other.pk}), age=2 * HOUR).status_code == 200
    assert (held(shop.bolt, shop.bin), held(shop.bolt, shop.other), audit.differences()) == (3, 4, [])


def test_a_count_of_what_has_left_the_place_meanwhile_is_taken_too(as_hand, hand, shop, now):
    """Counted 3 two hours ago where 1 was believed; that one was taken since: 2 are left."""
    parts.take_out(part=shop.bolt, quantity=exact(1), source=shop.bin, target=shop.bench, by=None)
    assert sent(as_hand, hand, counted(shop, 3, "place"), age=2 * HOUR).status_code == 200
    assert (held(shop.bolt, shop.bin), Counted.objects.get().quantity, audit.differences()) == (2, 3, [])


@pytest.mark.parametrize("first", ["count", "undo"])
def test_a_count_made_before_an_undo_is_the_same_whichever_comes_first(as_hand, hand, shop, now, first):
    """5 were put in by mistake, then 9 were counted, and the mistake is undone: 9 are there."""
    mistake = parts.put_in(part=shop.bolt, quantity=exact(5), target=shop.bin, by=None, at=now - timedelta(hours=3))
    steps = [
        lambda: sent(as_hand, hand, counted(shop, 9, "place"), age=2 * HOUR),
        lambda: parts.undo(batch=mistake, by=None),
    ]
    for step in steps if first == "count" else reversed(steps):
        step()
    assert (held(shop.bolt, shop.bin), audit.differences()) == (9, [])


def test_a_count_says_nothing_about_what_came_to_the_place_since(as_hand, hand, shop):
    nut = make_part("Nut", holds={shop.bin: 7})
    assert sent(as_hand, hand, counted(shop, 1, "place"), age=HOUR).status_code == 200
    assert held(nut, shop.bin) == 7


def test_a_count_of_a_part_that_was_merged_meanwhile_comes_back_to_be_counted_again(as_hand, hand, shop):
    stud = make_part("Hatch stud")
    parts.merge(keep=stud, drop=shop.bolt, by=None)
    answer = sent(as_hand, hand, counted(shop, 3, "place"), age=HOUR)
    assert answer.status_code == 422
    assert answer.json()["refused"][0]["text"] == "“Hatch bolt” is “Hatch stud” now. Count the place again."


@pytest.mark.parametrize(("verb", "field"), [("several", "things"), ("empty", "seen")])
def test_of_things_moved_together_those_go_that_were_seen(as_hand, hand, shop, verb, field):
    call = f"/move/{verb}/?place={shop.bin.pk}", {field: [f"{shop.bolt.pk}:1"], "place": shop.bench.pk}
    parts.put_in(part=shop.bolt, quantity=exact(4), target=shop.bin, by=None)
    nut = make_part("Nut", holds={shop.bin: 7})
    answer = sent(as_hand, hand, call, age=HOUR)
    assert answer.status_code == 200
    assert (held(shop.bolt, shop.bench), held(shop.bolt, shop.bin), held(nut, shop.bin)) == (1, 4, 7)
    assert ("but for what came into it since" in answer.json()["taken"]["says"]) == (verb == "empty")
    again = sent(as_hand, hand, call, age=HOUR)  # and from another phone, that saw the same
    assert again.status_code == 200
    assert held(shop.bolt, shop.bench) == 2


def test_of_things_moved_together_one_that_is_gone_is_said_with_who_was_quicker(as_hand, hand, owner, shop):
    nut = make_part("Nut", holds={shop.bin: 7})
    parts.take_out(part=shop.bolt, quantity=exact(1), source=shop.bin, target=shop.other, by=owner)
    fields = {"things": [f"{shop.bolt.pk}:1", f"{nut.pk}:7"], "place": shop.bench.pk}
    answer = sent(as_hand, hand, (f"/move/several/?place={shop.bin.pk}", fields), age=HOUR)
    assert answer.status_code == 422
    assert "Olga took 1" in answer.json()["refused"][0]["text"]
    assert held(nut, shop.bin) == 7


def test_what_a_task_went_on_to_stands_when_an_earlier_tap_comes_late(as_hand, hand, shop, now):
    tasks.finish(task=shop.task, by=None, at=now - timedelta(hours=1))
    answer = sent(as_hand, hand, (f"/tonight/task/{shop.task.pk}/start/", {}), age=2 * HOUR)
    shop.task.refresh_from_db()
    assert shop.task.status == Status.DONE
    assert answer.json()["taken"]["says"] == "Started “Cut the floor”. It had gone on since, and stands as it is."


@pytest.mark.parametrize("went_on", ["hold", "put_back"])
def test_a_task_taken_off_the_bench_is_not_started_again_by_an_earlier_tap(as_hand, hand, shop, now, went_on):
    tasks.start(task=shop.task, by=None, at=now - timedelta(hours=4))
    more = {"words": "Gas"} if went_on == "hold" else {}
    getattr(tasks, went_on)(task=shop.task, by=None, at=now - timedelta(hours=1), **more)
    answer = sent(as_hand, hand, (f"/tonight/task/{shop.task.pk}/start/", {}), age=2 * HOUR)
    shop.task.refresh_from_db()
    assert (shop.task.status, shop.task.on_hold) == (Status.OPEN, more.get("words", ""))
    assert answer.json()["taken"]["says"] == "Started “Cut the floor”. It had gone on since, and stands as it is."


def test_what_was_undone_is_nothing_that_a_task_went_on_to(as_hand, hand, shop, now):
    tasks.undo(change=tasks.hold(task=shop.task, words="Gas", by=None, at=now - timedelta(hours=1)))
    sent(as_hand, hand, (f"/tonight/task/{shop.task.pk}/start/", {}), age=2 * HOUR)
    shop.task.refresh_from_db()
    assert shop.task.status == Status.STARTED


def test_a_tap_on_a_task_that_was_finished_before_it_comes_back_with_who_finished_it(as_hand, hand, owner, shop, now):
    tasks.finish(task=shop.task, by=owner, at=now - timedelta(hours=2))
    for path in (f"/tonight/task/{shop.task.pk}/hold/", f"/tasks/{shop.task.pk}/mark/hold/"):
        answer = sent(as_hand, hand, (path, {"words": "Gas"}), age=HOUR)
        assert answer.status_code == 422
        (reason,) = answer.json()["refused"]
        assert reason["text"].startswith("“Cut the floor” was finished by Olga on ")
    assert not Entry.objects.exists()


def test_a_session_started_on_two_phones_is_one_with_both_people(as_hand, hand, as_owner, owner, shop):
    for client, person, age in ((as_hand, hand, 2 * HOUR), (as_owner, owner, HOUR)):
        assert sent(client, person, ("/tonight/start/", {}), age=age).status_code == 200
    assert set(WorkSession.objects.get().people.all()) == {hand, owner}


def test_words_at_the_end_of_a_session_do_not_write_over_another_persons(as_hand, hand, as_owner, owner, shop, now):
    session = log.start(build=shop.build, by=hand, at=now - timedelta(hours=5))
    path = f"/sessions/{session.pk}/stop/"
    saw = as_hand.get(path).context["form"].initial["saw"]
    fields = {"done": "Cut the floor", "stopping_point": "Grind it", "ended_at": _wall(now), "saw": saw}
    assert sent(as_owner, owner, (path, fields | {"stopping_point": "Prime it first"})).status_code == 200
    answer = sent(as_hand, hand, (path, fields))
    assert answer.status_code == 422
    assert "Prime it first" in answer.json()["refused"][0]["text"]
    saw = as_hand.get(path).context["form"].initial["saw"]  # looked at again, and said again
    assert sent(as_hand, hand, (path, fields | {"saw": saw})).status_code == 200


def test_a_changed_line_does_not_write_over_another_change(as_hand, hand, shop):
    entry = log.log(build=shop.build, by=hand, text="Cut")
    path = f"/log/{entry.pk}/"
    saw = as_hand.get(path).context["form"].initial["saw"]
    assert sent(as_hand, hand, (path, {"text": "Cut the left", "saw": saw})).status_code == 200
    answer = sent(as_hand, hand, (path, {"text": "Cut the right", "saw": saw}))
    assert answer.status_code == 422
    assert "Cut the left" in answer.json()["refused"][0]["text"]


@pytest.mark.parametrize("what", [Part, Location])
def test_what_is_about_a_thing_that_went_out_of_use_comes_back_to_be_looked_at(as_hand, hand, shop, what):
    call = take_out(shop)
    what.objects.all().update(retired_at=timezone.now())
    answer = sent(as_hand, hand, call)
    assert answer.status_code == 422
    assert answer.json()["refused"][0]["text"]
    assert held(shop.bolt, shop.bin) == 1


@pytest.mark.parametrize("age", [-5 * HOUR, 0])
def test_no_clock_of_a_phone_puts_a_thing_into_the_future(as_hand, hand, shop, age):
    before = timezone.now()
    sent(as_hand, hand, take_out(shop), age=age)
    move = Move.objects.order_by("-pk").first()
    assert before - timedelta(seconds=5) <= move.at <= timezone.now()


def _wall(at) -> str:
    return timezone.localtime(at).strftime("%Y-%m-%dT%H:%M")

"""Stopping, putting right, writing down afterwards; lines changed and struck; tasks marked from the log."""

import uuid
from datetime import UTC, datetime, timedelta

import pytest
from bs4 import BeautifulSoup
from django.db import IntegrityError, transaction
from django.utils import timezone

from buildlog.tasks.models import Task
from buildlog.worklog import actions, actions_entries
from buildlog.worklog.actions_parts import log_part
from buildlog.worklog.models import Entry, WorkSession
from inventory.parts.quantity import exact
from inventory.parts.queries import HELD
from tests.factories import make_build, make_decision, make_part, make_place, make_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(db):
    return make_build("HB-64", areas=("Side hatch",))


@pytest.fixture
def evening(owner, build):
    """A session of three hours that has run until now, with two tasks in its log."""
    start = timezone.now() - timedelta(hours=3)
    session = actions.start(build=build, by=owner, at=start)
    hinges = make_task("Weld hatch hinges", build=build, area=build.areas.get())
    hang = make_task("Hang the hatch", build=build, needs=[hinges])
    actions.log(session=session, by=owner, text="Shimmed 1 mm", task=hinges, at=start + timedelta(minutes=60))
    actions.log(session=session, by=owner, text="Tacked", task=hinges, at=start + timedelta(minutes=120))
    return session, hinges, hang


def fields_of(client, session) -> dict:
    """What the stop page offers, as the browser would send it back."""
    form = client.get(f"/sessions/{session.pk}/stop/").context["form"]
    return {name: form[name].value() for name in form.fields if name != "photos"}


def test_taking_what_it_offers_stops_the_night(as_owner, evening):
    session, hinges, _ = evening
    offered = fields_of(as_owner, session)
    assert offered["stopping_point"] == "Go on with Weld hatch hinges. Tacked."
    assert offered["done"] == "Shimmed 1 mm.\nTacked."
    assert offered[f"task-{hinges.pk}"] == "3:00"
    answer = as_owner.post(f"/sessions/{session.pk}/stop/", offered, follow=True)
    assert "Good night" in answer.text
    session.refresh_from_db()
    assert not session.is_running
    assert {time.task: time.minutes for time in session.times.all()} == {hinges: 180}
    assert "Go on with Weld hatch hinges." in as_owner.get("/tonight/").text


def test_the_hours_can_be_said_otherwise(as_owner, evening):
    session, hinges, _ = evening
    as_owner.post(f"/sessions/{session.pk}/stop/", fields_of(as_owner, session) | {f"task-{hinges.pk}": "1:45"})
    assert session.times.get().minutes == 105
    answer = as_owner.post(f"/sessions/{session.pk}/stop/", fields_of(as_owner, session) | {f"task-{hinges.pk}": "x"})
    assert answer.status_code == 422
    assert "Write it like 1:45." in answer.text


def test_a_finished_task_offers_what_it_set_free_as_the_next(as_owner, evening):
    session, hinges, _ = evening
    answer = as_owner.post(f"/tonight/task/{hinges.pk}/finish/", follow=True)
    assert "Finished “Weld hatch hinges”. 1 task can go on: Hang the hatch." in answer.text
    assert Task.objects.get(pk=hinges.pk).status == "done"
    offered = fields_of(as_owner, session)
    assert offered["stopping_point"] == "Hang the hatch."
    assert "Finished “Weld hatch hinges”" in offered["done"]


def test_marking_a_task_is_undone_from_its_line(as_owner, evening):
    _, hinges, _ = evening
    as_owner.post(f"/tonight/task/{hinges.pk}/finish/")
    entry = Entry.objects.get(kind="task")
    as_owner.post(f"/log/{entry.pk}/take-back/")
    assert Task.objects.get(pk=hinges.pk).status == "open"
    assert "(undone)" in as_owner.get("/tonight/").text


@pytest.mark.parametrize(
    ("verb", "says"),
    [("finish", "Finished “Weld hatch hinges”. 1 task can go on: Hang the hatch."),
     ("start", "Started “Weld hatch hinges”."),
     ("hold", "Put on hold “Weld hatch hinges”: Gas.")],
)  # fmt: skip
def test_what_is_said_on_a_tasks_own_page_is_in_the_nights_log(as_owner, evening, verb, says):
    session, hinges, _ = evening
    as_owner.post(f"/tasks/{hinges.pk}/mark/{verb}/", {"words": "Gas"})
    entry = session.entries.get(kind="task")
    assert (entry.says, entry.task) == (says, hinges)
    as_owner.post(f"/tasks/undo/{entry.change_id}/")
    assert Entry.objects.get(pk=entry.pk).taken_back


def test_on_a_tasks_own_page_nothing_is_logged_when_nobody_works(as_owner, build):
    as_owner.post(f"/tasks/{make_task(build=build).pk}/mark/finish/")
    assert not WorkSession.objects.exists()


def test_a_task_finished_twice_is_one_line(as_owner, evening):
    _, hinges, _ = evening
    for way in (
        f"/tonight/task/{hinges.pk}/finish/",
        f"/tonight/task/{hinges.pk}/finish/",
        f"/tasks/{hinges.pk}/mark/finish/",
    ):
        page = as_owner.post(way, follow=True)
    assert "stood so already" in page.text
    assert Entry.objects.filter(kind="task").count() == 1


def test_a_task_is_held_in_words(as_owner, evening):
    _, hinges, _ = evening
    as_owner.post(f"/tonight/task/{hinges.pk}/hold/", {"words": "gas bottle is empty"})
    assert Task.objects.get(pk=hinges.pk).on_hold == "gas bottle is empty"
    assert Entry.objects.get(kind="task").says == "Put on hold “Weld hatch hinges”: gas bottle is empty."


def test_it_can_not_stop_before_it_began_nor_tomorrow(as_owner, evening):
    session, _, _ = evening
    for ended, says in (
        ("2020-01-01T10:00", "before"),
        ("2190-01-01T10:00", "still to come"),
        ("soon", "Write the day"),
    ):
        answer = as_owner.post(f"/sessions/{session.pk}/stop/", fields_of(as_owner, session) | {"ended_at": ended})
        assert answer.status_code == 422
        assert says in answer.text
    session.refresh_from_db()
    assert session.is_running


def test_times_and_people_are_put_right_afterwards(as_owner, owner, hand, evening):
    session, _, _ = evening
    actions.stop(session=session, at=timezone.now(), guessed=True)
    form = {"started_at": "2026-11-20T23:30", "ended_at": "2026-11-21T01:15", "people": [owner.pk, hand.pk]}
    assert as_owner.post(f"/sessions/{session.pk}/edit/", form).status_code == 303
    session.refresh_from_db()
    assert session.length == timedelta(hours=1, minutes=45)  # over midnight
    assert not session.end_guessed
    assert set(session.people.all()) == {owner, hand}


def test_a_night_over_the_change_of_the_clocks_is_as_long_as_it_was(build, owner):
    # Europe/Berlin, 25 October 2026: 02:00 comes twice. 23:30 summer time to 02:30 winter time are four hours.
    session = WorkSession(started_at=datetime(2026, 10, 24, 21, 30, tzinfo=UTC))
    session.ended_at = datetime(2026, 10, 25, 1, 30, tzinfo=UTC)
    assert session.length == timedelta(hours=4)


def test_it_goes_on_after_all_unless_another_runs(as_owner, owner, build, evening):
    session, _, _ = evening
    actions.stop(session=session, at=timezone.now())
    as_owner.post(f"/sessions/{session.pk}/go-on/")
    session.refresh_from_db()
    assert session.is_running
    actions.stop(session=session, at=timezone.now())
    actions.start(build=build, by=owner)
    assert "Another session is running" in as_owner.post(f"/sessions/{session.pk}/go-on/", follow=True).text


def test_only_the_last_night_goes_on(as_owner, owner, build, evening):
    session, _, _ = evening
    actions.stop(session=session, at=session.started_at + timedelta(hours=1))
    assert "It goes on" in as_owner.get(session.get_absolute_url()).text
    after = actions.start(build=build, by=owner, at=timezone.now() - timedelta(minutes=30))
    actions.stop(session=after, at=timezone.now())
    assert "It goes on" not in as_owner.get(session.get_absolute_url()).text
    page = as_owner.post(f"/sessions/{session.pk}/go-on/", follow=True)
    assert "There was another night since" in page.text
    assert not build.sessions.running().exists()


def test_the_end_of_a_night_that_is_over_is_changed_and_nobody_is_wished_good_night(as_owner, evening):
    session, _, _ = evening
    path = f"/sessions/{session.pk}/stop/"
    assert "Good night</button>" in as_owner.get(path).text
    assert "Good night." in as_owner.post(path, fields_of(as_owner, session), follow=True).text
    page = as_owner.get(path).text
    assert "Good night" not in page
    assert "Keep the change</button>" in page
    assert "Session 1 is put right." in as_owner.post(path, fields_of(as_owner, session), follow=True).text


def test_one_session_runs_a_build_and_none_ends_before_it_starts(build):
    now = timezone.now()
    WorkSession.objects.create(build=build, number=1, started_at=now)
    with pytest.raises(IntegrityError, match="build"), transaction.atomic():
        WorkSession.objects.create(build=build, number=2, started_at=now)
    with pytest.raises(IntegrityError, match="session_ends_after_it_starts"), transaction.atomic():
        WorkSession.objects.create(build=build, number=3, started_at=now, ended_at=now - timedelta(1))


def test_a_changed_line_keeps_what_it_said(as_owner, evening):
    entry = Entry.objects.get(text="Tacked")
    assert as_owner.post(f"/log/{entry.pk}/", {"uid": uuid.uuid4(), "text": "Tacked, left only"}).status_code == 303
    entry.refresh_from_db()
    assert entry.text == "Tacked, left only"
    page = as_owner.get(f"/log/{entry.pk}/").text
    before = page.partition("It said before")[2]
    assert "<div>Tacked" in before
    assert "left only" not in before


def test_clip_and_keeping_out_of_public_are_noted(as_owner, evening):
    entry = Entry.objects.get(text="Tacked")
    form = {"uid": uuid.uuid4(), "text": "Tacked", "task": entry.task_id, "private": "on"}
    form |= {"clip": "0042", "clip_in": "1:10", "clip_out": "1:45"}
    as_owner.post(f"/log/{entry.pk}/", form)
    entry.refresh_from_db()
    assert (entry.clip_said, entry.private) == ("0042, 1:10 to 1:45", True)
    assert not entry.earlier.exists()  # the words did not change
    assert as_owner.post(f"/log/{entry.pk}/", form | {"clip_in": "soon"}).status_code == 422


def test_a_struck_line_stays_to_be_read_and_counts_for_nothing(as_owner, evening):
    session, hinges, _ = evening
    for entry in session.entries.all():
        as_owner.post(f"/log/{entry.pk}/strike/")
    assert "Tacked" in as_owner.get(session.get_absolute_url()).text
    assert fields_of(as_owner, session)["done"] == ""
    tacked = Entry.objects.get(text="Tacked")
    as_owner.post(f"/log/{tacked.pk}/strike/")  # twice is not back again
    assert Entry.objects.get(pk=tacked.pk).struck_at == tacked.struck_at
    for _ in range(2):
        form = BeautifulSoup(as_owner.get(f"/log/{tacked.pk}/").content, "html.parser")
        back = form.find("button", string=["Let it count again", "Strike the line"]).parent["action"]
        assert back.endswith("/strike/back/") == bool(Entry.objects.get(pk=tacked.pk).struck_at)
        as_owner.post(f"/log/{tacked.pk}/strike/back/")
        assert fields_of(as_owner, session)["done"] == "Tacked."


def test_what_it_offers_is_in_sentences(as_owner, owner, evening):
    session, hinges, _ = evening
    log_part(
        build=session.build, by=owner, part=make_part("Washer"), quantity=exact(2), happened="made",
        target=make_place("bench", short="W1"), text="second batch is thinner", task=hinges,
    )  # fmt: skip
    actions.log(session=session, by=owner, text="left hinge fits\nright one binds!\n\nwhy?", task=hinges)
    offered = fields_of(as_owner, session)
    assert offered["done"].splitlines()[2:] == [
        "Made 2 × Washer in W1. Second batch is thinner.", "Left hinge fits.", "Right one binds!", "Why?",
    ]  # fmt: skip
    assert offered["stopping_point"] == "Go on with Weld hatch hinges. Left hinge fits.\nRight one binds!\nWhy?"


def test_a_snag_becomes_one_task_in_the_area_it_was_met_in(as_owner, owner, evening):
    session, hinges, _ = evening
    snag = actions.log(session=session, by=owner, kind="snag", text="Pin is worn oval", task=hinges)
    for _ in range(2):
        as_owner.post(f"/log/{snag.pk}/task/")
    task = Task.objects.get(title="Pin is worn oval")
    assert task.area == hinges.area
    assert "Became a task" in as_owner.get("/tonight/").text


def test_a_task_shows_its_whole_log_and_its_hours(as_owner, evening):
    session, hinges, _ = evening
    as_owner.post(f"/sessions/{session.pk}/stop/", fields_of(as_owner, session))
    text = as_owner.get(f"/tasks/{hinges.pk}/").text
    assert "Shimmed 1 mm" in text
    assert "3:00" in text
    assert text.index("Drop it") < text.index("Its log")  # what is done with it is not under its whole log


def test_the_same_mark_arriving_twice_is_one_line(owner, build, evening):
    _, hinges, _ = evening
    uid = uuid.uuid4()
    one, two = (actions_entries.mark(build=build, task=hinges, verb="finish", by=owner, uid=uid) for _ in range(2))
    assert one == two


def test_a_guest_reads_tonight_and_has_no_box(as_guest, evening):
    text = as_guest.get("/tonight/").text
    assert "Shimmed 1 mm" in text
    assert "Save to log" not in text
    assert "Stop for the night" not in text


def test_the_demo_can_be_taken_away_after_a_night_in_it(owner, as_owner):
    from inventory.demo import actions as demo
    from inventory.parts.models import Holding

    demo.load(owner=owner)
    row = Holding.objects.filter(location__kind="drawer").first()
    form = {"uid": str(uuid.uuid4()), "kind": "part", "part": f"held:{row.pk}", "quantity": "1", "happened": "used"}
    assert as_owner.post("/tonight/log/", form).status_code == 303
    demo.remove()
    assert not Entry.objects.exists()


def late(session, **fields) -> dict:
    at = timezone.localtime(session.started_at + timedelta(minutes=30)).strftime("%Y-%m-%dT%H:%M")
    return {"uid": str(uuid.uuid4()), "kind": "note", "text": "Forgot this", "at": at} | fields


def test_a_line_is_added_to_a_session_that_is_over(as_owner, evening):
    session, hinges, _ = evening
    actions.stop(session=session, at=timezone.now())
    assert "Add a line" in as_owner.get(session.get_absolute_url()).text
    form = late(session, task=hinges.pk)
    for _ in range(2):  # a second tap
        assert as_owner.post(f"/sessions/{session.pk}/add/", form).status_code == 303
    entry = Entry.objects.get(text="Forgot this")
    assert (entry.session, entry.task) == (session, hinges)
    assert abs(entry.at - session.started_at - timedelta(minutes=30)) < timedelta(minutes=1)
    assert WorkSession.objects.count() == 1
    assert not WorkSession.objects.get().is_running


def test_also_a_measure_or_what_was_used_and_the_ledger_has_it_at_that_time(as_owner, evening):
    session, _, _ = evening
    actions.stop(session=session, at=timezone.now())
    drawer = make_place("drawer")
    part = make_part("M8×25", holds={drawer: 9})
    as_owner.post(f"/sessions/{session.pk}/add/", late(session, kind="measure", text="gap 3/8", unit="mm", how="rule"))
    assert Entry.objects.get(kind="measure").reading.own == "3/8 in"
    form = late(session, kind="part", part=f"{HELD}{part.holdings.get().pk}", quantity="4", happened="used", text="")
    assert as_owner.post(f"/sessions/{session.pk}/add/", form).status_code == 303
    entry = Entry.objects.get(kind="part")
    assert entry.batch.at == entry.at < session.ended_at
    assert part.holdings.get().quantity == 5


@pytest.mark.parametrize("minutes", [-90, 600])
def test_a_line_of_another_hour_is_asked_about(as_owner, evening, minutes):
    session, _, _ = evening
    actions.stop(session=session, at=timezone.now())
    at = timezone.localtime(session.started_at + timedelta(minutes=minutes)).strftime("%Y-%m-%dT%H:%M")
    answer = as_owner.post(f"/sessions/{session.pk}/add/", late(session, at=at))
    assert answer.status_code == 422
    assert "The session went from" in answer.text
    assert not Entry.objects.filter(text="Forgot this").exists()


def test_a_decision_while_a_session_runs_is_a_line_of_it(as_owner, owner, evening, build):
    session, _, _ = evening
    decision = make_decision(build, "Which colour inside?", options=("Cream",))
    as_owner.post(f"/decisions/{decision.pk}/", {"option": decision.options.get().pk, "why": "Hides flour"})
    as_owner.post(f"/decisions/{decision.pk}/reopen/")
    said = list(session.entries.filter(kind="decision").order_by("pk").values_list("says", "text"))
    assert said == [("Decided: Which colour inside? Cream.", "Hides flour"), ("Opened again: Which colour inside?", "")]
    page = as_owner.get("/tonight/").text
    assert "Decided: Which colour inside? Cream." in page
    assert f'href="/decisions/{decision.pk}/"' in page


def test_hours_of_a_struck_line_stay_to_be_seen(as_owner, evening):
    session, hinges, _ = evening
    actions.stop(session=session, at=timezone.now(), minutes={hinges: 90})
    session.entries.update(struck_at=timezone.now())
    offered = fields_of(as_owner, session)
    assert offered[f"task-{hinges.pk}"] == "1:30"
    del offered[f"task-{hinges.pk}"]  # a page that did not show it
    assert as_owner.post(f"/sessions/{session.pk}/stop/", offered).status_code == 303
    assert session.times.get().minutes == 90


def test_a_line_that_comes_while_the_stop_page_is_open_has_its_hours(as_owner, owner, evening):
    session, hinges, hang = evening
    offered = fields_of(as_owner, session)
    late = session.started_at + timedelta(minutes=150)
    actions.log(session=session, by=owner, text="Hung it", task=hang, at=late)
    assert as_owner.post(f"/sessions/{session.pk}/stop/", offered).status_code == 303
    assert {time.task: time.minutes for time in session.times.all()} == {hinges: 120, hang: 60}


def test_hours_as_offered_follow_another_end_and_those_said_stay(as_owner, evening):
    session, hinges, hang = evening
    offered = fields_of(as_owner, session)
    end = timezone.localtime(session.started_at + timedelta(minutes=150))
    offered["ended_at"] = f"{end:%Y-%m-%dT%H:%M}"
    assert as_owner.post(f"/sessions/{session.pk}/stop/", offered).status_code == 303
    assert session.times.get().minutes == 150
    again = fields_of(as_owner, session) | {f"task-{hinges.pk}": "1:00"}
    assert as_owner.post(f"/sessions/{session.pk}/stop/", again).status_code == 303
    assert session.times.get().minutes == 60


def test_no_task_has_more_hours_than_the_night(as_owner, owner, evening):
    session, hinges, hang = evening
    answer = as_owner.post(
        f"/sessions/{session.pk}/stop/", fields_of(as_owner, session) | {f"task-{hinges.pk}": "9:00"}
    )
    assert answer.status_code == 422
    assert "The night was 3:00 long." in answer.text
    actions.log(session=session, by=owner, text="Hung it", task=hang)
    both = {f"task-{hinges.pk}": "3:00", f"task-{hang.pk}": "2:00"}
    answer = as_owner.post(f"/sessions/{session.pk}/stop/", fields_of(as_owner, session) | both)
    assert answer.status_code == 422
    assert "Together that is more than the night" in answer.text

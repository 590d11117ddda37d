"""Times put right afterwards, nights that another person stopped, and starts that nobody said."""

from datetime import timedelta

import pytest
from django.utils import timezone

from buildlog.builds.models import Build
from buildlog.worklog import actions, queries
from buildlog.worklog.models import WorkSession
from inventory.web.moment import as_of
from tests.factories import make_build, make_task

from .test_log import post

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(db):
    return make_build("HB-64")


@pytest.fixture
def night(build, owner):
    """Two hours with two lines, the last an hour before its end, begun three hours ago."""
    began = timezone.now().replace(second=0, microsecond=0) - timedelta(hours=3)
    session = actions.start(build=build, by=owner, at=began)
    for minutes in (30, 60):
        at, task = began + timedelta(minutes=minutes), make_task(f"Task {minutes}", build=build)
        actions.log(session=session, by=owner, text="Done", task=task, at=at)
    return session


def stopped(session, **more):
    whole = actions._told(session)
    ended = session.started_at + timedelta(hours=2)
    offer = actions.draft(session, whole.entries, whole.plan, ended)
    minutes = {task: offer.minutes[task.pk] for task in offer.tasks} | more.pop("minutes", {})
    actions.stop(session=session, at=ended, stopping_point="Weld the hinge", minutes=minutes, **more)


def wall(at):
    return timezone.localtime(at).strftime("%Y-%m-%dT%H:%M")


def put_right(client, session, began):
    people = [person.pk for person in session.people.all()]
    fields = {"started_at": wall(began), "ended_at": wall(session.ended_at), "people": people}
    return client.post(f"/sessions/{session.pk}/edit/", fields, follow=True)


def times(session):
    return {time.task.title: time.minutes for time in session.times.select_related("task")}


def test_hours_as_drafted_follow_a_start_that_is_put_right(as_owner, night):
    stopped(night, done="In our own words")
    assert times(night) == {"Task 30": 30, "Task 60": 90}
    page = put_right(as_owner, night, night.started_at - timedelta(hours=3))
    night.refresh_from_db()
    assert times(night) == {"Task 30": 210, "Task 60": 90}
    assert (night.done, night.stopping_point) == ("In our own words", "Weld the hinge")
    assert "stay as they were said" not in page.text


def test_hours_that_a_person_said_stay_and_the_page_says_so(as_owner, night):
    stopped(night, minutes={night.entries.earliest("at").task: 45})
    page = put_right(as_owner, night, night.started_at - timedelta(hours=3))
    assert times(night) == {"Task 30": 45, "Task 60": 90}
    assert "The hours of its tasks stay as they were said" in page.text
    again = put_right(as_owner, night, WorkSession.objects.get().started_at)  # nothing was moved
    assert "stay as they were said" not in again.text


def test_a_line_just_after_somebody_stopped_the_night_goes_into_it_and_says_so(as_owner, as_hand, build, night):
    now = timezone.now()
    actions.stop(session=night, at=now - timedelta(minutes=3), stopping_point="Weld the hinge")
    page = as_hand.get(post(as_hand, "Typed while Olga stopped").headers["Location"])
    assert night.entries.filter(text="Typed while Olga stopped").exists()
    assert WorkSession.objects.count() == 1
    assert f"Session 1 was stopped at {timezone.localtime(now - timedelta(minutes=3)):%H:%M}." in page.text
    as_hand.post(f"/sessions/{night.pk}/go-on/")
    night.refresh_from_db()
    assert (night.is_running, night.stopping_point) == (True, "Weld the hinge")


def test_so_does_a_tap_at_the_bench(as_hand, build, night):
    actions.stop(session=night, at=timezone.now() - timedelta(minutes=3))
    task = make_task("Hang the hatch", build=build)
    page = as_hand.post(f"/tonight/task/{task.pk}/start/", follow=True)
    assert WorkSession.objects.count() == 1
    assert "was stopped at" in page.text


def test_what_is_logged_later_than_that_is_another_night(as_hand, build, night):
    ended = night.started_at + timedelta(hours=2)
    actions.stop(session=night, at=ended)
    with as_of(ended + queries.JUST_OVER + timedelta(minutes=1)):
        actions.log(build=build, by=None, text="Later")
    assert WorkSession.objects.count() == 2


def test_a_start_after_that_is_another_night_too(as_owner, night):
    actions.stop(session=night, at=timezone.now() - timedelta(minutes=3))
    as_owner.post("/tonight/start/")
    assert WorkSession.objects.running().count() == 1
    assert WorkSession.objects.count() == 2


def test_a_start_that_nobody_said_is_said_to_be_a_guess_until_it_is_put_right(as_owner, build):
    post(as_owner, "First line")
    session = WorkSession.objects.get()
    for address in ("/tonight/", session.get_absolute_url()):
        assert "Nobody started it" in as_owner.get(address).text, address
    people = [person.pk for person in session.people.all()]
    as_owner.post(f"/sessions/{session.pk}/edit/", {"started_at": wall(session.started_at), "people": people})
    for address in ("/tonight/", session.get_absolute_url()):
        assert "Nobody started it" not in as_owner.get(address).text, address


def test_a_start_that_was_said_is_none(as_owner, build):
    as_owner.post("/tonight/start/")
    assert "Nobody started it" not in as_owner.get("/tonight/").text


def test_tonight_says_that_a_session_runs_on_another_build(as_owner, owner, build):
    other = make_build("HB-66")
    session = actions.start(build=other, by=owner)
    Build.objects.update(active=False)
    Build.objects.filter(pk=build.pk).update(active=True)
    text = as_owner.get("/tonight/").text
    assert "has a session that runs" in text
    assert f"/sessions/{session.pk}/stop/" in text
    actions.stop(session=session, at=timezone.now())
    assert "has a session that runs" not in as_owner.get("/tonight/").text


def test_where_one_stopped_stays_in_sight_until_something_was_done_of_it(as_owner, build, night, owner):
    actions.stop(session=night, at=timezone.now() - timedelta(hours=1), stopping_point="Weld the hinge")
    session = actions.start(build=build, by=owner, at=timezone.now() - timedelta(minutes=50))
    for _ in range(3):
        post(as_owner, "A line")
        assert "Weld the hinge" in as_owner.get("/tonight/").text
    post(as_owner, "A fourth, within the hour")
    assert "Weld the hinge" in as_owner.get("/tonight/").text
    WorkSession.objects.filter(pk=session.pk).update(started_at=timezone.now() - timedelta(hours=2))
    assert "Weld the hinge" not in as_owner.get("/tonight/").text


def test_the_length_of_a_night_is_that_between_the_times_shown(build):
    began = timezone.now().replace(second=50, microsecond=0) - timedelta(days=1)
    session = WorkSession(build=build, started_at=began, ended_at=began + timedelta(minutes=11, seconds=20))
    assert session.length == timedelta(minutes=12)

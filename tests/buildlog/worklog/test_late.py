"""Sessions started and stopped on a phone without signal: what is told late joins the night it fell in."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from buildlog.worklog import actions
from buildlog.worklog.models import WorkSession
from inventory.web import moment
from tests.factories import make_build, make_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(db):
    return make_build()


@pytest.fixture
def ago():
    now = timezone.now()
    return lambda hours: now - timedelta(hours=hours)


def night(build, began, ended, **more):
    session = actions.start(build=build, by=None, at=began)
    actions.stop(session=session, at=ended, **more)
    return session


def test_a_late_start_joins_the_night_it_fell_in_though_that_is_over(build, hand, ago):
    over = night(build, ago(5), ago(2))
    assert actions.start(build=build, by=hand, at=ago(4)) == over
    over.refresh_from_db()
    assert (over.people.get(), over.started_at, over.ended_at) == (hand, ago(5), ago(2))
    assert WorkSession.objects.count() == 1


@pytest.mark.parametrize("over", [True, False])
def test_a_night_began_with_who_came_first_also_where_that_is_told_later(build, hand, ago, over):
    session = actions.start(build=build, by=None, at=ago(4))
    if over:
        actions.stop(session=session, at=ago(1))
    assert actions.start(build=build, by=hand, at=ago(5)) == session
    assert WorkSession.objects.get().started_at == ago(5)


def test_a_late_start_of_an_earlier_night_leaves_tonight_alone(build, hand, ago):
    tonight = actions.start(build=build, by=None, at=ago(1))
    late = actions.start(build=build, by=hand, at=ago(26))
    assert late != tonight
    assert (late.ended_at, late.end_guessed, tonight.people.count()) == (ago(26), True, 0)
    assert actions.session_for(build=build, by=hand, now=ago(25)) == late


def test_a_late_start_runs_where_nothing_else_was(build, hand, ago):
    night(build, ago(30), ago(27))
    session = actions.start(build=build, by=hand, at=ago(2))
    assert (session.started_at, session.is_running) == (ago(2), True)


def test_a_start_after_the_end_is_another_session(build, hand, ago):
    over = night(build, ago(3), ago(1))
    assert actions.start(build=build, by=hand, at=ago(0.5)) != over


def test_a_stop_from_afar_takes_the_rest_from_the_log(build, hand, ago):
    session = actions.start(build=build, by=hand, at=ago(3))
    task = make_task("Cut the floor", build=build)
    actions.log(session=session, by=hand, at=ago(2), text="Cut along the sill", task=task)
    assert actions.stop_from_afar(build=build, words=" Grind it ", at=ago(1)) == session
    session.refresh_from_db()
    assert (session.ended_at, session.end_guessed) == (ago(1), False)
    assert (session.done, session.stopping_point) == ("Cut along the sill.", "Grind it")
    assert session.times.get().minutes == 120


def test_a_stop_from_afar_without_words_says_what_the_log_says(build, hand, ago):
    session = actions.start(build=build, by=hand, at=ago(3))
    make_task("Cut the floor", build=build)
    actions.stop_from_afar(build=build, at=ago(1))
    session.refresh_from_db()
    assert session.stopping_point == "Cut the floor."


def test_a_stop_from_afar_puts_right_an_end_that_was_guessed(build, hand, ago):
    session = actions.start(build=build, by=hand, at=ago(30))
    actions.stop_as_guessed(session=session)
    actions.stop_from_afar(build=build, at=ago(26))
    session.refresh_from_db()
    assert (session.ended_at, session.end_guessed) == (ago(26), False)


def test_a_stop_that_comes_late_does_not_end_what_went_on(build, hand, ago):
    session = actions.start(build=build, by=hand, at=ago(3))
    actions.log(session=session, by=None, at=ago(0.5), text="Tacked")
    with pytest.raises(actions.NotNow, match="It went on after that: “Tacked”"):
        actions.stop_from_afar(build=build, at=ago(1))
    assert WorkSession.objects.get().is_running


def test_words_of_somebody_who_stopped_it_before_are_not_written_over(build, hand, ago):
    session = night(build, ago(3), ago(1), stopping_point="Prime it first")
    actions.stop_from_afar(build=build, at=ago(2))  # nothing more to say
    with pytest.raises(actions.NotNow, match="Prime it first"):
        actions.stop_from_afar(build=build, words="Grind it", at=ago(2))
    session.refresh_from_db()
    assert (session.ended_at, session.stopping_point) == (ago(1), "Prime it first")


def test_words_come_to_a_night_that_was_stopped_without_any(build, hand, ago):
    session = night(build, ago(3), ago(1))
    actions.stop_from_afar(build=build, words="Grind it", at=ago(2))
    session.refresh_from_db()
    assert (session.ended_at, session.stopping_point) == (ago(1), "Grind it")


@pytest.mark.parametrize("nights", [0, 1])
def test_a_stop_with_no_session_to_stop_says_so(build, ago, nights):
    if nights:
        night(build, ago(30), ago(27))
    with pytest.raises(actions.NotNow, match="No session was running then"):
        actions.stop_from_afar(build=build, at=ago(2))


@pytest.fixture
def forgotten(build, hand, ago):
    """A night that nobody stopped: it ended with its last line, three hours after it began."""
    session = actions.start(build=build, by=hand, at=ago(20))
    task = make_task("Cut the floor", build=build)
    actions.log(session=session, by=hand, at=ago(17), text="Cut along the sill", task=task)
    actions.stop_as_guessed(session=session)
    return session, task


def late_line(build, hand, at, **fields):
    with moment.as_of(at):
        return actions.log(build=build, by=hand, **fields)


def test_a_line_after_a_guessed_end_is_in_what_was_done_the_hours_and_where_it_stopped(build, hand, ago, forgotten):
    session, floor = forgotten
    sill = make_task("Grind the sill", build=build)
    assert late_line(build, hand, ago(16), text="Ground it", task=sill).session == session
    session.refresh_from_db()
    assert (session.ended_at, session.end_guessed) == (ago(16), True)
    assert (session.done, session.stopping_point) == (
        "Cut along the sill.\nGround it.",
        "Go on with Grind the sill. Ground it.",
    )
    assert {time.task: time.minutes for time in session.times.all()} == {floor: 180, sill: 60}


def test_a_late_line_reads_the_plan_and_the_log_once(build, hand, ago, forgotten):
    with CaptureQueriesContext(connection) as ran:
        late_line(build, hand, ago(16), text="Cut along the arch")
    reads = [query["sql"] for query in ran if query["sql"].startswith("SELECT")]
    assert len([sql for sql in reads if 'FROM "buildlog_need"' in sql]) == 1
    assert len([sql for sql in reads if 'FROM "buildlog_entry"' in sql and '"says"' in sql]) == 1


def test_a_persons_own_words_and_hours_stay_though_the_end_is_guessed(build, hand, ago, forgotten):
    session, floor = forgotten
    actions.stop(
        session=session, at=ago(17), done="Cut, badly", stopping_point="Buy discs", minutes={floor: 30}, guessed=True
    )
    sill = make_task("Grind the sill", build=build)
    late_line(build, hand, ago(16), text="Ground it", task=sill)
    session.refresh_from_db()
    assert (session.done, session.stopping_point) == ("Cut, badly", "Buy discs")
    assert {time.task: time.minutes for time in session.times.all()} == {floor: 30, sill: 60}


def test_putting_a_guessed_end_right_puts_its_hours_right(ago, forgotten):
    session, floor = forgotten
    actions.put_right(session=session, started_at=ago(20), ended_at=ago(15))
    session.refresh_from_db()
    assert (session.end_guessed, session.times.get().minutes) == (False, 300)


def test_what_was_drafted_is_drafted_anew_after_it_went_on_and_own_words_stay(hand, ago, forgotten):
    session, floor = forgotten
    WorkSession.objects.filter(pk=session.pk).update(stopping_point="Buy discs")
    session.refresh_from_db()
    actions.reopen(session=session)
    actions.log(session=session, by=hand, at=ago(15), text="Cut the other side", task=floor)
    actions.stop_as_guessed(session=session)
    session.refresh_from_db()
    assert session.done == "Cut along the sill.\nCut the other side."
    assert session.stopping_point == "Buy discs"
    assert session.times.get().minutes == 300

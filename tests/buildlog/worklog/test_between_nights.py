"""What is decided when nobody works."""

from datetime import timedelta

import pytest
from bs4 import BeautifulSoup
from django.utils import timezone
from django.utils.formats import date_format

from buildlog.decisions import actions as decide
from buildlog.telling.queries import decided_in
from buildlog.worklog import actions
from buildlog.worklog.models import BETWEEN_NIGHTS, Entry, WorkSession
from tests.factories import make_build, make_decision

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(db):
    return make_build("HB-64", areas=("Side hatch",))


def test_a_decision_while_nobody_works_stands_after_the_night_before_at_its_own_time(as_owner, owner, build):
    now = timezone.now()
    session = actions.start(build=build, by=owner, at=now - timedelta(days=2, hours=3))
    actions.log(session=session, by=owner, text="Tacked", at=now - timedelta(days=2, hours=1))
    actions.stop(session=session, at=now - timedelta(days=2))
    decision = make_decision(build, "Which colour inside?", options=("Cream",))
    as_owner.post(f"/decisions/{decision.pk}/", {"option": decision.options.get().pk})
    line = session.entries.get(kind="decision")
    assert line.at >= now
    assert (line.between_nights, session.entries.get(kind="note").between_nights) == (True, False)
    day = date_format(timezone.localtime(line.at), "j M H:i")
    for page in (session.get_absolute_url(), "/log/"):
        shown = BeautifulSoup(as_owner.get(page).content, "html.parser").select_one(f"#line-{line.pk}")
        assert shown.time.text == day
        assert "Decided: Which colour inside? Cream." in shown.text
    offered = as_owner.get(f"/sessions/{session.pk}/stop/").context["form"]["done"].value()
    assert "Decided" not in offered  # not of that night
    today = timezone.localtime(line.at).date()
    night = timezone.localtime(session.started_at).date()
    assert "Decided: Which" in as_owner.get(f"/log/?day={today}").text
    assert "Decided: Which" not in as_owner.get(f"/log/?day={night}").text
    assert not build.sessions.running().exists()


def test_a_decision_ends_a_session_that_somebody_forgot_to_stop(as_owner, owner, build):
    yesterday = timezone.now() - timedelta(days=1)
    session = actions.start(build=build, by=owner, at=yesterday)
    decision = make_decision(build, options=("Cream",))
    as_owner.post(f"/decisions/{decision.pk}/", {"option": decision.options.get().pk})
    session.refresh_from_db()
    assert (session.ended_at, session.end_guessed) == (yesterday, True)
    assert session.entries.get().between_nights


def test_a_decision_at_another_time_begins_no_session(as_owner, build):
    decision = make_decision(build, options=("Cream",))
    as_owner.post(f"/decisions/{decision.pk}/", {"option": decision.options.get().pk})
    assert not WorkSession.objects.exists()
    assert not Entry.objects.exists()


def test_the_database_and_a_line_say_alike_what_is_between_nights(build, owner):
    now = timezone.now()
    over = actions.start(build=build, by=owner, at=now - timedelta(days=2))
    actions.stop(session=over, at=now - timedelta(days=1, hours=23))
    runs = actions.start(build=build, by=owner, at=now - timedelta(hours=1))
    decision = make_decision(build)
    for session in (over, runs):
        for at in (session.started_at, session.started_at + timedelta(hours=1), now):
            for more in ({"kind": "note"}, {"kind": "decision", "decision": decision}):
                Entry.objects.create(session=session, at=at, says="Said", **more)
    between = set(Entry.objects.filter(BETWEEN_NIGHTS))
    assert between == {entry for entry in Entry.objects.all() if entry.between_nights}
    assert [(entry.session, entry.at) for entry in between] == [(over, now)]
    assert set(Entry.objects.exclude(BETWEEN_NIGHTS)) == set(Entry.objects.all()) - between


@pytest.mark.parametrize(("minutes", "night"), [(-1, None), (0, 1), (59, 1), (60, 1), (119, 1), (120, 2), (600, 2)])
def test_a_moment_belongs_to_the_night_that_is_on_or_the_one_before(build, owner, minutes, night):
    """As its line stands, so it is told."""
    first = timezone.now() - timedelta(days=2)
    for hour in (0, 2):
        session = actions.start(build=build, by=owner, at=first + timedelta(hours=hour))
        actions.stop(session=session, at=first + timedelta(hours=hour + 1))
    decision = make_decision(build, options=("Cream",))
    decide.choose(decision=decision, option=decision.options.get(), by=owner, at=first + timedelta(minutes=minutes))
    lines = Entry.objects.filter(decision=decision)
    assert [line.session.number for line in lines] == ([night] if night else [])
    for session in build.sessions.all():
        assert decided_in(build, [session]) == ([decision] if session.number == night else [])

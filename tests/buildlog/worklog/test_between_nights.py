"""What is decided when nobody works."""

from datetime import timedelta

import pytest
from bs4 import BeautifulSoup
from django.utils import timezone
from django.utils.formats import date_format

from buildlog.worklog import actions
from buildlog.worklog.models import Entry, WorkSession
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

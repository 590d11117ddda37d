"""Times that are put right run into no other night of the build: its hours would count twice."""

from datetime import timedelta

import pytest
from bs4 import BeautifulSoup
from django.utils import timezone

from buildlog.worklog import actions
from buildlog.worklog.models import WorkSession
from inventory.people.models import Person
from tests.factories import make_build

pytestmark = pytest.mark.django_db


def wall(at):
    return timezone.localtime(at).strftime("%Y-%m-%dT%H:%M")


@pytest.fixture
def nights(db):
    """Two nights of three hours, four days and three days ago, and when the first began."""
    build, first = make_build(), timezone.now().replace(second=0, microsecond=0) - timedelta(days=4)
    made = []
    for began in (first, first + timedelta(days=1)):
        made.append(session := actions.start(build=build, by=None, at=began))
        actions.stop(session=session, at=began + timedelta(hours=3))
    return *made, first


def times(session, **fields):
    span = {"started_at": wall(session.started_at), "ended_at": wall(session.ended_at)}
    return span | {"people": [Person.objects.first().pk]} | fields


def refused(answer, field, other):
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert f"{other} was from" in answer.context["form"].errors[field][0]
    link = BeautifulSoup(answer.content, "html.parser").find("a", string=f"Open {other}")
    assert link["href"] == other.get_absolute_url()


def test_a_later_end_says_at_its_field_which_night_it_runs_into(as_owner, nights):
    one, two, first = nights
    late = wall(first + timedelta(hours=25))
    refused(as_owner.post(f"/sessions/{one.pk}/edit/", times(one, ended_at=late)), "ended_at", two)
    refused(as_owner.post(f"/sessions/{one.pk}/stop/", {"uid": "0" * 32, "ended_at": late}), "ended_at", two)
    one.refresh_from_db()
    assert one.length == timedelta(hours=3)


def test_an_earlier_start_says_so_at_its_own(as_owner, nights):
    one, two, first = nights
    early = wall(first + timedelta(hours=2))
    refused(as_owner.post(f"/sessions/{two.pk}/edit/", times(two, started_at=early)), "started_at", one)
    over_it = wall(first - timedelta(hours=1))
    refused(as_owner.post(f"/sessions/{two.pk}/edit/", times(two, started_at=over_it)), "started_at", one)


def test_one_night_may_begin_when_the_other_ends(as_owner, nights):
    one, two, first = nights
    assert as_owner.post(f"/sessions/{one.pk}/edit/", times(one, ended_at=wall(two.started_at))).status_code == 303
    two_hours = {"uid": "0" * 32, "ended_at": wall(first + timedelta(hours=2))}
    assert as_owner.post(f"/sessions/{one.pk}/stop/", two_hours).status_code == 303


def test_nights_that_were_joined_so_are_put_right_in_all_else(as_owner, hand, nights):
    """Times that are not touched are as they were joined: who was there, and the words, can be said all the same."""
    one, two, first = nights
    WorkSession.objects.filter(pk=one.pk).update(ended_at=two.started_at + timedelta(minutes=30), end_guessed=True)
    one.refresh_from_db()
    assert as_owner.post(f"/sessions/{one.pk}/edit/", times(one, people=[hand.pk])).status_code == 303
    words = {"uid": "0" * 32, "ended_at": wall(one.ended_at), "done": "Swept"}
    assert as_owner.post(f"/sessions/{one.pk}/stop/", words).status_code == 303
    one.refresh_from_db()
    assert (list(one.people.all()), one.done) == ([hand], "Swept")


def test_a_night_of_another_build_is_no_hindrance(as_owner, nights):
    one, two, first = nights
    WorkSession.objects.filter(pk=two.pk).update(build=make_build("HB-65"))
    late = wall(first + timedelta(hours=25))
    assert as_owner.post(f"/sessions/{one.pk}/edit/", times(one, ended_at=late)).status_code == 303

import pytest
from bs4 import BeautifulSoup

from buildlog.worklog.models import Entry, Kind, WorkSession
from inventory.demo import actions as demo_shop
from inventory.parts import audit
from inventory.photos.models import Photo
from tests.factories import make_build

pytestmark = pytest.mark.django_db


def test_the_demo_has_weeks_of_nights_with_lines_of_every_kind_and_pictures(as_owner, owner):
    demo_shop.load(owner=owner)
    sessions = WorkSession.objects.all()
    assert sessions.count() >= 15
    assert all(session.ended_at and session.stopping_point and session.done for session in sessions)
    assert {Kind.NOTE, Kind.MEASURE, Kind.SNAG, Kind.PART} <= set(Entry.objects.values_list("kind", flat=True))
    assert all(entry.reading.own for entry in Entry.objects.filter(kind=Kind.MEASURE))
    assert Entry.photos.through.objects.count() >= 5
    for session in sessions:
        assert sum(time.minutes for time in session.times.all()) in (0, session.length.total_seconds() / 60)
        assert all(session.started_at <= entry.at <= session.ended_at for entry in session.entries.all())
    assert audit.differences() == []
    tonight = as_owner.get("/tonight/").text
    assert "Where you stopped" in tonight
    fetched = BeautifulSoup(tonight, "html.parser").find("h2", string="To be fetched").find_next("ul")
    assert sorted(row.b.get_text() for row in fetched.select("li")) == ["Ana’s workshop (mill)", "Coater across town"]


def test_the_nights_go_with_the_demo_and_what_the_shop_logged_itself_stays(owner):
    demo_shop.load(owner=owner)
    mine = WorkSession.objects.create(build=make_build("HB-65"), number=1)
    demo_shop.remove()
    assert list(WorkSession.objects.all()) == [mine]
    assert not Entry.objects.exists()
    assert not Photo.objects.kept().exists()

"""What a list of lines shows of each: who wrote it, all of its words; and the times of its clip."""

from datetime import timedelta

import pytest
from django.utils import timezone

from buildlog.worklog import actions
from buildlog.worklog.models import Entry, WorkSession
from tests.factories import make_build

from .test_log import change, post

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(db):
    return make_build("HB-64")


def test_who_wrote_a_line_is_said_where_more_than_one_was_there(as_owner, as_hand, build):
    post(as_owner, "Mine")
    session = WorkSession.objects.get()
    for address in ("/tonight/", session.get_absolute_url()):
        assert "<span>Olga</span>" not in as_owner.get(address).text
    post(as_hand, "His")
    for address in ("/tonight/", session.get_absolute_url()):
        text = as_owner.get(address).text
        assert "<span>Olga</span>" in text, address
        assert "<span>Harald</span>" in text, address


def test_a_long_line_is_kept_whole_and_folded_in_lists(as_owner, build):
    words = "\r\n".join(f"Line {number} of a long story" for number in range(800))
    assert post(as_owner, words).status_code == 303  # 20,000 letters with a line end as one
    entry = Entry.objects.get()
    assert entry.text == words.replace("\r\n", "\n")
    head, rest = entry.folded
    assert f"{head}\n{rest}" == entry.text
    assert head.count("\n") < 12
    text = as_owner.get("/tonight/").text
    assert "The rest of it" in text
    assert "Line 799 of a long story" in text
    assert "The rest of it" not in as_owner.get(f"/log/{entry.pk}/").text
    assert "maxlength" not in str(as_owner.get("/tonight/").context["form"]["text"])


def test_too_much_is_refused_at_the_field_and_stays_in_the_box(as_owner, build):
    answer = post(as_owner, "Z" * 20_001)
    assert answer.status_code == 422
    assert "That is 20,001 letters; 20,000 fit." in answer.context["form"].errors["text"][0]
    assert "Z" * 20_001 in answer.text
    assert not Entry.objects.exists()


@pytest.mark.parametrize(
    ("begins", "ends", "wrong"),
    [("1:10", "1:45", ""), ("0:59:10", "1:00:05", ""), ("75:10", "", ""), ("00:01:10:12", "00:01:10:24", ""),
     ("9:99", "", "clip_in"), ("0:99:10", "", "clip_in"), ("2:10", "1:05", "clip_out"), ("x", "", "clip_in")],
)  # fmt: skip
def test_the_times_of_a_clip_are_times_and_in_order(as_owner, build, begins, ends, wrong):
    post(as_owner)
    entry = Entry.objects.get()
    answer = change(as_owner, entry, clip="0042", clip_in=begins, clip_out=ends)
    entry.refresh_from_db()
    assert entry.clip_in == ("" if wrong else begins)
    assert answer.status_code == (422 if wrong else 303)
    assert not wrong or list(answer.context["form"].errors) == [wrong]


def test_a_night_somebody_remembered_does_not_say_the_same_twice(as_owner, owner, build):
    at = timezone.now() - timedelta(hours=30)
    more = {"build": build, "by": owner, "started_at": at, "ended_at": at + timedelta(hours=1)}
    session = actions.remember(text="Cut the sill.\nWelded it.", **more)
    assert as_owner.get(session.get_absolute_url()).text.count("Cut the sill.") == 1
    WorkSession.objects.update(done="In short: the sill is in.")
    assert "In short: the sill is in." in as_owner.get(session.get_absolute_url()).text


def test_the_words_and_hours_of_a_night_come_before_its_log(as_owner, owner, build):
    session = actions.start(build=build, by=owner)
    actions.log(session=session, by=owner, text="Cut the sill")
    actions.stop(session=session, at=timezone.now(), done="All of the sill")
    text = as_owner.get(session.get_absolute_url()).text
    assert text.index("All of the sill") < text.index("Cut the sill")


def test_somebody_was_there(as_owner, owner, build):
    session = actions.start(build=build, by=owner)
    began = timezone.localtime(session.started_at).strftime("%Y-%m-%dT%H:%M")
    answer = as_owner.post(f"/sessions/{session.pk}/edit/", {"started_at": began})
    assert answer.status_code == 422
    assert "Say who was there." in answer.text


def test_a_line_that_is_kept_as_it_was_is_not_called_changed(as_owner, build):
    post(as_owner, "One\r\nTwo")
    entry = Entry.objects.get()
    change(as_owner, entry, text="One\r\nTwo", private="on")
    entry.refresh_from_db()
    assert (entry.private, entry.edited_at, entry.earlier.count()) == (True, None, 0)
    change(as_owner, entry, text="One\r\nThree")
    entry.refresh_from_db()
    assert (entry.text, entry.earlier.get().text) == ("One\nThree", "One\nTwo")

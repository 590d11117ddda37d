"""“Good night” that comes a second time, or late, takes nothing back that was put right since."""

import io
import uuid
from datetime import timedelta

import pytest
from bs4 import BeautifulSoup
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from PIL import Image

from buildlog.worklog import actions
from buildlog.worklog.models import WorkSession
from tests.factories import make_build, make_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def night(owner, db):
    """Three hours until now, with a task that has been worked on."""
    start = timezone.now() - timedelta(hours=3)
    session = actions.start(build=make_build(), by=owner, at=start)
    task = make_task("Weld hatch hinges", build=session.build)
    actions.log(session=session, by=owner, text="Tacked", task=task, at=start + timedelta(hours=1))
    return session, task


@pytest.fixture
def send(as_owner, night):
    def post(fields, photo=None):
        more = {"photos": SimpleUploadedFile("bench.jpg", photo, "image/jpeg")} if photo else {}
        return as_owner.post(f"/sessions/{night[0].pk}/stop/", fields | more)

    return post


@pytest.fixture
def offered(as_owner, night):
    """What the page offers, as the browser would send it."""

    def read(answer=None):
        page = answer or as_owner.get(f"/sessions/{night[0].pk}/stop/")
        form = BeautifulSoup(page.content, "html.parser").select_one("form.stopping")
        fields = {one["name"]: one.get("value", "") for one in form.select("input[name]:not([type=file])")}
        return fields | {one["name"]: one.get_text().strip("\n") for one in form.select("textarea")}

    return read


def picture(colour) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (80, 60), colour).save(out, "JPEG")
    return out.getvalue()


def standing():
    session = WorkSession.objects.get()
    return session.ended_at, session.bench_photo_id, [time.minutes for time in session.times.all()]


def test_as_it_was_offered_it_gives_way_to_hours_put_right_since(night, send, offered):
    first = offered()
    assert send(first).status_code == 303
    assert standing()[2] == [180]
    assert send(offered() | {f"task-{night[1].pk}": "1:30"}).status_code == 303
    put_right = standing()
    assert put_right[2] == [90]
    assert send(first).status_code == 303
    assert standing() == put_right


def test_it_gives_way_to_an_end_put_right_on_the_page_of_times(as_owner, night, send, offered):
    session, _ = night
    first = offered()
    send(first)
    actions.put_right(session=session, started_at=session.started_at, ended_at=session.started_at + timedelta(hours=2))
    put_right = standing()
    assert send(first).status_code == 303
    assert standing() == put_right


def test_hours_a_person_said_are_refused_at_their_field_against_others_said_since(night, send, offered):
    name = f"task-{night[1].pk}"
    first = offered() | {name: "2:00"}
    send(first)
    send(offered() | {name: "1:30"})
    put_right = standing()
    answer = send(first)
    assert answer.status_code == 422
    assert answer.context["form"].errors == {name: ["Somebody has put 1:30 meanwhile. Say which holds."]}
    assert standing() == put_right
    assert send(offered(answer)).status_code == 303  # said again, of the page that told
    assert standing()[2] == [120]


def test_an_end_a_person_said_is_refused_against_another_said_since(night, send, offered):
    session, _ = night
    ends = [
        timezone.localtime(session.started_at + timedelta(hours=hours)).strftime("%Y-%m-%dT%H:%M") for hours in (1, 2)
    ]
    first = offered() | {"ended_at": ends[0]}
    send(first)
    send(offered() | {"ended_at": ends[1]})
    answer = send(first)
    assert answer.status_code == 422
    assert "meanwhile" in answer.context["form"].errors["ended_at"][0]
    assert abs(standing()[0] - session.started_at - timedelta(hours=2)) < timedelta(minutes=1)


def test_its_photo_does_not_take_the_place_of_a_later_one(send, offered):
    first = offered()
    send(first, picture("grey"))
    send(offered() | {"uid": str(uuid.uuid4())}, picture("red"))
    put_right = standing()
    assert send(first, picture("grey")).status_code == 303
    assert standing() == put_right


def test_a_photo_that_comes_late_for_the_first_time_is_not_dropped_in_silence(send, offered):
    late = offered()
    send(offered() | {"uid": str(uuid.uuid4())}, picture("red"))
    answer = send(late, picture("grey"))
    assert answer.status_code == 422
    assert "another photo of the bench" in answer.text


@pytest.mark.parametrize("more", [{}, {"done": "Welded", "stopping_point": "Grind"}])
def test_a_plain_repeat_changes_nothing_and_is_answered_the_same(as_owner, owner, night, send, offered, more):
    session, task = night
    first = offered() | {f"task-{task.pk}": "2:15"} | more
    actions.log(session=session, by=owner, text="Swept")  # while the page was open
    answers = [send(first, picture("grey")).headers["Location"]]
    once = standing()
    answers.append(send(first, picture("grey")).headers["Location"])
    assert standing() == once
    assert answers[0] == answers[1]


def test_a_refused_end_is_taken_once_it_was_looked_at(send, offered):
    first = offered()
    send(offered() | {"stopping_point": "Prime it first"})
    answer = send(first | {"stopping_point": "Grind it"})
    assert answer.status_code == 422
    assert "Prime it first" in answer.text
    assert send(offered(answer) | {"stopping_point": "Prime it first. Grind it"}).status_code == 303
    assert WorkSession.objects.get().stopping_point == "Prime it first. Grind it"


def test_so_is_a_refused_change_of_a_line(as_owner, night):
    entry = night[0].entries.get()
    path = f"/log/{entry.pk}/"

    def change(answer, text):
        form = BeautifulSoup(answer.content, "html.parser").select_one("form[enctype]")
        fields = {one["name"]: one["value"] for one in form.select("input[type=hidden][name]") if one.get("value")}
        return as_owner.post(path, fields | {"text": text, "task": entry.task_id})

    page = as_owner.get(path)
    change(page, "Tacked left")
    answer = change(page, "Tacked right")
    assert answer.status_code == 422
    assert change(answer, "Tacked left and right").status_code == 303

"""A night written down afterwards."""

import io
import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from buildlog.worklog.models import WorkSession
from tests.factories import make_build, make_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(db):
    return make_build("HB-64")


REMEMBERED = {
    "started_at": "2026-10-01T20:00", "ended_at": "2026-10-01T22:00", "text": "Sanded the floor\nPrimed the floor",
}  # fmt: skip


def test_a_night_from_memory_has_its_hours_people_and_photos(as_owner, owner, hand, build):
    task = make_task("Cut the floor", build=build)
    out = io.BytesIO()
    Image.new("RGB", (80, 60), "grey").save(out, "JPEG")
    photo = SimpleUploadedFile("floor.jpg", out.getvalue(), "image/jpeg")
    form = REMEMBERED | {"uid": str(uuid.uuid4()), "task": task.pk, "people": [owner.pk, hand.pk], "photos": photo}
    assert as_owner.post("/sessions/remember/", form).status_code == 303
    session = WorkSession.objects.get()
    assert session.times.get().minutes == 120
    assert set(session.people.all()) == {owner, hand}
    assert session.entries.get(text="Sanded the floor").photos.count() == 1
    page = as_owner.get(session.get_absolute_url()).text
    assert page.index(">Sanded the floor</a>") < page.index(">Primed the floor</a>")  # as written
    nights = as_owner.get("/sessions/?month=2026-10").text
    assert "Sanded the floor. · Primed the floor." in nights


def test_a_night_that_overlaps_another_is_refused_at_the_field(as_owner, build):
    assert as_owner.post("/sessions/remember/", REMEMBERED | {"uid": str(uuid.uuid4())}).status_code == 303
    other = REMEMBERED | {"uid": str(uuid.uuid4()), "started_at": "2026-10-01T21:30", "ended_at": "2026-10-01T23:00"}
    answer = as_owner.post("/sessions/remember/", other)
    assert answer.status_code == 422
    assert "Session 1 was from 1 Oct 20:00 to 22:00." in answer.text
    assert as_owner.post("/sessions/remember/", other | {"started_at": "2026-10-01T22:00"}).status_code == 303
    second = WorkSession.objects.get(number=2)
    moved = {"started_at": "2026-10-01T21:00", "ended_at": "2026-10-01T23:00"}
    assert as_owner.post(f"/sessions/{second.pk}/edit/", moved).status_code == 422


def test_a_night_from_memory_has_its_lines_and_is_written_once(as_owner, build):
    form = {
        "uid": str(uuid.uuid4()), "started_at": "2026-10-01T20:00", "ended_at": "2026-10-01T22:00",
        "text": "Cut out the sill\n\nPrimed the edge", "stopping_point": "Weld the patch",
    }  # fmt: skip
    for _ in range(2):
        assert as_owner.post("/sessions/remember/", form).status_code == 303
    session = WorkSession.objects.get()
    assert session.from_memory
    assert sorted(session.entries.values_list("text", flat=True)) == ["Cut out the sill", "Primed the edge"]
    assert "from memory" in as_owner.get(session.get_absolute_url()).text

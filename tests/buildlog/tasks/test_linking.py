"""What is refused when tasks are tied to each other and to parts, in words at the field."""

import pytest
from bs4 import BeautifulSoup

from buildlog.tasks.models import Need
from tests.factories import make_build, make_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def build():
    return make_build("HB-64")


def test_words_for_a_part_that_are_too_long_are_refused_and_kept(as_hand, build):
    task, words = make_task(build=build), "A hinge pin, " * 10
    page = as_hand.post(f"/tasks/{task.pk}/parts/", {"part": f"new:{words}", "part_text": words, "quantity": 1})
    assert page.status_code == 422
    assert "This has 129 letters, and 120 is the most. Shorten it." in page.text
    assert words.strip() in page.text
    assert not task.parts.exists()


@pytest.mark.parametrize("named", [{"need_text": "weld  THE frame"}, {"need": "itself"}])
def test_a_task_that_would_need_itself_is_said_as_such(as_hand, build, named):
    task = make_task("Weld the frame", build=build)
    named = {name: str(task.pk) if value == "itself" else value for name, value in named.items()}
    page = as_hand.post(f"/tasks/{task.pk}/needs/", named)
    assert page.status_code == 422
    assert "That is this task itself. Pick another." in page.text
    other = make_task("Weld the frame", build=build)
    as_hand.post(f"/tasks/{task.pk}/needs/", {"need_text": "Weld the frame"})
    assert [need.need for need in task.needs.all()] == [other]


def test_a_circle_is_refused_and_spelled_out(as_hand, build):
    saw = make_task("Saw", build=build)
    weld = make_task("Weld", build=build, needs=[saw])
    hang = make_task("Hang", build=build, needs=[weld])
    page = as_hand.post(f"/tasks/{saw.pk}/needs/", {"need": hang.pk})
    assert page.status_code == 422
    error = BeautifulSoup(page.content, "html.parser").select_one(".error").get_text()
    assert error == ("That would go round in a circle: “Saw” needs “Hang”, which needs “Weld”, which needs “Saw”.")
    assert not Need.objects.filter(task=saw).exists()

"""A snag becomes a task in one tap, and none again in another."""

import pytest
from bs4 import BeautifulSoup

from buildlog.tasks import actions as tasks
from buildlog.worklog import actions as log
from buildlog.worklog.models import Entry, Kind
from tests.factories import make_build, make_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def snag(owner):
    return log.log(build=make_build("HB-64"), by=owner, kind=Kind.SNAG, text="Gap at the sill is open")


def make_it_a_task(client, snag, there: str):
    return client.post(f"/log/{snag.pk}/task/", {"next": there}, follow=True)


def undo(client, page, there: str = ""):
    form = BeautifulSoup(page.content, "html.parser").select_one(".flash form")
    return client.post(form["action"], {"next": there or form.select_one("[name=next]")["value"]}, follow=True)


@pytest.mark.parametrize("there", ["/tonight/", ""])
def test_it_is_undone_from_what_the_page_offers(as_hand, snag, there):
    page = make_it_a_task(as_hand, snag, there)
    assert snag.session.build.tasks.count() == 1
    for _ in range(2):
        again = undo(as_hand, page)
        assert again.status_code == 200
        assert snag.session.build.tasks.count() == 0
    assert Entry.objects.get(pk=snag.pk).became is None
    make_it_a_task(as_hand, snag, there)
    assert snag.session.build.tasks.get().title == snag.text


@pytest.mark.parametrize("since", ["started", "needed", "logged"])
def test_a_task_that_has_gone_on_since_stays(as_hand, owner, snag, since):
    page = make_it_a_task(as_hand, snag, "/tonight/")
    task = snag.session.build.tasks.get()
    if since == "started":
        tasks.start(task=task, by=owner)
    elif since == "needed":
        make_task("Paint the sill", build=task.build, needs=[task])
    else:
        log.log(build=task.build, by=owner, text="Ground it open", task=task)
    refused = undo(as_hand, page)
    assert "Drop it instead." in refused.text
    snag.refresh_from_db()
    assert snag.became == task

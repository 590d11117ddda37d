"""What an empty shop, the demo shop and somebody's own shop are told at a start."""

import pytest

from buildlog.config.serving import firstrun
from inventory.parts.models import Part
from inventory.people import setup_code
from inventory.people.models import Person

from ...factories import make_person

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path


@pytest.fixture
def said():
    return []


def test_an_empty_shop_gets_a_code(said):
    told = firstrun.prepare(demo=False, say=said.append)
    assert list(told) == ["code"]
    assert setup_code.check(told["code"])
    assert not Person.objects.exists()


def test_a_shop_with_an_owner_is_told_nothing_and_takes_no_code(said):
    code = setup_code.issue()
    make_person("owner", name="Olga")
    assert firstrun.prepare(demo=False, say=said.append) == {}
    assert not setup_code.check(code)


def test_the_demo_fills_an_empty_shop_and_signs_its_owner_in(said, client):
    told = firstrun.prepare(demo=True, say=said.append)
    assert list(told) == ["sign_in"]
    owner = Person.objects.get()
    assert owner.is_owner
    assert not owner.has_usable_password()
    assert said == [f"The demo shop is in: {Part.objects.count()} parts."]
    desk = client.get(told["sign_in"].partition("#")[0], headers={"Host": "localhost:8000"})
    assert desk.status_code == 200


def test_a_second_start_of_the_demo_opens_the_same_shop(said):
    first = firstrun.prepare(demo=True, say=said.append)
    count = Part.objects.count()
    again = firstrun.prepare(demo=True, say=said.append)
    assert again["sign_in"] != first["sign_in"]
    assert (Part.objects.count(), Person.objects.count()) == (count, 1)
    assert firstrun.prepare(demo=False, say=said.append) == {}


def test_somebodys_own_shop_is_left_alone_and_not_opened(said):
    make_person("owner", name="Olga")
    assert firstrun.prepare(demo=True, say=said.append) == {}
    assert not Part.objects.exists()
    assert said == ["This shop is somebody's own, so the demo shop was not put into it."]


def test_an_owner_with_a_password_is_never_signed_in_from_the_terminal(said):
    firstrun.prepare(demo=True, say=said.append)
    owner = Person.objects.get()
    owner.set_password("a long enough one")
    owner.save()
    assert firstrun.prepare(demo=True, say=said.append) == {}

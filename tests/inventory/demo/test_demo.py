import pytest
from django.core.management import CommandError, call_command

from inventory.demo import actions
from inventory.demo.models import DemoThing
from inventory.parts import audit
from inventory.parts.models import Batch, Holding, Move, Part
from inventory.places.models import Location
from tests.factories import make_part

pytestmark = pytest.mark.django_db


def test_the_demo_fills_an_empty_shop_with_some_three_hundred_parts_and_balances(owner):
    count = actions.load(owner=owner)
    assert 250 <= count <= 350
    assert Location.objects.filter(kind="bin", row__isnull=False).count() == 48
    assert Location.objects.filter(kind="vehicle", short__in=["D1", "D2"]).count() == 2
    assert audit.differences() == []


def test_it_is_taken_away_without_a_trace(owner):
    actions.load(owner=owner)
    actions.remove()
    for model in (Part, Move, Holding, Batch, Location, DemoThing):
        assert not model.objects.exists(), model


def test_what_the_shop_added_itself_stays_with_the_place_it_lies_in(owner):
    actions.load(owner=owner)
    tub = Location.objects.filter(kind="bin").first()
    mine = make_part("My own hinge", holds={tub: 3})
    actions.remove()
    assert list(Part.objects.all()) == [mine]
    tub.refresh_from_db()
    assert tub.holdings.get().quantity == 3
    assert set(Location.objects.values_list("kind", flat=True)) == {"bin", "shelf", "rack", "container", "site"}
    assert audit.differences() == []


def test_a_shop_that_is_not_empty_is_left_alone(owner):
    make_part()
    with pytest.raises(CommandError, match="only for an empty one"):
        call_command("demo", "load")
    with pytest.raises(CommandError, match="no demo in this shop"):
        call_command("demo", "remove")

import pytest
from django.core.management import CommandError, call_command

from inventory.demo import actions
from inventory.demo.models import DemoThing
from inventory.demo.pictures import MOTIFS, motif_of
from inventory.donors.models import Donor, Pull
from inventory.labels import actions as labels
from inventory.labels.models import Label
from inventory.parts import audit
from inventory.parts.models import Batch, Holding, Move, Part
from inventory.parts.quantity import exact
from inventory.photos import actions as photos
from inventory.photos.models import Photo
from inventory.places.models import Location
from tests.factories import make_part, make_place
from tests.inventory.photos.hostile import image

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


def test_its_odd_parts_have_pictures_that_go_with_them(owner):
    actions.load(owner=owner)
    pictured = Photo.objects.exclude(part=None).values_list("part__name", flat=True)
    assert {motif_of(name) for name in pictured} == set(MOTIFS)
    assert {"Hatch hinge, left", "Hatch hinge, right"} <= set(pictured)
    actions.remove()
    assert not Photo.objects.kept().exclude(part=None).exists()


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


def test_photos_and_labels_tried_on_it_do_not_hold_it_fast(owner):
    actions.load(owner=owner)
    part, tub = Part.objects.first(), Location.objects.filter(kind="bin").first()
    photo, other = [photos.add(data=image(), by=owner, **of) for of in ({"part": part}, {"location": tub})]
    stickers = labels.labels_for(things=[part, tub], by=owner)
    actions.remove()
    assert not Part.objects.exists()
    assert not Location.objects.exists()
    assert not Photo.objects.kept().filter(pk__in=[photo.pk, other.pk]).exists()
    blank = Label.objects.filter(pk__in=[label.pk for label in stickers])
    assert [label.thing for label in blank] == [None, None]
    assert {label.retired_at for label in blank} == {None}


def test_a_part_of_it_that_the_shop_took_off_its_own_donor_stays_in_the_list(owner):
    actions.load(owner=owner)
    mine = Donor.objects.create(location=make_place("vehicle", short="D9"))
    part = Part.objects.filter(pulls=None).first()
    batch = Batch.objects.create(what="Pulled it", by=owner)
    Pull.objects.create(batch=batch, donor=mine, part=part, quantity=exact(1), by=owner)
    actions.remove()
    assert list(Part.objects.all()) == [part]
    assert Batch.objects.get() == batch


def test_a_shop_that_is_not_empty_is_left_alone(owner):
    make_part()
    with pytest.raises(CommandError, match="only for an empty one"):
        call_command("demo", "load")
    with pytest.raises(CommandError, match="no demo in this shop"):
        call_command("demo", "remove")

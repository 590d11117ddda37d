"""The donors of the demo shop come with it and go with it; what the shop pulled itself stays."""

import pytest
from django.db import models

from inventory.demo import actions as demo
from inventory.donors.models import Donor, Pull, Want
from inventory.parts import audit
from inventory.parts.models import Part
from inventory.places.models import Kind, Location

from .made import make_pull

pytestmark = pytest.mark.django_db


def test_both_donors_have_a_list_and_pulls_one_sold_one_a_pattern_and_go_again(owner):
    demo.load(owner=owner)
    assert sorted(donor.location.short for donor in Donor.objects.select_related("location")) == ["D1", "D2"]
    assert Pull.objects.standing().count() == 6
    assert Want.objects.still_on().count() >= 5
    assert Part.objects.exclude(pattern=None).exists()
    assert audit.differences() == []
    demo.remove()
    assert [model.objects.count() for model in (Donor, Pull, Want, Part, Location)] == [0, 0, 0, 0, 0]


def test_a_donor_that_something_of_the_shops_own_came_off_stays(owner):
    demo.load(owner=owner)
    bench = Location.objects.filter(kind=Kind.BENCH).first()
    donor = Donor.objects.get(location__short="D1")
    own = make_pull(donor, "Towing eye", to=bench, by=owner)
    demo.remove()
    assert list(Donor.objects.all()) == [donor]
    assert list(Pull.objects.all()) == [own]
    assert audit.differences() == []


def test_nothing_the_demo_shop_wants_off_a_donor_has_come_off_it_already(owner):
    demo.load(owner=owner)
    on_hand = set(map(str, Part.objects.filter(holdings__location__kind__in=("bin", "drawer", "bench"))))
    wanted = list(Want.objects.still_on())
    assert wanted
    assert not on_hand & set(map(str, wanted))
    assert not Want.objects.still_on().filter(donor__pulls__part__name__iexact=models.F("what"))

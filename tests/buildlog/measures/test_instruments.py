"""A shop says what its instruments are good to; lines keep what they were made with."""

import uuid

import pytest

from buildlog.measures.models import How
from buildlog.worklog.models import Entry
from inventory.web import nav
from tests.factories import make_build

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def build(db):
    return make_build("HB-64")


def measure(client, text: str, how: str = "tape") -> str:
    """How far off a line logged now says that it may be."""
    fields = {"uid": str(uuid.uuid4()), "kind": "measure", "text": text, "how": how, "unit": "mm"}
    assert client.post("/tonight/log/", fields).status_code == 303
    return Entry.objects.latest("pk").reading.within


def test_a_shop_that_has_said_nothing_measures_as_is_common(as_owner):
    assert measure(as_owner, "sill 1100 mm") == "± 1 mm"
    assert "Common: ± 1/32 in" in as_owner.get("/shop/instruments/").text


def test_new_lines_say_what_the_shop_set_and_earlier_ones_what_they_said(as_owner):
    measure(as_owner, "sill 1100 mm")
    old = Entry.objects.get()
    answer = as_owner.post("/shop/instruments/", {"tape-mm": "0,5", "tape-in": "1/64"}, follow=True)
    assert "0,5 mm" in answer.text
    assert measure(as_owner, "leaf 1100 mm") == "± 0.5 mm"
    assert measure(as_owner, "hatch 43 5/16") == "± 1/64 in"
    assert measure(as_owner, "pin 12", how="caliper") == "± 0.05 mm"
    assert Entry.objects.get(pk=old.pk).reading.within == "± 1 mm"
    as_owner.post("/shop/instruments/", {"tape-mm": "2 mm"})
    assert Entry.objects.order_by("pk")[1].reading.within == "± 0.5 mm"
    assert measure(as_owner, "hatch 43 5/16") == "± 1/32 in"  # left empty: as is common


def test_a_line_put_right_to_another_instrument_is_as_good_as_that_one(as_owner):
    as_owner.post("/shop/instruments/", {"tape-mm": "0,5", "caliper-mm": "0,02"})
    measure(as_owner, "pin 12 mm")
    entry = Entry.objects.get()
    form = {"uid": uuid.uuid4(), "text": "pin 12 mm", "unit": "mm", "how": "caliper", "plus_minus": entry.plus_minus}
    assert as_owner.post(f"/log/{entry.pk}/", form).status_code == 303
    assert Entry.objects.get().reading.within == "± 0.02 mm"
    as_owner.post(f"/log/{entry.pk}/", form | {"how": "tape", "plus_minus": "3"})
    assert Entry.objects.get().reading.within == "± 3 mm"  # said for this line


@pytest.mark.parametrize("typed", ["about 1", "0", "-1 mm", "1 x 2", "1,100", "1/0", "0." + "0" * 16 + "1"])
def test_what_is_no_length_is_said_at_its_field(as_owner, typed):
    answer = as_owner.post("/shop/instruments/", {"rule-mm": typed})
    assert answer.status_code == 422
    assert "rule-mm" in answer.context["form"].errors
    assert measure(as_owner, "gap 10", how="rule") == "± 0.5 mm"


def test_only_the_owner_says_so(as_hand):
    assert as_hand.post("/shop/instruments/", {"tape-mm": "9"}).status_code == 403
    link = next(link for link in nav.shop_links() if link.url_name == "buildlog:instruments")
    assert link.owner_only


def test_every_instrument_that_can_be_chosen_has_a_usual_error(as_owner):
    for how in How:
        assert measure(as_owner, "gap 10 mm", how=how).startswith("± ")

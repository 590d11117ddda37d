"""What happens when a label's address is opened, or its code is typed."""

import pytest

from inventory.labels import actions, codes
from inventory.labels.models import BaseAddress, Label
from inventory.parts.actions import merge, put_in
from inventory.parts.models import Part
from inventory.places.models import Location
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


@pytest.fixture
def box():
    return make_place(short="14", name="Hatch hinges")


@pytest.fixture
def label(box):
    return actions.labels_for(things=[box], by=None)[0]


def slip(code):
    """The code with its last payload character wrong."""
    other = next(c for c in codes.ALPHABET if c != code[5])
    return code[:5] + other + code[6]


@pytest.mark.parametrize("start", ["/L/", "/l/"])
def test_a_code_leads_to_its_place_in_either_case(as_guest, label, box, start):
    for code in (label.code, label.code.lower(), codes.spaced(label.code)):
        response = as_guest.get(start + code)
        assert (response.status_code, response.headers["Location"]) == (302, box.get_absolute_url())


def test_a_stranger_logs_in_and_lands_where_the_label_leads(client, owner, hand, label, box):
    asked = client.get(f"/L/{label.code}")
    assert asked.headers["Location"] == f"/login/?next=/L/{label.code}"
    signed = client.post(
        asked.headers["Location"],
        {"username": hand.name, "password": "a long cold barn night", "next": f"/L/{label.code}"},
    )
    assert signed.headers["Location"] == f"/L/{label.code}"
    assert client.get(signed.headers["Location"]).headers["Location"] == box.get_absolute_url()


def test_a_label_on_a_merged_part_leads_to_the_part_that_was_kept(as_hand, owner):
    keep, drop = make_part("Hatch hinge"), make_part("Hinge of the hatch")
    label = actions.labels_for(things=[drop], by=owner)[0]
    merge(keep=keep, drop=drop, by=owner)
    assert as_hand.get(f"/L/{label.code}").headers["Location"] == keep.get_absolute_url()


def test_a_wrong_character_is_caught_and_the_code_it_was_meant_for_is_offered(as_hand, label):
    response = as_hand.get(f"/L/{slip(label.code)}")
    assert response.status_code == 404
    assert f'href="/L/{label.code}"' in response.text
    assert "one slip away" in response.text


def test_an_unknown_good_code_can_be_taken_up_as_a_blank_label(as_hand):
    code = codes.draw()
    response = as_hand.get(f"/L/{code}")
    assert response.status_code == 404
    assert "Take it up as a blank label" in response.text
    assert not Label.objects.exists()
    as_hand.post(f"/labels/{code}/take-up/")
    assert Label.objects.blank().get().code == code


def test_a_code_with_a_slip_is_not_taken_up(as_hand):
    code = codes.draw()
    as_hand.post(f"/labels/{slip(code)}/take-up/")
    assert not Label.objects.exists()


def test_a_retired_label_says_what_it_was_on_and_its_code_is_never_drawn_again(as_hand, label, box):
    actions.retire(label=label)
    response = as_hand.get(f"/L/{label.code}")
    assert response.status_code == 410
    assert box.get_absolute_url() in response.text
    again = actions.labels_for(things=[box], by=None)[0]
    assert again.code != label.code


def test_looking_never_changes_anything(as_owner, label):
    blank = actions.make_blank(count=1)[0]
    before = list(Label.objects.values())
    for code in (label.code, blank.code, codes.draw()):
        as_owner.get(f"/L/{code}")
        as_owner.get(f"/scan/?code={code}")
    assert list(Label.objects.values()) == before


class TestBlank:
    @pytest.fixture
    def blank(self):
        return actions.make_blank(count=1)[0]

    def stick(self, client, blank, **data):
        return client.post(f"/labels/{blank.code}/stick/", data)

    def test_it_asks_what_it_is(self, as_hand, blank):
        response = as_hand.get(f"/L/{blank.code}")
        assert response.status_code == 200
        assert "What is this?" in response.text

    def test_a_guest_is_told_who_can_say(self, as_guest, blank):
        response = as_guest.get(f"/L/{blank.code}")
        assert "Nobody has said yet" in response.text
        assert "<form" not in response.text.partition("<main")[2].partition("</main>")[0]

    def test_it_becomes_the_label_of_a_place(self, as_hand, hand, blank, box):
        response = self.stick(as_hand, blank, what="place", place_text="14")
        assert (response.status_code, response.headers["Location"]) == (303, box.get_absolute_url())
        assert Label.objects.get(code=blank.code).location == box
        assert blank.bindings.get().by == hand

    def test_it_becomes_a_new_bin_here(self, as_hand, blank):
        rack = make_place("rack", short="L")
        response = self.stick(as_hand, blank, what="bin", short="7", name="Step treads", parent_text="L")
        made = Location.objects.at("L·7").get()
        assert response.headers["Location"] == made.get_absolute_url()
        assert (made.parent, made.kind, made.name) == (rack, "bin", "Step treads")
        assert Label.objects.on(made).get() == blank

    def test_a_taken_address_is_said_at_the_field_and_nothing_is_made(self, as_hand, blank, box):
        response = self.stick(as_hand, blank, what="bin", short="14")
        assert response.status_code == 422
        assert "14 is taken" in response.text
        assert Location.objects.count() == 1
        assert Label.objects.blank().get() == blank

    def test_sent_twice_it_is_one_new_part_and_one_new_bin(self, as_hand, blank):
        for _ in range(2):
            assert self.stick(as_hand, blank, what="part", part="new:Rear axle hub").status_code == 303
        assert Part.objects.filter(name="Rear axle hub").count() == 1
        make_place("rack", short="L")
        for _ in range(2):
            assert self.stick(as_hand, blank, what="bin", short="7", parent_text="L").status_code == 303

    def test_it_becomes_the_label_of_a_part_that_is_new(self, as_hand, blank):
        self.stick(as_hand, blank, what="part", part_text="Rear axle hub")
        part = Part.objects.get(name="Rear axle hub")
        assert Label.objects.on(part).get() == blank

    def test_a_new_bin_is_offered_the_shelf_of_the_last_one_not_the_bin_itself(self, as_hand, hand, blank):
        shelf = make_place("shelf", short="L2")
        put_in(part=make_part(), quantity=1, target=make_place("bin", short="14", parent=shelf), by=hand)
        page = as_hand.get(f"/L/{blank.code}").text
        offered = page.split('name="parent_text"')[1].split('name="name"')[0]
        assert f'name="parent" value="{shelf.pk}"' in offered
        assert "L2·14" not in offered.split("picks", 1)[1]

    @pytest.mark.parametrize("what", ["bin", "place", "part"])
    def test_an_answer_without_its_thing_comes_back_with_the_message(self, as_hand, blank, what):
        response = self.stick(as_hand, blank, what=what)
        assert response.status_code == 422
        assert response.text.count('class="error"') == 1


def test_a_label_that_was_peeled_off_and_stuck_on_again_keeps_its_history(as_hand, label, box):
    part = make_part("Hatch hinge")
    as_hand.post(f"/labels/{label.code}/peel/")
    assert "What is this?" in as_hand.get(f"/L/{label.code}").text
    as_hand.post(f"/labels/{label.code}/stick/", {"what": "part", "part": str(part.pk)})
    assert as_hand.get(f"/L/{label.code}").headers["Location"] == part.get_absolute_url()
    assert [one.thing for one in label.bindings.all()] == [part, None, box]


def test_a_label_cannot_be_on_two_things(box):
    from django.db import IntegrityError

    with pytest.raises(IntegrityError, match="label_sticks_to_one_thing"):
        Label.objects.create(location=box, part=make_part())


class TestScanPage:
    def test_a_typed_code_or_address_leads_on(self, as_guest, label, box):
        for text in (codes.spaced(label.code).lower(), f"HTTP://TESTSERVER/L/{label.code}"):
            assert as_guest.get("/scan/", {"code": text}).headers["Location"] == f"/L/{label.code}"
        assert as_guest.get("/scan/", {"code": "14"}).headers["Location"] == box.get_absolute_url()

    def test_a_symbol_of_an_earlier_base_address_still_counts(self, as_guest, label):
        BaseAddress.objects.create(address="https://old.lan:8443")
        BaseAddress.objects.create(address="https://gusset.lan")
        response = as_guest.get("/scan/", {"code": f"HTTPS://OLD.LAN:8443/L/{label.code}"})
        assert response.headers["Location"] == f"/L/{label.code}"

    def test_a_symbol_of_another_shop_is_said_to_be_one(self, as_guest):
        response = as_guest.get("/scan/", {"code": f"HTTPS://OTHER.EXAMPLE/L/{codes.draw()}"})
        assert response.status_code == 404
        assert "other.example" in response.text

    def test_a_slip_is_caught(self, as_guest, label):
        response = as_guest.get("/scan/", {"code": slip(label.code)})
        assert response.status_code == 404
        assert f'href="/L/{label.code}"' in response.text


@pytest.mark.parametrize("typed", ["C1L2-14", "c1l214", "C1 L2 14"])
def test_an_address_typed_with_dirty_hands_leads_to_its_place(as_guest, typed):
    rack = make_place("rack", short="L", parent=make_place("container", short="C1"))
    tub = make_place("bin", short="14", parent=make_place("shelf", short="2", parent=rack))
    assert as_guest.get("/scan/", {"code": typed}).headers["Location"] == tub.get_absolute_url()

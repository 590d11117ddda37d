"""Who may come in, what they may do, and on which devices."""

import pytest
from django.db import IntegrityError, transaction
from django.test import Client

from inventory.people.actions import LastOwner, change_role, switch_off
from inventory.people.models import Device, Person, Role
from tests.factories import PASSWORD, make_person

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("owner")]


def come_in(name: str, password: str = PASSWORD) -> Client:
    client = Client()
    assert client.post("/login/", {"username": name, "password": password}).status_code == 303
    return client


def is_in(client) -> bool:
    return client.get("/me/").status_code == 200


def test_the_last_owner_stays_an_owner_who_can_come_in(as_owner, owner, hand):
    with pytest.raises(LastOwner):
        switch_off(person=owner)
    answer = as_owner.post(f"/people/{owner.pk}/", {"role": "hand"})
    assert answer.status_code == 422
    assert "Olga is the last owner. Make somebody else an owner first." in answer.text
    assert "is the last owner" in as_owner.post(f"/people/{owner.pk}/off/", follow=True).text
    assert Person.objects.owners().get() == owner


def test_an_owner_who_is_switched_off_does_not_count_as_another(owner):
    other = make_person("owner", name="Astrid")
    switch_off(person=other)
    with pytest.raises(LastOwner):
        change_role(person=owner, role=Role.HAND)


def test_with_another_owner_one_may_step_down(as_owner, owner):
    make_person("owner", name="Astrid")
    assert as_owner.post(f"/people/{owner.pk}/", {"role": "hand"}).headers["Location"] == "/"
    assert as_owner.get("/people/").status_code == 403


def test_a_role_is_one_of_three_also_for_the_database(hand):
    with pytest.raises(IntegrityError, match="person_role_known"), transaction.atomic():
        Person.objects.filter(pk=hand.pk).update(role="king")


def test_who_is_switched_off_is_out_everywhere_at_once_and_comes_back_anew(as_owner, hand):
    phone = come_in("Harald")
    answer = as_owner.post(f"/people/{hand.pk}/off/", follow=True)
    assert f'action="/people/{hand.pk}/on/"' in answer.text  # its Undo
    assert not is_in(phone)
    assert Client().post("/login/", {"username": "Harald", "password": PASSWORD}).status_code == 422
    as_owner.post(f"/people/{hand.pk}/on/")
    assert not is_in(phone)
    assert is_in(come_in("Harald"))


def test_two_people_can_not_have_one_name_whatever_its_capitals(as_owner, hand):
    answer = as_owner.post("/people/new/", {"name": "harald", "role": "guest"})
    assert answer.status_code == 422
    assert "somebody of that name already" in answer.text


def test_a_device_that_is_signed_out_elsewhere_is_out(hand):
    phone, desk = come_in("Harald"), come_in("Harald")
    lost = Device.objects.exclude(pk=desk.session["device"]).get()
    page = desk.get("/me/").text
    assert page.count("● this one") == 1
    assert "Sign out all but this one" in page
    desk.post(f"/me/devices/{lost.pk}/out/")
    assert not is_in(phone)
    assert is_in(desk)


def test_all_other_devices_are_signed_out_at_once(hand):
    others, desk = [come_in("Harald"), come_in("Harald")], come_in("Harald")
    desk.post("/me/devices/out/")
    assert [is_in(other) for other in others] == [False, False]
    assert is_in(desk)


def test_signing_out_takes_the_device_off_the_list(hand):
    phone = come_in("Harald")
    phone.post("/logout/")
    assert not Device.objects.exists()
    assert not is_in(phone)


def test_a_device_is_called_what_its_owner_calls_it_and_nobody_reaches_anothers(hand, as_owner):
    phone = come_in("Harald")
    device = Device.objects.get()
    phone.post(f"/me/devices/{device.pk}/", {"name": "Barn phone"})
    device.refresh_from_db()
    assert device.name == "Barn phone"
    assert as_owner.post(f"/me/devices/{device.pk}/", {"name": "x"}).status_code == 404
    assert as_owner.post(f"/me/devices/{device.pk}/out/").status_code == 404


def test_a_new_password_needs_the_old_one_and_signs_the_other_devices_out(hand):
    phone, desk = come_in("Harald"), come_in("Harald")
    wrong = desk.post("/me/password/", {"old": "x" * 12, "new": "a warm kitchen at noon"})
    assert wrong.status_code == 422
    assert "That is not your password." in wrong.text
    assert desk.post("/me/password/", {"old": PASSWORD, "new": "a warm kitchen at noon"}).status_code == 303
    assert is_in(desk)
    assert not is_in(phone)
    assert is_in(come_in("Harald", "a warm kitchen at noon"))


def test_a_name_can_be_changed_but_not_to_anothers(as_hand, hand, owner):
    assert as_hand.post("/me/name/", {"name": "OLGA"}).status_code == 422
    assert as_hand.post("/me/name/", {"name": "Harry"}).status_code == 303
    hand.refresh_from_db()
    assert hand.name == "Harry"


def test_an_owner_signs_out_a_lost_phone_of_somebody_else(as_owner, hand):
    phone = come_in("Harald")
    as_owner.post(f"/people/{hand.pk}/out/")
    assert not is_in(phone)


def test_the_list_of_people_costs_the_same_for_two_and_for_many(as_owner, django_assert_max_num_queries):
    for _ in range(30):
        make_person("hand")
    with django_assert_max_num_queries(6):
        as_owner.get("/people/")

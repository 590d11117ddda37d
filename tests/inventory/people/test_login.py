"""Coming in with a name and a password."""

from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.test import Client, RequestFactory
from django.utils import timezone

from inventory.people import throttle
from inventory.people.models import Device, LoginFailure
from tests.factories import PASSWORD

pytestmark = pytest.mark.django_db


def come_in(client, name="Olga", password=PASSWORD, **extra):
    return client.post("/login/", {"username": name, "password": password, "next": "/parts/"}, **extra)


def later(**span):
    """As if so much time had gone by since the last try."""
    for row in LoginFailure.objects.all():
        LoginFailure.objects.filter(pk=row.pk).update(last_at=row.last_at - timedelta(**span))


def test_it_leads_back_to_the_page_that_was_asked_for(stranger):
    assert come_in(stranger, "olga").headers["Location"] == "/parts/"
    assert Device.objects.get().person.name == "Olga"


def test_it_never_leads_to_another_site(stranger):
    answer = stranger.post("/login/", {"username": "Olga", "password": PASSWORD, "next": "https://evil.example/"})
    assert answer.headers["Location"] == "/"


def test_a_wrong_password_and_a_wrong_name_are_told_alike(stranger, hand):
    hand.is_active = False
    hand.save()
    pages = [come_in(stranger, "Olga", "x" * 12), come_in(stranger, "Nobody"), come_in(stranger, "Harald")]
    assert [page.status_code for page in pages] == [422] * 3
    assert len({page.context["form"].non_field_errors().as_text() for page in pages}) == 1


def test_after_five_wrong_ones_even_the_right_one_waits_and_is_told_how_long(stranger):
    for _ in range(throttle.FREE):
        assert come_in(stranger, password="x" * 12).status_code == 422
    answer = come_in(stranger)
    assert answer.status_code == 429
    assert 25 <= int(answer.headers["Retry-After"]) <= 30
    assert "seconds, then try again." in answer.text
    later(seconds=31)
    assert come_in(stranger).status_code == 303
    assert not LoginFailure.objects.exists()


def test_each_further_wrong_one_doubles_the_wait_up_to_a_quarter_of_an_hour():
    waits = [throttle.wait_after(wrong).total_seconds() for wrong in range(12)]
    assert waits == [0, 0, 0, 0, 0, 30, 60, 120, 240, 480, 900, 900]
    assert throttle.wait_after(10**9) == timedelta(minutes=15)


def test_trying_while_waiting_does_not_make_it_longer(stranger):
    for _ in range(throttle.FREE):
        come_in(stranger, password="x" * 12)
    before = LoginFailure.objects.get()
    assert come_in(stranger).status_code == 429
    after = LoginFailure.objects.get()
    assert (after.count, after.last_at) == (before.count, before.last_at)


def test_another_name_and_another_address_are_not_held_up(stranger, hand):
    for _ in range(throttle.FREE):
        come_in(stranger, password="x" * 12)
    assert come_in(Client(), "Harald").status_code == 303
    assert come_in(Client(), REMOTE_ADDR="192.168.1.20").status_code == 303


def test_a_machine_can_not_get_round_it_with_its_many_ipv6_addresses():
    def key(address):
        return throttle.key(RequestFactory().get("/", REMOTE_ADDR=address), "Olga")

    # RFC 3849 sets 2001:db8::/32 aside for examples; a network's hosts share a /64 (RFC 4291, 2.5.4).
    assert key("2001:db8:1:2::1") == key("2001:db8:1:2:ffff::9")
    assert key("2001:db8:1:2::1") != key("2001:db8:1:3::1")


def test_the_console_lets_an_owner_in_whatever_was_typed_at_the_door(stranger, monkeypatch, capsys):
    for _ in range(throttle.FREE + 3):
        come_in(stranger, password="x" * 12)
        later(minutes=16)
    come_in(stranger, password="x" * 12)
    monkeypatch.setattr("sys.stdin", StringIO("a new cold barn night\n"))
    call_command("people", reset="olga")
    assert "has a new password" in capsys.readouterr().out
    assert come_in(stranger, password="a new cold barn night").status_code == 303


def test_the_console_says_who_is_unknown_and_what_is_too_short(owner, monkeypatch):
    with pytest.raises(CommandError, match="Nobody is called Mallory"):
        call_command("people", reset="Mallory")
    monkeypatch.setattr("sys.stdin", StringIO("short\n"))
    with pytest.raises(CommandError, match="too short"):
        call_command("people", reset="Olga")
    with pytest.raises(CommandError, match="has an owner"):
        call_command("people", setup_code=True)


def test_wrong_tries_are_forgotten_after_a_day(stranger):
    come_in(stranger, password="x" * 12)
    later(days=1, seconds=1)
    throttle.take("another")
    assert LoginFailure.objects.get().key == "another"
    assert LoginFailure.objects.get().last_at <= timezone.now()

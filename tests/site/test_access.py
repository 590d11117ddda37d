"""Who gets where: every address, for a stranger, a guest, a hand and an owner."""

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.test import Client
from django.urls import resolve

from tests.factories import make_person

from .addresses import SHARE_KEY, Address, Shop, all_addresses

pytestmark = pytest.mark.django_db

# Everything that answers somebody who is not signed in. A new line here is a decision.
PUBLIC = {
    "/login/",
    "/setup/",  # closed for good once there is an owner
    "/pair/",  # asks for a one-time code
    "/desk/",  # the same, from the loopback address only
    "/sw.js",  # the worker in the phone: a phone that was signed out still gets the newest
    "/manifest.webmanifest",  # what the home screen needs
    "/offline/",  # kept in every phone, holds nothing of the shop
    "/healthz",  # answered before any view
    "/static/",  # style, script and type
    f"/told/{SHARE_KEY}/",  # a story that an owner shares, and its pictures; see tests/buildlog/telling/test_share.py
    f"/told/{SHARE_KEY}/001.webp",
}
ANSWERED_BEFORE_VIEWS = {"/healthz", "/static/"}
# What a guest may post: their own way in and out, and nothing of the shop.
GUESTS_MAY_POST = {
    "people_setup", "people_login", "people_logout",
    "people_sent", "people_pair", "people_desk", "people_let_in", "people_name",
    "people_password", "people_device", "people_device_out", "people_others_out",
}  # fmt: skip
OWNERS_ONLY_LEAST = {"people_list", "people_new", "people_detail", "people_invite", "people_off", "people_on"}
FEWEST = 35  # addresses; so that a walk that visits nothing can't pass


def signed_in(role: str) -> Client:
    client = Client(raise_request_exception=True)
    client.force_login(make_person(role))
    return client


def view_of(path: str):
    return resolve(path.partition("?")[0]).func


def walk() -> list[tuple[Address, str]]:
    shop = Shop()
    found = [(address, address.filled(shop)) for address in all_addresses()]
    assert len(found) >= FEWEST
    return found


def test_a_stranger_is_sent_to_the_login_from_everywhere_but_the_public_addresses(stranger):
    open_to_all = set()
    for address, path in walk():
        for answer in (stranger.get(path), stranger.post(path)):
            if not (answer.status_code == 302 and answer.headers["Location"].startswith("/login/?next=")):
                assert answer.status_code < 500, address.name
                open_to_all.add(path.partition("?")[0])
    assert open_to_all == PUBLIC - ANSWERED_BEFORE_VIEWS


def test_the_public_addresses_outside_the_views_hold_nothing_of_the_shop(stranger):
    assert stranger.get("/healthz").text == "ok\n"
    assert f"/{settings.STATIC_URL.strip('/')}/" in PUBLIC
    assert finders.find("css/base.css")
    assert finders.find("shop.sqlite3") is None


def test_the_login_brings_one_back_to_the_page_asked_for(stranger):
    shop = Shop()
    answer = stranger.get(f"/parts/{shop.part.pk}/?count=1")
    assert answer.headers["Location"] == f"/login/?next=/parts/{shop.part.pk}/%3Fcount%3D1"


def test_a_guest_can_change_nothing():
    client = signed_in("guest")
    refused = allowed = 0
    for address, path in walk():
        if address.short in GUESTS_MAY_POST:
            assert view_of(path).guests_too, address.name
            allowed += 1
            continue
        answer = client.post(path)
        assert answer.status_code == 403, address.name
        assert "guest" in answer.text or "owner" in answer.text, address.name
        refused += 1
    assert allowed == len(GUESTS_MAY_POST)
    assert refused + allowed >= FEWEST


@pytest.mark.parametrize("role", ["guest", "hand", "owner"])
def test_who_is_signed_in_reads_every_page_that_is_not_for_others_only(role):
    client = signed_in(role)
    kept_out, visited = set(), 0
    for address, path in walk():
        answer = client.get(path)
        assert answer.status_code < 500, address.name
        assert not answer.headers.get("Location", "").startswith("/login/"), address.name
        if getattr(view_of(path), "owner_only", False):
            assert (answer.status_code == 403) == (role != "owner"), address.name
            kept_out.add(address.short)
        elif getattr(view_of(path), "changes_only", False):
            assert (answer.status_code == 403) == (role == "guest"), address.name
        elif address.short != "people_desk":  # its own rule, tested with it
            assert answer.status_code != 403, address.name
        visited += 1
    assert visited >= FEWEST
    assert kept_out >= OWNERS_ONLY_LEAST


def test_a_hand_is_kept_out_of_what_is_for_owners_also_when_posting():
    client = signed_in("hand")
    tried = 0
    for address, path in walk():
        if getattr(view_of(path), "owner_only", False):
            assert client.post(path).status_code == 403, address.name
            tried += 1
    assert tried >= len(OWNERS_ONLY_LEAST)

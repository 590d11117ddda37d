"""A phone is let in by a code that is good once, for ten minutes, and is kept nowhere."""

import re
from datetime import timedelta

import numpy as np
import pytest
import zxingcpp
from bs4 import BeautifulSoup
from django.test import Client

from inventory.people.actions import one_click_link
from inventory.people.models import Device, Pairing, digest
from inventory.web.qr import symbol
from tests.factories import make_person

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("owner")]
DESK = {"headers": {"Host": "localhost"}, "REMOTE_ADDR": "127.0.0.1"}


def read(svg) -> str:
    """What an independent reader (ISO/IEC 18004 decoder of the zxing-cpp library) makes of the drawn path."""
    size = int(svg["viewbox"].split()[2])
    modules = np.full((size, size), 255, np.uint8)
    for x, y, run in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", svg.find("path")["d"]):
        modules[int(y), int(x) : int(x) + int(run)] = 0
    return zxingcpp.read_barcode(np.kron(modules, np.ones((6, 6), np.uint8))).text


def shown(client, path="/pair/new/") -> tuple[str, str]:
    """The address in the code on the screen, and its token."""
    page = BeautifulSoup(client.post(path).content, "html.parser")
    address = read(page.find("svg", class_="qr"))
    return address, address.partition("#")[2]


def test_the_code_on_the_screen_lets_a_phone_in_as_whoever_it_is_for(as_hand, hand):
    address, token = shown(as_hand)
    assert address.startswith("http")
    assert address.partition("#")[0].endswith("/pair/")
    phone = Client(headers={"User-Agent": "Mozilla/5.0 (Linux; Android 14) Chrome/131.0 Mobile Safari/537.36"})
    answer = phone.post("/pair/", {"code": token}, follow=True)
    assert answer.wsgi_request.user == hand
    assert Device.objects.get().name == "Chrome on Android"


def test_the_token_has_128_bits_or_more_and_only_its_digest_is_kept(as_owner):
    _, token = shown(as_owner)
    assert len(token) * 5 >= 128  # 32 letters: five bits each; OWASP ASVS 5.0 asks for 128 bits of entropy
    (kept,) = Pairing.objects.values()
    assert kept["digest"] == digest(token)
    assert token not in str(kept)


def test_it_is_in_no_address_a_server_gets_to_see(as_owner, stranger):
    address, token = shown(as_owner)
    path = address.partition("#")[0]
    assert token not in path
    assert token not in stranger.get(path).text
    assert "Let this phone in" in stranger.get("/pair/").text


def test_it_works_once(as_owner):
    _, token = shown(as_owner)
    assert Client().post("/pair/", {"code": token}).status_code == 303
    second = Client().post("/pair/", {"code": token})
    assert second.status_code == 422
    assert "used or has run out" in second.text


def test_it_runs_out_after_ten_minutes(as_owner):
    _, token = shown(as_owner)
    pairing = Pairing.objects.get()
    assert timedelta(minutes=9) < pairing.left <= timedelta(minutes=10)
    Pairing.objects.update(expires_at=pairing.expires_at - timedelta(minutes=10))
    assert Client().post("/pair/", {"code": token}).status_code == 422


def test_looking_at_the_page_uses_nothing_up(as_owner, stranger):
    _, token = shown(as_owner)
    stranger.get("/pair/", {"code": token})
    assert Pairing.objects.get().used_at is None


def test_it_can_be_typed_with_dashes_and_small_letters(as_owner):
    _, token = shown(as_owner)
    assert Client().post("/pair/", {"code": f" {token[:5].lower()}-{token[5:]} "}).status_code == 303


def test_the_screen_counts_down_and_then_says_who_is_in(as_owner):
    _, token = shown(as_owner)
    state = f"/pair/{Pairing.objects.get().pk}/"
    waiting = as_owner.get(state)
    assert re.search(r"9:5\d|10:00", waiting.text)
    assert 'hx-trigger="every 2s"' in waiting.text
    Client(headers={"User-Agent": "Mozilla/5.0 (iPhone) Safari"}).post("/pair/", {"code": token})
    ended = as_owner.get(state)
    assert "Safari on iPhone is in" in ended.text
    assert "every 2s" not in ended.text
    assert ended.headers["HX-Retarget"] == "#pairing"


def test_nobody_else_sees_how_it_stands(as_owner, as_hand):
    shown(as_owner)
    assert as_hand.get(f"/pair/{Pairing.objects.get().pk}/").status_code == 404


def test_an_owner_lets_in_the_phone_of_somebody_new_without_a_password(as_owner):
    as_owner.post("/people/new/", {"name": "Sven", "role": "guest"})
    person = as_owner.get("/people/").context["people"][-1]
    _, token = shown(as_owner, f"/people/{person.pk}/invite/")
    phone = Client()
    assert phone.post("/pair/", {"code": token}, follow=True).wsgi_request.user == person
    assert phone.post("/parts/new/", {"name": "x"}).status_code == 403
    # and sets a password without having one
    assert phone.post("/me/password/", {"new": "a warm kitchen at noon"}).status_code == 303
    assert Client().post("/login/", {"username": "Sven", "password": "a warm kitchen at noon"}).status_code == 303


def test_a_code_for_somebody_who_was_switched_off_lets_nobody_in(as_owner, hand):
    _, token = shown(as_owner, f"/people/{hand.pk}/invite/")
    as_owner.post(f"/people/{hand.pk}/off/")
    assert Client().post("/pair/", {"code": token}).status_code == 422


def test_the_code_has_the_address_that_phones_can_use(as_owner, settings):
    settings.SITE_URL = "https://shop.example.org"
    assert shown(as_owner)[0].startswith("https://shop.example.org/pair/#")
    settings.SITE_URL, settings.PHONE_URL = "", lambda: "https://192.168.1.5:8443"
    assert shown(as_owner)[0].startswith("https://192.168.1.5:8443/pair/#")
    settings.PHONE_URL = lambda: ""
    said = as_owner.post("/pair/new/", **DESK).text
    assert "only works on this computer" in said


def test_the_link_for_the_desk_signs_in_once_and_only_there(owner):
    link = one_click_link(owner)
    path, _, token = link.partition("#")
    assert path == "/desk/"
    for elsewhere in (
        {"headers": {"Host": "localhost"}, "REMOTE_ADDR": "192.168.1.20"},
        {"headers": {"Host": "192.168.1.5"}, "REMOTE_ADDR": "127.0.0.1"},
    ):
        assert Client().get(path, **elsewhere).status_code in (400, 403)
        assert Client().post(path, {"code": token}, **elsewhere).status_code in (400, 403)
    assert Client().post("/pair/", {"code": token}).status_code == 422
    desk = Client()
    assert desk.get(path, **DESK).status_code == 200
    assert desk.post(path, {"code": token}, **DESK).status_code == 303
    assert desk.get("/shop/", **DESK).wsgi_request.user == owner
    assert Client().post(path, {"code": token}, **DESK).status_code == 422


def test_the_same_browser_let_in_again_stays_one_device(as_owner):
    phone = Client()
    for _ in range(2):
        phone.post("/pair/", {"code": shown(as_owner)[1]})
    assert Device.objects.count() == 1


@pytest.mark.parametrize("text", ["A", "https://shop.local:8443/pair/#" + "Z" * 26, "ø" * 90])
def test_the_drawn_symbol_is_read_by_another_library(text, db):
    drawn = symbol(text)
    svg = BeautifulSoup(
        f'<svg viewBox="0 0 {drawn.size} {drawn.size}"><path d="{drawn.path}"/></svg>', "html.parser"
    ).svg
    assert read(svg) == text


def test_a_person_made_by_an_owner_has_no_password_to_guess(as_owner):
    as_owner.post("/people/new/", {"name": "Sven", "role": "hand"})
    assert Client().post("/login/", {"username": "Sven", "password": ""}).status_code == 422
    assert make_person("guest").has_usable_password()

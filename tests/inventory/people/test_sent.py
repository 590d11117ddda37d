"""A login that ran out while somebody was typing loses nothing."""

import uuid

import pytest
from bs4 import BeautifulSoup

from inventory.parts.models import Holding
from tests.factories import PASSWORD, make_place

pytestmark = pytest.mark.django_db


def test_a_form_sent_after_the_login_ran_out_is_offered_again_and_does_what_it_was_to_do(as_hand, hand, owner):
    tub = make_place()
    as_hand.cookies.clear()
    form = {"uid": str(uuid.uuid4()), "part_text": "Hatch <b>hinge", "quantity": "2", "password": "never kept"}
    response = as_hand.post(f"/move/put-in/?place={tub.pk}", form)
    assert response.headers["Location"] == "/login/?next=/login/sent-before/"
    as_hand.post("/login/", {"username": hand.name, "password": PASSWORD, "next": "/login/sent-before/"})
    page = as_hand.get("/login/sent-before/")
    again = BeautifulSoup(page.content, "html.parser").find("form", action=f"/move/put-in/?place={tub.pk}")
    fields = {box["name"]: box.get_text() for box in again.find_all("textarea")}
    assert fields == {"uid": form["uid"], "part_text": "Hatch <b>hinge", "quantity": "2"}
    assert as_hand.post(again["action"], fields).status_code == 303
    assert Holding.objects.get().part.name == "Hatch <b>hinge"


def test_a_piece_sent_by_htmx_leads_the_whole_page_there(stranger):
    response = stranger.post("/move/put-in/", {"part_text": "Hinge"}, headers={"HX-Request": "true"})
    assert (response.status_code, response.headers["HX-Redirect"]) == (204, "/login/?next=/login/sent-before/")


def test_what_was_sent_can_be_let_go(stranger, hand):
    stranger.post("/move/put-in/", {"part_text": "Hinge"})
    stranger.post("/login/", {"username": hand.name, "password": PASSWORD})
    assert stranger.post("/login/sent-before/").status_code == 303
    assert stranger.get("/login/sent-before/").status_code == 302

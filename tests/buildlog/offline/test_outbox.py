"""What a phone had kept arrives exactly once, whatever becomes of the answer."""

import json
import threading
import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connections
from django.test import Client
from django.utils import timezone

from buildlog.offline import middleware, waiting
from buildlog.offline.models import Op
from buildlog.worklog.models import Entry
from inventory.parts import audit
from inventory.parts.models import Holding
from inventory.photos.models import Photo
from tests.factories import make_build, make_part, make_place
from tests.inventory.donors.made import make_donor
from tests.inventory.photos.hostile import image

pytestmark = pytest.mark.django_db


def send(client, person, path, fields, *, uid=None, photos=(), age=0, **headers):
    """As the phone sends one: the form's fields, and in the headers what it says of itself."""
    said = {
        "X-Outbox": str(uid or uuid.uuid4()), "X-Outbox-Format": "1", "X-Outbox-Person": str(person.pk),
        "X-Outbox-Age": str(age), "X-Outbox-Photos": json.dumps([[field, str(number)] for field, number in photos]),
    }  # fmt: skip
    return client.post(path, fields, headers=said | headers)


def send_photo(client, number, data=None):
    file = SimpleUploadedFile("bench.jpg", image() if data is None else data)
    return client.post(f"/sync/photo/{number}/", {"photo": file, "taken": "2026-11-24T21:10:00Z"})


@pytest.fixture
def bolts(db):
    bin_14, bench = make_place("bin", short="14"), make_place("bench", short="B1")
    part = make_part("Hatch bolt", holds={bin_14: 5})
    return part, bin_14, bench


def take(part, source, target, quantity=1):
    fields = {"uid": str(uuid.uuid4()), "quantity": quantity, "place": target.pk}
    return f"/move/take-out/?place={source.pk}&part={part.pk}", fields


def test_twice_in_a_row_it_is_there_once_and_the_answer_is_the_same(as_hand, hand, bolts):
    path, fields = take(*bolts)
    uid = uuid.uuid4()
    first, again = (send(as_hand, hand, path, fields, uid=uid) for _ in range(2))
    assert first.status_code == again.status_code == 200
    assert first.json() == again.json()
    assert first.json()["taken"]["says"] == "Took 1 × Hatch bolt from 14 to B1."
    assert first.json()["taken"]["undo"].startswith("/move/undo/")
    assert Holding.objects.get(part=bolts[0], location=bolts[1]).quantity == 4
    assert Op.objects.get().pk == uid


def test_a_form_without_a_number_of_its_own_is_taken_once_too(as_hand, hand):
    make_build()
    uid = uuid.uuid4()
    for _ in range(2):
        assert send(as_hand, hand, "/tonight/start/", {}, uid=uid).status_code == 200
    assert Op.objects.count() == 1


def test_the_same_number_with_something_else_in_it_is_refused(as_hand, hand, bolts):
    path, fields = take(*bolts)
    uid = uuid.uuid4()
    send(as_hand, hand, path, fields, uid=uid)
    answer = send(as_hand, hand, path, fields | {"quantity": 3}, uid=uid)
    assert answer.status_code == 422
    assert answer.json()["refused"] == [{"text": middleware.OTHER}]
    assert Holding.objects.get(part=bolts[0], location=bolts[1]).quantity == 4


@pytest.mark.django_db(transaction=True)
def test_five_at_once_leave_one(hand, bolts):
    path, fields = take(*bolts)
    uid, answers = uuid.uuid4(), []

    def one():
        client = Client()
        client.force_login(hand)
        gate.wait()
        answers.append(send(client, hand, path, fields, uid=uid))
        connections.close_all()

    gate = threading.Barrier(5)
    threads = [threading.Thread(target=one) for _ in range(5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [answer.status_code for answer in answers] == [200] * 5
    assert len({answer.content for answer in answers}) == 1
    assert Holding.objects.get(part=bolts[0], location=bolts[1]).quantity == 4
    assert (Op.objects.count(), audit.differences()) == (1, [])


@pytest.mark.django_db(transaction=True)
def test_a_crash_between_the_effect_and_the_answer_leaves_nothing_half(as_hand, hand, bolts, monkeypatch):
    path, fields = take(*bolts)
    uid = uuid.uuid4()
    as_hand.raise_request_exception = False
    with monkeypatch.context() as broken:
        broken.setattr(Op.objects, "create", lambda **_: 1 / 0)
        assert send(as_hand, hand, path, fields, uid=uid).status_code == 500
    assert Holding.objects.get(part=bolts[0], location=bolts[1]).quantity == 5
    assert send(as_hand, hand, path, fields, uid=uid).status_code == 200
    assert Holding.objects.get(part=bolts[0], location=bolts[1]).quantity == 4


def test_photos_come_ahead_one_by_one_and_end_up_on_their_line_once(as_hand, hand, owner):
    make_build()
    uid, number = uuid.uuid4(), uuid.uuid4()
    fields = {"uid": str(uid), "kind": "note", "text": "Cut the floor"}
    early = send(as_hand, hand, "/tonight/log/", fields, uid=uid, photos=[("photos", number)])
    assert (early.status_code, early.json()["missing"]) == (409, [str(number)])
    assert not Entry.objects.exists()
    for _ in range(2):
        assert send_photo(as_hand, number).status_code == 200
    for _ in range(2):
        answer = send(as_hand, hand, "/tonight/log/", fields, uid=uid, photos=[("photos", number)])
        assert answer.status_code == 200
    entry = Entry.objects.get()
    assert (entry.uid, entry.text) == (uid, "Cut the floor")
    photo = entry.photos.get()
    assert Photo.objects.count() == 1
    assert photo.taken_at is not None
    assert as_hand.get(photo.small_url).status_code == 200


@pytest.mark.django_db(transaction=True)
def test_a_photo_that_waited_goes_once_its_form_is_taken(as_hand, hand):
    make_build()
    number = uuid.uuid4()
    send_photo(as_hand, number)
    assert waiting.fetch([number], hand)
    fields = {"uid": str(uuid.uuid4()), "kind": "note", "text": "Cut"}
    send(as_hand, hand, "/tonight/log/", fields, photos=[("photos", number)])
    with pytest.raises(waiting.Missing):
        waiting.fetch([number], hand)


def test_somebody_elses_photo_is_not_to_be_had(as_hand, hand, owner):
    number = uuid.uuid4()
    send_photo(as_hand, number)
    with pytest.raises(waiting.Missing):
        waiting.fetch([number], owner)


def test_a_file_that_is_no_picture_is_told_in_words(as_hand):
    answer = send_photo(as_hand, uuid.uuid4(), b"no picture")
    assert answer.status_code == 422
    assert "not a picture the shop can read" in answer.json()["refused"][0]["text"]


def test_what_another_person_kept_cannot_be_sent(as_hand, owner, bolts):
    answer = send(as_hand, owner, *take(*bolts))
    assert (answer.status_code, answer.json()["other"]) == (403, "Harald")
    assert Op.objects.count() == 0


def test_a_stale_token_is_refused_and_a_fresh_one_from_the_greeting_is_taken(hand, bolts):
    client = Client(enforce_csrf_checks=True)
    client.force_login(hand)
    path, fields = take(*bolts)
    uid = uuid.uuid4()
    assert send(client, hand, path, fields, uid=uid, **{"X-CSRFToken": "x" * 64}).status_code == 403
    token = client.get("/sync/hello/").json()["csrf"]
    assert send(client, hand, path, fields, uid=uid, **{"X-CSRFToken": token}).status_code == 200


def test_the_greeting_says_who_is_there_and_is_never_kept(as_hand, hand, stranger):
    answer = as_hand.get("/sync/hello/")
    said = answer.json()
    assert (said["person"], said["name"], said["may_change"]) == (hand.pk, "Harald", True)
    assert "no-store" in answer.headers["Cache-Control"]
    assert stranger.get("/sync/hello/").status_code == 302


def test_a_phone_whose_login_is_gone_gets_no_answer_of_ours(stranger, hand, bolts):
    answer = send(stranger, hand, *take(*bolts))
    assert answer.status_code == 302
    assert Op.objects.count() == 0


def test_a_phone_one_version_of_the_pages_behind_is_still_understood(as_hand, hand, bolts, monkeypatch):
    path, fields = take(*bolts)
    monkeypatch.setattr(middleware, "FORMAT", 2)
    assert send(as_hand, hand, path, fields).status_code == 200
    monkeypatch.setattr(middleware, "FORMAT", 3)
    answer = send(as_hand, hand, path, fields)
    assert answer.status_code == 422
    assert "another version" in answer.json()["refused"][0]["text"]


@pytest.mark.parametrize("header", ["X-Outbox", "X-Outbox-Age", "X-Outbox-Photos", "X-Outbox-Format"])
def test_headers_that_are_none_of_ours_are_refused(as_hand, hand, bolts, header):
    assert send(as_hand, hand, *take(*bolts), **{header: "{"}).status_code == 422


def test_what_asks_for_something_else_first_is_not_taken_for_done(as_hand, hand):
    """The donor's cautions come before its first part: the form's view leads there instead of taking it."""
    donor = make_donor()
    answer = send(as_hand, hand, f"/donors/{donor.pk}/pull/", {"thing_text": "Hinge"})
    assert answer.status_code == 422
    assert answer.json()["refused"] == [{"text": middleware.FIRST}]


def test_fifty_sent_in_the_background_say_nothing_on_the_open_page(as_hand, hand, bolts):
    path, fields = take(*bolts)
    send(as_hand, hand, path, fields, **{"X-Outbox-Quiet": "1"})
    assert "Took 1" not in as_hand.get("/find/").text
    path, fields = take(*bolts)
    send(as_hand, hand, path, fields)
    assert "Took 1" in as_hand.get("/find/").text


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("X-Outbox-Photos", '[["photos", 1]]'),
        ("X-Outbox-Photos", "[1]"),
        ("X-Outbox-Photos", "null"),
        ("X-Outbox-Photos", "[" * 5000),
        ("X-Outbox-Age", "yesterday"),
        ("X-Outbox", "7"),
    ],
)
def test_headers_that_no_phone_sends_are_refused_in_words(as_hand, hand, bolts, header, said):
    answer = send(as_hand, hand, *take(*bolts), **{header: said})
    assert answer.status_code == 422
    assert answer.json()["refused"] == [{"text": middleware.UNREADABLE}]
    assert Holding.objects.get(part=bolts[0], location=bolts[1]).quantity == 5


@pytest.mark.parametrize("age", ["9" * 20, "-5", str(401 * 24 * 3600 * 1000)])
def test_an_age_that_can_not_be_is_taken_as_none(as_hand, hand, bolts, age):
    """A phone's clock that was set between doing and sending, by years."""
    before = timezone.now()
    assert send(as_hand, hand, *take(*bolts), age=age).status_code == 200
    assert Op.objects.get().made_at >= before

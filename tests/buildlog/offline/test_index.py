"""The find index for the phone: complete, small, and fetched by difference."""

import gzip
import json

import pytest

from inventory.finding.calc.rank import code_text, field_text
from inventory.finding.models import SameWords
from inventory.finding.things import part_documents
from inventory.labels.actions import labels_for
from inventory.parts.actions import merge
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


def test_it_holds_every_part_and_place_with_codes_addresses_and_counts(as_guest):
    place = make_place("bin", short="14", name="Screws")
    part = make_part("Hatch hinge", holds={place: 3}, condition="repairable", part_numbers="4-4410-2\nX9")
    label = labels_for(things=[part], by=None)[0]
    rows = as_guest.get("/offline/index/rows/").json()
    assert rows["p" + str(part.pk // 64)] == [
        [part.pk, "Hatch hinge", ["4-4410-2", "X9"], [], "", "repairable", "found", "pieces", 0, 0, [label.code],
         [[place.pk, 3]]]
    ]  # fmt: skip
    assert [row[3:5] for row in rows["l" + str(place.pk // 64)]] == [["Screws", "14"]]


def test_a_fastener_goes_by_all_it_is_called_in_the_shop(as_hand):
    """Both ways of writing the pitch: ISO 965-1, designation."""
    part = make_part("M8×25 hex bolt 8.8 zinc")
    row = as_hand.get("/offline/index/rows/").json()["p" + str(part.pk // 64)][0]
    document = next(iter(part_documents([part.pk]))).fields
    assert code_text(*row[10]) == document["code"] != " "
    assert field_text(*row[3]) == document["others"]


def test_the_label_on_what_was_merged_into_a_part_comes_along(as_hand):
    keep, drop = make_part("Hatch hinge"), make_part("Hinge of the hatch")
    label = labels_for(things=[drop], by=None)[0]
    merge(keep=keep, drop=drop, by=None)
    assert label.code in as_hand.get("/offline/index/rows/").json()["p" + str(keep.pk // 64)][0][10]


def test_a_phone_that_is_up_to_date_gets_304(as_hand):
    part = make_part("Hatch hinge")
    first = as_hand.get("/offline/index/")
    assert as_hand.get("/offline/index/", headers={"If-None-Match": first.headers["ETag"]}).status_code == 304
    part.name = "Hatch hinge pin"
    part.save()
    again = as_hand.get("/offline/index/", headers={"If-None-Match": first.headers["ETag"]})
    assert again.status_code == 200
    assert again.json()["packs"] != first.json()["packs"]


def test_what_is_retired_leaves_its_pack_and_an_unknown_pack_is_empty(as_hand):
    part = make_part("Hatch hinge")
    name = f"p{part.pk // 64}"
    part.retired_at = part.created_at
    part.save()
    assert name not in as_hand.get("/offline/index/").json()["packs"]
    assert as_hand.get(f"/offline/index/rows/?b={name},zz").json() == {name: [], "zz": []}


def test_the_shops_own_words_come_along(as_hand):
    SameWords.objects.create(words="sliding door, slider")
    assert "sliding door, slider" in as_hand.get("/offline/index/").json()["words"]


def test_it_is_asked_for_with_as_many_queries_however_large_the_shop(as_hand, django_assert_num_queries):
    place = make_place("bin", short="14")
    for i in range(70):
        make_part(f"Screw {i}", holds={place: 1})
    with django_assert_num_queries(11):  # two of the session, nine of the index
        as_hand.get("/offline/index/")


def test_it_travels_packed(as_hand):
    for i in range(64):
        make_part(f"Hatch hinge {i}")
    answer = as_hand.get("/offline/index/rows/", headers={"Accept-Encoding": "gzip"})
    assert answer.headers["Content-Encoding"] == "gzip"
    assert len(answer.content) * 3 < len(json.dumps(json.loads(gzip.decompress(answer.content))))

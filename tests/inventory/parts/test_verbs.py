"""The screens of the store, as a browser without JavaScript uses them."""

import uuid
from decimal import Decimal

import pytest
from bs4 import BeautifulSoup
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory.parts import actions
from inventory.parts.models import Batch, Holding, Move, Part
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


def error_at(response, name: str) -> str:
    """The message at a field of an answered form."""
    return BeautifulSoup(response.content, "html.parser").find(id=f"id_{name}_error").get_text()


def send(client, address: str, **data):
    return client.post(address, {"uid": str(uuid.uuid4()), **data})


def test_it_puts_a_new_part_in_by_typing_a_name(as_hand):
    tub = make_place(short="C1")
    response = send(
        as_hand,
        f"/move/put-in/?place={tub.pk}",
        part_text="Hatch hinge",
        quantity="2",
        origin="made",
        condition="good",
    )
    assert (response.status_code, response.headers["Location"]) == (303, tub.get_absolute_url())
    row = Holding.objects.select_related("part").get()
    assert (row.part.name, row.part.origin, row.quantity, row.location) == ("Hatch hinge", "made", 2, tub)
    assert Move.objects.get().reason == "made"
    page = as_hand.get(tub.get_absolute_url())
    assert "Put 2 × Hatch hinge into C1." in page.text
    assert f'action="/move/undo/{Batch.objects.get().pk}/"' in page.text


def test_a_form_that_is_sent_twice_makes_one_part_and_one_move(as_hand):
    tub = make_place()
    form = {"uid": str(uuid.uuid4()), "part_text": "Hatch hinge", "quantity": "2"}
    for _ in range(2):
        assert as_hand.post(f"/move/put-in/?place={tub.pk}", form).status_code == 303
    assert (Part.objects.count(), Move.objects.count()) == (1, 1)


def test_typed_text_that_may_mean_several_parts_comes_back_as_choices(as_hand):
    tub = make_place()
    make_part("Hatch hinge, left"), make_part("Hatch hinge, right")
    response = send(as_hand, f"/move/put-in/?place={tub.pk}", part_text="hatch", quantity="1")
    assert response.status_code == 422
    assert error_at(response, "part") == "Which of these is it?"
    offered = [tag.get_text() for tag in BeautifulSoup(response.content, "html.parser").select(".pick-one b")]
    assert offered == ["Hatch hinge, left", "Hatch hinge, right", "New part: hatch"]


def test_it_takes_out_to_the_typed_address(as_hand):
    tub, bench = make_place(short="C1"), make_place("bench", short="B2")
    part = make_part(holds={tub: 5})
    response = send(as_hand, f"/move/take-out/?place={tub.pk}&part={part.pk}", quantity="2", place_text="b2")
    assert response.status_code == 303
    assert Holding.objects.get(location=bench).quantity == 2


def test_taking_more_than_there_is_says_so_at_the_number_and_keeps_what_was_typed(as_hand):
    tub, bench = make_place(), make_place("bench")
    part = make_part("Clip", holds={tub: 5})
    response = send(
        as_hand,
        f"/move/take-out/?place={tub.pk}&part={part.pk}",
        quantity="9",
        place=str(bench.pk),
        note="for the hatch",
    )
    assert response.status_code == 422
    assert error_at(response, "quantity").startswith("There are only 5 of “Clip”")
    assert 'value="for the hatch"' in response.text


def test_the_last_used_place_is_offered_first(as_hand, hand):
    tub, bench, far = make_place(), make_place("bench"), make_place(short="FAR")
    part = make_part(holds={tub: 5})
    send(as_hand, f"/move/take-out/?place={tub.pk}&part={part.pk}", quantity="1", place=str(far.pk))
    page = BeautifulSoup(as_hand.get(f"/move/take-out/?place={tub.pk}&part={part.pk}").content, "html.parser")
    assert [tag["value"] for tag in page.select(".pick-one input")] == [str(far.pk), str(bench.pk)]


def test_putting_away_what_lies_on_the_bench_moves_it_from_there(as_hand):
    tub, bench = make_place(), make_place("bench")
    part = make_part("Hatch hinge", holds={bench: 3})
    page = BeautifulSoup(as_hand.get(f"/move/put-in/?place={tub.pk}").content, "html.parser")
    first = page.select_one(".pick-one input")["value"]
    send(as_hand, f"/move/put-in/?place={tub.pk}", part=first, quantity="2")
    held = {row.location: row.quantity for row in Holding.objects.filter(part=part).select_related("location")}
    assert held == {tub: 2, bench: 1}


def test_more_of_a_part_comes_from_outside_or_from_where_it_lies(as_hand):
    one, two = make_place(), make_place(short="C2")
    part = make_part(holds={one: 3})
    send(as_hand, f"/move/put-in/?part={part.pk}", place_text="c2", quantity="1", source=str(one.pk))
    send(as_hand, f"/move/put-in/?part={part.pk}", place_text="c2", quantity="5", source="")
    held = {row.location: row.quantity for row in Holding.objects.filter(part=part).select_related("location")}
    assert held == {one: 2, two: 6}


def test_undo_puts_it_back_and_says_so(as_hand):
    tub = make_place()
    part = make_part(holds={tub: 5})
    send(as_hand, f"/move/leave/?place={tub.pk}&part={part.pk}", quantity="5", reason="scrapped")
    assert not Holding.objects.exists()
    batch = Batch.objects.latest("at")
    response = as_hand.post(f"/move/undo/{batch.pk}/", {"next": tub.get_absolute_url()}, follow=True)
    assert Holding.objects.get().quantity == 5
    assert "Undone: Scrapped 5 ×" in response.text
    story = " ".join(as_hand.get(part.get_absolute_url()).text.split())
    assert "Undone: <b>5</b> back to <a" in story


def test_the_story_says_what_a_count_found(as_hand):
    tub = make_place(short="C1")
    part = make_part(holds={tub: 5})
    for quantity, says in [("4", "Counted: 1 fewer at C1"), ("6", "Counted: 2 more at C1")]:
        send(as_hand, f"/move/count/?place={tub.pk}", **{f"part-{part.pk}": quantity})
        page = BeautifulSoup(as_hand.get(part.get_absolute_url()).content, "html.parser")
        assert says in " ".join(page.select_one(".story li div").get_text(" ").split())


def test_counting_a_place_puts_right_what_differs(as_hand):
    tub = make_place()
    right, wrong = make_part(holds={tub: 5}), make_part(holds={tub: 5})
    send(as_hand, f"/move/count/?place={tub.pk}", **{f"part-{right.pk}": "5", f"part-{wrong.pk}": "4"})
    assert Holding.objects.get(part=wrong).quantity == 4
    assert Move.objects.filter(reason="counted").count() == 1


def test_several_ticked_things_move_together_and_the_rest_with_empty(as_hand):
    one, two = make_place(), make_place()
    parts = [make_part(holds={one: 1}) for _ in range(3)]
    ticked = [row.seen for row in Holding.objects.filter(part__in=parts[:2])]
    send(as_hand, f"/move/several/?place={one.pk}", things=ticked, place=str(two.pk))
    assert Holding.objects.filter(location=two).count() == 2
    send(as_hand, f"/move/empty/?place={one.pk}", seen=[Holding.objects.get(location=one).seen], place=str(two.pk))
    assert Holding.objects.filter(location=two).count() == 3


def test_the_page_of_several_things_says_in_its_form_how_many_of_each_were_seen(as_hand):
    tub = make_place()
    rope = make_part("Rope", unit="metres", holds={tub: "1.5"})
    page = BeautifulSoup(as_hand.get(f"/move/several/?place={tub.pk}").content, "html.parser")
    seen = [(one["name"], one["value"]) for one in page.select("[name=seen], [name=things]")]
    assert seen == [("seen", f"{rope.pk}:1.5"), ("things", f"{rope.pk}:1.5")]


def test_a_thing_ticked_twice_is_not_moved_twice(as_hand):
    one, two = make_place("bin"), make_place("bin")
    bolt = make_part("Bolt", holds={one: 9})
    uid = uuid.uuid4()
    twice = {"uid": uid, "things": [f"{bolt.pk}:3"] * 2, "seen": [f"{bolt.pk}:9"], "place": str(two.pk)}
    assert as_hand.post(f"/move/several/?place={one.pk}", twice).status_code == 422
    assert Holding.objects.get(part=bolt).quantity == 9


@pytest.mark.parametrize("things", ["", "x", "12", "1:x", "1:0", "1:-1", "99999999999999999999:1", "4711:1"])
def test_what_no_page_says_of_several_things_is_refused(as_hand, things):
    tub = make_place()
    make_part(holds={tub: 5})
    response = send(as_hand, f"/move/several/?place={tub.pk}", things=[things], place=str(make_place().pk))
    assert response.status_code == 422
    assert Holding.objects.get().location == tub


def test_a_guest_looks_and_changes_nothing(as_guest):
    tub = make_place()
    part = make_part(holds={tub: 5})
    assert as_guest.get(part.get_absolute_url()).status_code == 200
    response = send(as_guest, f"/move/leave/?place={tub.pk}&part={part.pk}", quantity="5", reason="used")
    assert response.status_code == 403
    assert "You are a guest here" in response.text
    assert Holding.objects.get().quantity == 5


def test_a_stranger_is_sent_to_log_in_and_comes_back(stranger, hand):
    tub = make_place()
    response = stranger.get(tub.get_absolute_url())
    assert response.headers["Location"] == f"/login/?next={tub.get_absolute_url()}"
    response = stranger.post(
        "/login/",
        {"username": "harald", "password": "a long cold barn night", "next": tub.get_absolute_url()},
    )
    assert (response.status_code, response.headers["Location"]) == (303, tub.get_absolute_url())


def test_the_number_of_queries_does_not_grow_with_the_things_in_a_bin(as_hand):
    few, many = make_place(), make_place()
    make_part(holds={few: 1})
    for _ in range(30):
        make_part(holds={many: 1})
    counts = []
    for place in (few, few, many):  # once to warm up
        with CaptureQueriesContext(connection) as seen:
            as_hand.get(place.get_absolute_url(), follow=True)
        counts.append(len(seen))
    assert counts[1] == counts[2]
    assert counts[2] <= 12


def test_all_of_it_taken_out_twice_by_one_form_is_said_twice_and_done_once(as_hand):
    tub, bench = make_place(), make_place("bench")
    part = make_part(holds={tub: 2})
    form = {"uid": str(uuid.uuid4()), "quantity": "2", "place": str(bench.pk)}
    for _ in range(2):
        response = as_hand.post(f"/move/take-out/?place={tub.pk}&part={part.pk}", form)
        assert (response.status_code, response.headers["Location"]) == (303, tub.get_absolute_url())
    assert Holding.objects.get().quantity == 2


def test_who_comes_too_late_for_the_last_one_is_told_who_was_quicker(as_hand, owner):
    tub, bench = make_place(), make_place("bench")
    part = make_part("Clip", holds={tub: 1})
    address = f"/move/take-out/?place={tub.pk}&part={part.pk}"
    assert as_hand.get(address).status_code == 200
    actions.take_out(part=part, quantity=Decimal(1), source=tub, target=bench, by=owner)
    response = send(as_hand, address, quantity="1", place=str(bench.pk))
    assert response.status_code == 422
    assert "Olga took 1" in error_at(response, "quantity")
    assert "None there now" in as_hand.get(address).text


@pytest.mark.parametrize("verb", ["several", "empty"])
def test_several_things_moved_twice_by_one_form_move_once(as_hand, verb):
    one, two = make_place(), make_place()
    part = make_part(holds={one: 3})
    form = {
        "uid": str(uuid.uuid4()),
        "things": [f"{part.pk}:3"],
        "seen": [f"{part.pk}:3"],
        "place": str(two.pk),
    }
    for _ in range(2):
        assert as_hand.post(f"/move/{verb}/?place={one.pk}", form).status_code == 303
    assert Holding.objects.get().location == two


def test_what_lay_on_the_bench_is_put_away_once_by_a_form_that_comes_twice(as_hand):
    tub, bench = make_place(), make_place("bench")
    make_part("Hatch hinge", holds={bench: 3})
    form = {"uid": str(uuid.uuid4()), "part": f"held:{Holding.objects.get().pk}", "quantity": "3"}
    for _ in range(2):
        assert as_hand.post(f"/move/put-in/?place={tub.pk}", form).status_code == 303
    assert Holding.objects.get().location == tub


def test_a_form_gone_back_to_and_changed_is_not_swallowed(as_hand):
    tub = make_place(short="C1")
    form = {"uid": str(uuid.uuid4()), "part_text": "Hatch hinge", "quantity": "2"}
    address = f"/move/put-in/?place={tub.pk}"
    as_hand.post(address, form)
    response = as_hand.post(address, form | {"part_text": "Trim clip"})
    assert response.status_code == 422
    assert "This was sent already, as: Put 2 × Hatch hinge into C1." in response.text
    fresh = BeautifulSoup(response.content, "html.parser").find("input", {"name": "uid"})["value"]
    assert fresh != form["uid"]
    assert as_hand.post(address, form | {"part_text": "Trim clip", "uid": fresh}).status_code == 303
    assert {row.part.name for row in Holding.objects.select_related("part")} == {"Hatch hinge", "Trim clip"}


def test_a_count_gone_back_to_and_changed_is_not_swallowed(as_hand):
    tub = make_place()
    part = make_part(holds={tub: 5})
    form, name = {"uid": str(uuid.uuid4())}, f"part-{part.pk}"
    as_hand.post(f"/move/count/?place={tub.pk}", form | {name: "5"})
    assert as_hand.post(f"/move/count/?place={tub.pk}", form | {name: "4"}).status_code == 422
    assert as_hand.post(f"/move/count/?place={tub.pk}", form | {name: "5"}).status_code == 303
    assert Holding.objects.get().quantity == 5


@pytest.mark.parametrize("verb", ["take-out", "several", "empty"])
def test_where_it_lies_already_is_refused_at_the_place(as_hand, verb):
    tub = make_place()
    part = make_part(holds={tub: 2})
    data = {"quantity": "1", "things": [f"{part.pk}:2"], "seen": [f"{part.pk}:2"], "place": str(tub.pk)}
    response = send(as_hand, f"/move/{verb}/?place={tub.pk}&part={part.pk}", **data)
    assert response.status_code == 422
    assert error_at(response, "place") == "It is there already. Pick another place."


def test_a_part_is_not_merged_into_one_that_is_not_there(as_hand):
    part = make_part(holds={make_place(): 1})
    assert as_hand.post(f"/parts/{part.pk}/merge/", {"keep": "new:Hood"}).status_code == 422


def test_a_part_that_only_comes_near_is_asked_about_before_anything_is_merged(as_hand):
    part, other = make_part("Wiper engine"), make_part("Wiper motor")
    response = as_hand.post(f"/parts/{part.pk}/merge/", {"keep_text": "chrome wiper motr"})
    assert response.status_code == 422
    assert error_at(response, "keep") == "Which of these is it?"
    assert f'value="{other.pk}"' in response.text


def test_a_merged_part_has_the_history_of_both_and_undo_parts_them_again(as_hand):
    tub = make_place(short="C1")
    keep, drop = make_part("Bonnet catch", holds={tub: 1}), make_part("Hood latch", holds={tub: 2})
    response = as_hand.post(f"/parts/{drop.pk}/merge/", {"keep": str(keep.pk)}, follow=True)
    story = BeautifulSoup(response.content, "html.parser").select(".story li div")
    assert len(story) == 4
    told = [" ".join(line.get_text(" ").split()) for line in story]
    assert any(line.startswith("2 added to the list at C1 , Harald Merged from Hood latch") for line in told), told
    batch = Batch.objects.get(what__startswith="Merged")
    assert f'action="/move/undo/{batch.pk}/"' in response.text
    as_hand.post(f"/move/undo/{batch.pk}/")
    drop.refresh_from_db()
    assert (drop.merged_into, drop.retired_at) == (None, None)
    assert {row.part_id: row.quantity for row in Holding.objects.all()} == {keep.pk: 1, drop.pk: 2}

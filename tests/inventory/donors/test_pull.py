"""Pulling a part: the ledger, the bag, the list, the photos, and all of it back with one Undo."""

import uuid
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from inventory.donors import actions, queries
from inventory.donors.calc.bagged import read_bag
from inventory.donors.models import Pull, PullPhoto
from inventory.donors.pulling import bring_bag, made_after
from inventory.parts import audit
from inventory.parts.actions import empty_into, leave_shop, merge, move_many, put_in, take_out, undo
from inventory.parts.ledger import OtherContents
from inventory.parts.models import Holding, Move, Part, Reason
from inventory.photos import actions as photos
from tests.factories import make_part, make_place
from tests.site.addresses import picture

from .made import make_donor, make_pull

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench(db):
    return make_place("bench", name="Bench", short="W1")


def held(part) -> dict:
    return {str(row.location): row.quantity for row in Holding.objects.filter(part=part).select_related("location")}


def test_what_the_donor_was_not_known_to_hold_is_received_there_first_and_the_ledger_balances(bench):
    donor = make_donor()
    pull = make_pull(donor, to=bench, quantity=2, side="left")
    moves = [(move.source_id, move.target_id, move.reason, move.quantity) for move in pull.batch.moves.order_by("pk")]
    here = donor.location_id
    assert moves == [(None, here, "received", 2), (here, bench.pk, "pulled", 2)]
    assert held(pull.part) == {"W1": 2}
    assert (pull.part.origin, pull.part.donor, pull.part.side) == ("pulled", donor.location, "left")
    assert audit.differences() == []


def test_what_is_known_to_be_on_the_donor_is_taken_from_there(bench):
    donor = make_donor()
    part = make_part("Pedal box", holds={donor.location: 1}, donor=donor.location, origin="pulled")
    pull = make_pull(donor, "pedal box", to=bench, quantity=2)
    assert pull.part == part
    assert held(part) == {"W1": 2}
    assert Move.objects.filter(batch=pull.batch, reason=Reason.RECEIVED).get().quantity == 1
    assert audit.differences() == []


def test_what_was_counted_as_good_and_turns_out_otherwise_is_another_part_and_the_first_is_no_more_there(bench):
    donor = make_donor()
    good = make_part("Grille", holds={donor.location: 1}, donor=donor.location, origin="pulled")
    pull = make_pull(donor, "Grille", to=bench, condition="repairable")
    assert pull.part != good
    assert (held(good), held(pull.part)) == ({}, {"W1": 1})
    assert audit.differences() == []


def test_fasteners_go_into_a_bag_of_their_own_that_lies_with_the_part(bench):
    donor = make_donor()
    first = make_pull(donor, to=bench, bagged=read_bag("6 M8×25 hex\n6 M8 washer"))
    second = make_pull(donor, "Grille", to=bench, bagged=read_bag("2 M6"))
    assert (first.bag.address, second.bag.short) == ("W1·BAG1", "BAG2")
    inside = {row.part.name: row.quantity for row in Holding.objects.filter(location=first.bag).select_related("part")}
    assert inside == {"M8×25 hex": 6, "M8 washer": 6}
    shelf = make_place("bin", short="K1")
    take_out(part=first.part, quantity=Decimal(1), source=bench, target=shelf, by=None)
    bring_bag(pull=first, to=shelf, by=None)
    first.bag.refresh_from_db()
    assert first.bag.address == "K1·BAG1"


def test_a_second_arrival_of_the_same_pull_changes_nothing(bench):
    donor, uid = make_donor(), uuid.uuid4()
    first = make_pull(donor, to=bench, uid=uid, bagged=read_bag("2 M6"))
    again = make_pull(donor, to=bench, uid=uid, bagged=read_bag("2 M6"))
    assert first == again
    assert Pull.objects.count() == 1
    assert held(first.part) == {"W1": 1}


@pytest.mark.parametrize(
    "other",
    [{"name": "Grille"}, {"quantity": 2}, {"side": "left"}, {"condition": "pattern"}, {"back": "Shim below"},
     {"bagged": read_bag("3 M6")}, {"bagged": ()}],
)  # fmt: skip
def test_a_pull_that_comes_again_with_something_else_in_it_is_refused_and_names_the_first(bench, other):
    donor = make_donor()
    said = {"name": "Wiper motor", "to": bench, "uid": uuid.uuid4(), "bagged": read_bag("2 M6")}
    make_pull(donor, **said)
    with pytest.raises(OtherContents, match="This was sent already, as: Pulled 1 × Wiper motor off D1 to W1"):
        make_pull(donor, **said | other)
    with pytest.raises(OtherContents):
        make_pull(donor, **said | {"to": make_place("bin", short="K1")})
    assert Pull.objects.count() == 1
    assert Part.objects.count() == 2


def test_a_photo_that_was_added_on_the_way_back_is_something_else_too(bench):
    donor, uid = make_donor(), uuid.uuid4()
    first, second = (photos.add(data=picture(), by=None) for _ in range(2))
    pull = make_pull(donor, to=bench, uid=uid, before=[first])
    assert make_pull(donor, to=bench, uid=uid, before=[first]) == pull
    with pytest.raises(OtherContents):
        make_pull(donor, to=bench, uid=uid, before=[first], after=[second])


def test_the_same_bolts_written_otherwise_are_the_same_part(bench):
    donor, uid = make_donor(), uuid.uuid4()
    make_pull(donor, to=bench, bagged=read_bag("6 M8×25 hex"))
    second = make_pull(donor, "Grille", to=bench, uid=uid, bagged=read_bag("2 hex bolt M8 x 25\n1 M8x25 hex"))
    assert make_pull(donor, "Grille", to=bench, uid=uid, bagged=read_bag("2 M8x25 hex\n1 M8x25 hexagon bolt")) == second
    (bolt,) = Part.objects.filter(name__startswith="M8")
    assert sum(held(bolt).values()) == 9


def test_a_repeat_is_the_same_pull_however_its_fastener_is_written_and_whatever_was_done_to_it_since(bench):
    donor, uid = make_donor(), uuid.uuid4()
    make_pull(donor, "M8×25 hex", to=bench)
    said = {"name": "hex bolt M8 x 25", "to": bench, "uid": uid, "bagged": read_bag("2 M6"), "back": "Head outwards"}
    pull = make_pull(donor, **said)
    assert make_pull(donor, **said) == pull
    for part in Part.objects.all():
        part.name = f"{part.name} zinc"
        part.save()
    Pull.objects.filter(pk=pull.pk).update(back="Head inwards", zone="cab")
    merge(keep=make_part("M8×25 hex A2"), drop=pull.part, by=None)
    assert make_pull(donor, **said) == pull
    with pytest.raises(OtherContents):
        make_pull(donor, **said | {"quantity": 2})
    assert Pull.objects.count() == 2


def test_undo_takes_back_the_part_the_bag_the_fasteners_and_the_tick(bench, owner):
    donor = make_donor()
    (want,) = actions.want(donor=donor, things=[{"what": "Wiper motor"}], by=None)
    pull = make_pull(donor, to=bench, bagged=read_bag("6 M8×25 hex"))
    assert pull.want == want
    assert list(donor.wants.still_on()) == []
    undo(batch=pull.batch, by=owner)
    pull.bag.refresh_from_db()
    assert pull.bag.retired_at
    assert Holding.objects.count() == 0
    assert list(Part.objects.current()) == []
    assert list(donor.wants.still_on()) == [want]
    assert list(donor.pulls.standing()) == []
    assert audit.differences() == []


def test_undo_keeps_parts_that_were_known_before_and_a_new_pull_brings_others_back_on_the_list(bench):
    donor = make_donor()
    known = make_part("Pedal box", holds={donor.location: 1}, donor=donor.location, origin="pulled")
    undo(batch=make_pull(donor, "Pedal box", to=bench).batch, by=None)
    assert (held(known), list(Part.objects.current())) == ({"D1": 1}, [known])
    first = make_pull(donor, to=bench)
    undo(batch=first.batch, by=None)
    again = make_pull(donor, to=bench)
    assert again.part == first.part
    assert Part.objects.get(pk=again.part_id).retired_at is None


def test_a_part_pulled_twice_over_is_ticked_when_enough_came_off(bench):
    donor = make_donor()
    (want,) = actions.want(donor=donor, things=[{"what": "Hinge", "quantity": 3}], by=None)
    make_pull(donor, "Hinge", to=bench, quantity=2)
    assert [one.left for one in donor.wants.still_on()] == [1]
    make_pull(donor, "Hinge", to=bench, quantity=1)
    assert list(donor.wants.still_on()) == []


@pytest.mark.parametrize(
    ("wanted", "pulled", "ticked"),
    [
        ({"what": "Check strap, left"}, {"name": "Check strap", "side": "left"}, True),
        ({"what": "Check strap", "side": "left"}, {"name": "check strap, LEFT"}, True),
        ({"what": "Check strap"}, {"name": "Check strap", "side": "left"}, True),
        ({"what": "Check strap", "side": "left"}, {"name": "Check strap", "side": "right"}, False),
        ({"what": "Check strap", "side": "left"}, {"name": "Check strap"}, False),
        ({"what": "Ölwanne"}, {"name": "ölwanne"}, True),
        ({"what": "M8x25 hex 8.8"}, {"name": "Hex bolt M8×25 8.8"}, True),
    ],
)
def test_a_wish_is_ticked_by_a_pull_of_its_name_and_side_however_they_are_written(bench, wanted, pulled, ticked):
    donor = make_donor()
    actions.want(donor=donor, things=[wanted], by=None)
    make_pull(donor, to=bench, **pulled)
    assert donor.wants.still_on().exists() is not ticked


def test_what_leaves_the_donor_by_another_verb_came_off_it_and_ticks_the_list_too(bench):
    donor = make_donor()
    here, build = donor.location, make_place("vehicle", name="Halvard 20", short="V1")
    off, stored = make_part("Grille", holds={here: 4}, donor=here), make_part("Ladder", holds={here: 1})
    actions.want(donor=donor, things=[{"what": "Grille", "quantity": 4}], by=None)
    taken = take_out(part=off, quantity=Decimal(1), source=here, target=bench, by=None)
    take_out(part=off, quantity=Decimal(1), source=here, target=build, by=None)
    put_in(part=off, quantity=Decimal(1), source=here, target=bench, by=None)
    leave_shop(part=off, quantity=Decimal(1), source=here, reason="sold", by=None, cost=Decimal(30))
    take_out(part=stored, quantity=Decimal(1), source=here, target=bench, by=None)  # it only lay in the donor
    assert [(pull.part, pull.quantity, pull.zone) for pull in donor.pulls.standing()] == [(off, 1, "front")] * 4
    assert not donor.wants.still_on().exists()
    undo(batch=taken, by=None)
    assert [want.left for want in donor.wants.still_on()] == [1]
    assert (donor.pulls.standing().count(), held(off)["D1"]) == (3, 1)


def test_several_things_that_leave_the_donor_at_once_each_came_off_it(bench):
    donor = make_donor()
    here = donor.location
    grille, lamp = (make_part(name, holds={here: 2}, donor=here) for name in ("Grille", "Headlamp"))
    actions.want(donor=donor, things=[{"what": "Grille"}, {"what": "Headlamp", "quantity": 2}], by=None)
    one = [(grille, Decimal(1)), (lamp, Decimal(1))]
    batch, uid = move_many(source=here, things=one, target=bench, by=None), uuid.uuid4()
    for _ in range(2):
        empty_into(source=here, target=bench, seen=one, by=None, uid=uid)
    assert sorted(pull.part.name for pull in donor.pulls.standing()) == ["Grille", "Grille", "Headlamp", "Headlamp"]
    assert not donor.wants.still_on().exists()
    undo(batch=batch, by=None)
    assert donor.pulls.standing().count() == 2
    assert [(str(want), want.left) for want in donor.wants.still_on()] == [("Grille", 1), ("Headlamp", 1)]


def test_one_batch_has_one_pull_of_a_part(bench):
    pull = make_pull(make_donor(), to=bench)
    with pytest.raises(IntegrityError), transaction.atomic():
        Pull.objects.create(batch=pull.batch, donor=pull.donor, part=pull.part, quantity=1)


def test_a_take_out_that_comes_twice_is_one_pull(bench):
    donor, uid = make_donor(), uuid.uuid4()
    part = make_part("Grille", holds={donor.location: 2}, donor=donor.location)
    for _ in range(2):
        take_out(part=part, quantity=Decimal(1), source=donor.location, target=bench, by=None, uid=uid)
    assert donor.pulls.count() == 1


def test_photos_become_the_parts_and_remember_whether_it_was_still_on(bench):
    donor = make_donor()
    before, after = (photos.add(data=picture(), by=None) for _ in range(2))
    pull = make_pull(donor, to=bench, before=[before], after=[after])
    assert dict(PullPhoto.objects.filter(pull=pull).values_list("photo", "when")) == {
        before.pk: "before",
        after.pk: "after",
    }
    assert list(pull.part.photos.in_order()) == [after, before]


def test_what_became_of_a_part_is_told_to_this_day(bench):
    donor, build = make_donor(), make_place("vehicle", name="Halvard 20", short="V1")
    pull = make_pull(donor, "Steering box", to=bench, quantity=3)
    take_out(part=pull.part, quantity=Decimal(1), source=bench, target=build, by=None)
    leave_shop(
        part=pull.part, quantity=Decimal(1), source=bench, reason="sold", by=None, cost=Decimal(140), note="To the club"
    )
    fate = queries.fates([pull.part_id])[pull.part_id]
    assert [(place, n) for place, n in fate.at] == [(bench, 1)]
    assert [(place, n) for place, n in fate.fitted] == [(build, 1)]
    assert [(move.cost, move.note) for move in fate.left] == [(140, "To the club")]
    assert not fate.gone


def test_a_part_merged_into_another_is_followed_there(bench):
    donor = make_donor()
    pull = make_pull(donor, to=bench)
    keep = make_part("Wiper engine", donor=donor.location)
    merge(keep=keep, drop=pull.part, by=None)
    (row,) = queries.pulls_of(donor)
    assert row.now == keep.pk
    assert queries.counts_by_zone(donor, queries.tally(donor))[""].pulled == 1  # held as the other part, so not gone


def test_a_part_merged_twice_over_is_followed_to_the_last(bench):
    donor = make_donor()
    pull = make_pull(donor, to=bench)
    second, third = make_part("Wiper engine"), make_part("Wiper drive")
    merge(keep=second, drop=pull.part, by=None)
    merge(keep=third, drop=second, by=None)
    (row,) = queries.pulls_of(donor)
    assert row.now == third.pk
    assert queries.fates([row.now])[row.now].main == bench
    assert queries.counts_by_zone(donor, queries.tally(donor))[""].gone == 0


def test_the_sale_of_what_was_merged_counts_but_not_what_the_other_part_brought_in_before(bench):
    donor = make_donor(price=Decimal(600))
    pull = make_pull(donor, to=bench)
    keep = make_part("Wiper engine", holds={bench: 2})

    def sell(cost):
        leave_shop(part=keep, quantity=Decimal(1), source=bench, reason="sold", by=None, cost=Decimal(cost))

    sell(70)
    merge(keep=keep, drop=pull.part, by=None)
    sell(100)
    assert queries.working(donor, queries.tally(donor)).reckoning.paid == 500


def test_a_pattern_leads_to_the_part_made_after_it_and_back(bench):
    donor = make_donor()
    pattern = make_pull(donor, "Hatch hinge", to=bench, condition="pattern").part
    made = made_after(part=Part(name="Hatch hinge, new"), pattern=pattern)
    assert (made.pattern, made.origin, list(pattern.copies.all())) == (pattern, "made", [made])
    assert queries.fates([pattern.pk])[pattern.pk].copies == [made]


def test_the_drawing_counts_what_is_kept_wanted_and_gone_by_zone(bench):
    donor = make_donor()
    make_pull(donor, "Cab door", to=bench, zone="cab")
    sold = make_pull(donor, "Cab seat", to=bench, zone="cab")
    leave_shop(part=sold.part, quantity=Decimal(1), source=bench, reason="sold", by=None, cost=Decimal(9))
    lost, _ = actions.want(donor=donor, things=[{"what": "Radiator"}, {"what": "Cab mirror"}], by=None)
    actions.say_of_want(want=lost, missing=True)
    counts = queries.counts_by_zone(donor, queries.tally(donor))
    assert (counts["cab"].pulled, counts["cab"].wanted, counts["cab"].gone) == (1, 1, 1)
    assert (counts["front"].pulled, counts["front"].wanted, counts["front"].gone) == (0, 0, 1)


def test_money_follows_the_ledger(bench):
    donor = make_donor(price=Decimal(600), weight=Decimal(500), scrap_rate=Decimal(200))
    build = make_place("vehicle", name="Halvard 20", short="V1")
    kept = make_pull(donor, "Cab door", to=bench, bagged=read_bag("8 M8"))
    make_pull(donor, "Grille", to=bench)
    sold = make_pull(donor, "Cab seat", to=bench)
    batch = leave_shop(part=sold.part, quantity=Decimal(1), source=bench, reason="sold", by=None, cost=Decimal(100))
    take_out(part=kept.part, quantity=Decimal(1), source=bench, target=build, by=None)
    sum_ = queries.working(donor, queries.tally(donor)).reckoning
    assert (sum_.paid, sum_.kept, sum_.fitted, sum_.carried) == (400, 2, 1, 200)
    undo(batch=batch, by=None)
    assert queries.working(donor, queries.tally(donor)).reckoning.paid == 500


@pytest.mark.parametrize("fields", [{"quantity": 0}, {"zone": "roof"}])
def test_a_pull_that_makes_no_sense_is_refused_by_the_database(bench, fields):
    pull = make_pull(make_donor(), to=bench)
    with pytest.raises(IntegrityError), transaction.atomic():
        Pull.objects.filter(pk=pull.pk).update(**fields)

import threading
import uuid
from decimal import Decimal

import pytest
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from inventory.parts import actions, audit
from inventory.parts.ledger import Line, NotEnough, OtherContents, OutOfUse, record
from inventory.parts.models import Batch, Holding, Move, Part, Reason
from inventory.places.actions import retire as retire_place
from inventory.places.models import Location
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


def held(part, place):
    return Holding.objects.filter(part=part, location=place).values_list("quantity", flat=True).first()


def test_putting_in_makes_a_holding_and_taking_all_out_removes_it():
    bin_, bench = make_place(), make_place("bench")
    part = make_part(holds={bin_: 4})
    assert held(part, bin_) == 4
    actions.take_out(part=part, quantity=Decimal(4), source=bin_, target=bench, by=None)
    assert held(part, bin_) is None
    assert held(part, bench) == 4


def test_tenths_add_up_exactly():
    tub = make_place()
    part = make_part(unit="metres")
    for _ in range(10):
        actions.put_in(part=part, quantity=Decimal("0.1"), target=tub, by=None)
    assert held(part, tub) == Decimal(1)


def test_the_same_move_arriving_twice_changes_nothing():
    tub, part, uid = make_place(), make_part(), uuid.uuid4()
    first = actions.put_in(part=part, quantity=Decimal(3), target=tub, by=None, uid=uid)
    second = actions.put_in(part=part, quantity=Decimal(3), target=tub, by=None, uid=uid)
    assert first == second
    assert held(part, tub) == 3
    assert Move.objects.count() == 1


def test_the_second_of_two_who_take_the_last_one_is_told_who_was_quicker(owner, hand):
    tub, bench, part = make_place(), make_place("bench"), make_part("Hatch hinge")
    actions.put_in(part=part, quantity=Decimal(1), target=tub, by=owner)
    actions.take_out(part=part, quantity=Decimal(1), source=tub, target=bench, by=owner)
    with pytest.raises(NotEnough, match=f"There is none of “Hatch hinge” at {tub}. Olga took 1 on"):
        actions.take_out(part=part, quantity=Decimal(1), source=tub, target=bench, by=hand)
    assert held(part, bench) == 1


def test_a_batch_with_one_impossible_line_writes_nothing():
    one, two = make_place(), make_place()
    there, missing = make_part(holds={one: 2}), make_part()
    lines = [Line(there, Decimal(2), one, two, "moved"), Line(missing, Decimal(1), one, two, "moved")]
    with pytest.raises(NotEnough):
        actions.record(lines=lines, what="both", by=None)
    assert held(there, one) == 2
    assert Batch.objects.count() == 1


def test_undo_reverses_every_move_of_a_batch_and_can_be_repeated():
    one, two = make_place(), make_place()
    parts = [make_part(holds={one: number}) for number in (1, 2, 3)]
    batch = actions.empty_into(source=one, target=two, by=None)
    assert [held(part, two) for part in parts] == [1, 2, 3]
    actions.undo(batch=batch, by=None)
    actions.undo(batch=Batch.objects.get(pk=batch.pk), by=None)
    assert [held(part, one) for part in parts] == [1, 2, 3]
    assert [held(part, two) for part in parts] == [None, None, None]


def test_what_has_gone_on_elsewhere_can_not_be_undone():
    tub, bench, part = make_place(), make_place("bench"), make_part()
    batch = actions.put_in(part=part, quantity=Decimal(1), target=tub, by=None)
    actions.take_out(part=part, quantity=Decimal(1), source=tub, target=bench, by=None)
    with pytest.raises(NotEnough):
        actions.undo(batch=batch, by=None)
    assert held(part, bench) == 1


def test_a_number_that_came_with_something_else_is_refused_and_writes_nothing():
    tub, uid = make_place(), uuid.uuid4()
    first, other = make_part(), make_part()
    actions.put_in(part=first, quantity=Decimal(3), target=tub, by=None, uid=uid)
    with pytest.raises(OtherContents, match="This was sent already, as: Put 3 × "):
        actions.put_in(part=other, quantity=Decimal(3), target=tub, by=None, uid=uid)
    with pytest.raises(OtherContents):
        actions.put_in(part=first, quantity=Decimal(4), target=tub, by=None, uid=uid)
    assert (held(first, tub), held(other, tub)) == (3, None)


def test_an_undo_brings_back_into_the_list_what_was_retired_since():
    tub = make_place()
    part = make_part(holds={tub: 1})
    batch = actions.leave_shop(part=part, quantity=Decimal(1), source=tub, reason="used", by=None)
    actions.retire(part=part)
    actions.undo(batch=batch, by=None)
    part.refresh_from_db()
    assert part.retired_at is None
    assert held(part, tub) == 1


def test_nothing_is_undone_into_a_place_that_is_out_of_use():
    tub, bench = make_place(short="C1"), make_place("bench")
    part = make_part(holds={tub: 1})
    batch = actions.take_out(part=part, quantity=Decimal(1), source=tub, target=bench, by=None)
    retire_place(place=tub, by=None)
    with pytest.raises(actions.CannotUndo, match="C1 is out of use"):
        actions.undo(batch=batch, by=None)
    assert held(part, bench) == 1


def test_nothing_is_put_into_a_place_that_went_out_of_use_while_its_form_was_open():
    tub, part = make_place(), make_part()
    Location.objects.filter(pk=tub.pk).update(retired_at=timezone.now())
    with pytest.raises(OutOfUse, match="went out of use meanwhile"):
        record(lines=[Line(part, Decimal(1), None, tub, Reason.RECEIVED)], what="Put in", by=None)
    assert not Batch.objects.exists()


def test_a_merge_of_a_part_that_lies_nowhere_is_undone_too():
    keep, drop = make_part("Bonnet catch"), make_part("Hood latch")
    actions.undo(batch=actions.merge(keep=keep, drop=drop, by=None), by=None)
    drop.refresh_from_db()
    assert (drop.merged_into, drop.retired_at) == (None, None)


def test_counting_writes_only_differences_and_the_date():
    tub = make_place()
    right, more, fewer = make_part(holds={tub: 5}), make_part(holds={tub: 5}), make_part(holds={tub: 5})
    batch = actions.count(location=tub, counted={right: Decimal(5), more: Decimal(7), fewer: Decimal(0)}, by=None)
    assert batch.moves.count() == 2
    assert [held(part, tub) for part in (right, more, fewer)] == [5, 7, None]
    tub.refresh_from_db()
    assert tub.counted_at is not None


def test_merging_moves_what_is_held_and_keeps_names_numbers_and_history():
    tub = make_place()
    keep = make_part("Bonnet catch", holds={tub: 1}, part_numbers="4-4410-2")
    drop = make_part("Hood latch", holds={tub: 2}, part_numbers="44102\n4-4410-2")
    actions.merge(keep=keep, drop=drop, by=None)
    keep.refresh_from_db()
    drop.refresh_from_db()
    assert held(keep, tub) == 3
    assert keep.other_names == "Hood latch"
    assert keep.part_numbers == "4-4410-2\n44102"
    assert drop.merged_into == keep
    assert drop.moves.count() == 2
    assert audit.differences() == []


def test_a_part_that_was_never_moved_is_deleted_and_another_is_retired():
    tub = make_place()
    fresh, used = make_part(), make_part(holds={tub: 1})
    assert actions.retire(part=fresh) is True
    actions.leave_shop(part=used, quantity=Decimal(1), source=tub, reason="used", by=None)
    assert actions.retire(part=used) is False
    assert list(Part.objects.all()) == [used]


def test_a_negative_holding_is_refused_by_the_database_itself():
    tub = make_place()
    make_part(holds={tub: 1})
    with pytest.raises(IntegrityError, match="holding_not_negative"), transaction.atomic():
        Holding.objects.update(quantity=Decimal(-1))


def test_a_move_to_where_it_is_already_is_refused_by_the_database_itself():
    tub, part = make_place(), make_part()
    batch = Batch.objects.create(what="nowhere")
    with pytest.raises(IntegrityError, match="move_goes_somewhere_else"), transaction.atomic():
        Move.objects.create(batch=batch, part=part, quantity=1, source=tub, target=tub, reason="moved")
    with pytest.raises(IntegrityError, match="move_has_an_end"), transaction.atomic():
        Move.objects.create(batch=batch, part=part, quantity=1, reason="moved")
    with pytest.raises(IntegrityError, match="move_quantity_positive"), transaction.atomic():
        Move.objects.create(batch=batch, part=part, quantity=0, target=tub, reason="moved")


def test_the_ledger_command_finds_a_tampered_holding_and_rebuilds_it(capsys):
    tub = make_place()
    part = make_part(holds={tub: 4})
    call_command("ledger")
    Holding.objects.update(quantity=Decimal(9))
    with pytest.raises(CommandError, match="1 holdings differ"):
        call_command("ledger")
    assert f"part {part.pk} at place {tub.pk}: moves say 4, holding says 9" in capsys.readouterr().out
    call_command("ledger", rebuild=True)
    assert held(part, tub) == 4


@pytest.mark.django_db(transaction=True)
def test_eight_people_moving_the_same_parts_at_once_leave_a_balanced_ledger():
    places = [make_place() for _ in range(3)]
    parts = [make_part(holds={places[0]: 20}) for _ in range(2)]
    told = []

    def work(seed: int) -> None:
        try:
            for turn in range(12):
                source, target = places[(seed + turn) % 3], places[(seed + turn + 1) % 3]
                try:
                    actions.take_out(
                        part=parts[turn % 2],
                        quantity=Decimal(seed % 4 + 1),
                        source=source,
                        target=target,
                        by=None,
                    )
                except NotEnough:
                    told.append(seed)
        finally:
            connection.close()

    threads = [threading.Thread(target=work, args=[seed]) for seed in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert Move.objects.count() + len(told) == 8 * 12 + 2
    assert audit.differences() == []
    assert sum(Holding.objects.filter(part=parts[0]).values_list("quantity", flat=True)) == 20

"""What tasks tell the store: the parts they are short of, which somebody may find on a donor."""

import pytest

from buildlog.tasks.models import TaskPart
from buildlog.tasks.slots import short_of
from inventory.donors.models import Want
from inventory.parts.actions import merge
from inventory.web import slots
from tests.factories import make_build, make_part, make_place, make_task
from tests.inventory.donors.made import make_donor

pytestmark = pytest.mark.django_db


def test_only_what_is_not_on_hand_is_wished_for_each_thing_once_with_what_for():
    build, bench = make_build(), make_place("bench")
    strap = make_part("Check strap", side="left", holds={bench: 1})
    make_task(
        "Hang the doors", build=build, uses={strap: 2, make_part("Hinge", holds={bench: 4}): 4}, words=("Gas strut",)
    )
    make_task("Hang the hatch", build=build, uses={strap: 1}, words=("gas strut",))
    wishes = {wish.what: (wish.quantity, wish.why, wish.side, wish.part_id) for wish in short_of()}
    assert wishes == {
        "Check strap": (2, "Hang the doors", "left", strap.pk),
        "Gas strut": (2, "Hang the doors", "", None),
    }


def test_a_part_known_to_be_on_a_donor_is_not_on_hand_and_is_wished_for(as_hand):
    donor, build = make_donor(), make_build()
    part = make_part("Pedal box", holds={donor.location: 1}, donor=donor.location)
    make_task("Brake lines", build=build, uses={part: 1})
    assert [wish.what for wish in slots.wanted()] == ["Pedal box"]
    as_hand.post(f"/donors/{donor.pk}/wanted/", {"wish": "Pedal box"})
    assert (Want.objects.get().part, Want.objects.get().why) == (part, "Brake lines")


def test_what_tasks_want_of_a_part_that_is_merged_they_want_of_the_one_that_is_kept():
    build, keep, drop = make_build(), make_part("Bonnet catch"), make_part("Hood latch")
    one, both = make_task(build=build, uses={drop: 2}), make_task(build=build, uses={keep: 1, drop: 3})
    merge(keep=keep, drop=drop, by=None)
    wanted = {line.task: (line.part, line.quantity) for line in TaskPart.objects.select_related("task", "part")}
    assert wanted == {one: (keep, 2), both: (keep, 4)}

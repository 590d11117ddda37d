"""Changes to the tree: addresses follow, old ones lead on, everything can be undone."""

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from inventory.parts import actions as parts
from inventory.parts.models import Holding, Move
from inventory.places.actions import (
    CannotUndo,
    NotEmpty,
    add_place,
    bring_back,
    move_place,
    rename,
    reorder,
    retire,
    undo,
)
from inventory.places.actions_grid import (
    RackPlan,
    container_places,
    join,
    lay_out,
    leave_unused,
    organizer_places,
    rack_places,
    racks_along,
    set_up,
    split,
)
from inventory.places.calc.grid import Numbering, Row
from inventory.places.changes import write
from inventory.places.grids import load
from inventory.places.models import FormerAddress, Location, LocationChange
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db
PLAIN = Numbering()


@pytest.fixture
def yard(db):
    return make_place("site", name="Yard", short="Y")


def container(owner, parent=None, short="C1", walls=None, **more):
    racks = racks_along(
        walls or {"left": 1, "right": 1}, shelves=3, bins=8, numbering=more.pop("numbering", PLAIN), from_door=True
    )
    return set_up(
        places=container_places(parent=parent, name="Container 1", short=short, racks=racks, **more), by=owner
    )


def organizer(owner, rows=2, cols=3, short="H1", **more):
    numbering = more.pop("numbering", Numbering(style="letters"))
    places = organizer_places(
        parent=None, name="Organizer 1", short=short, rows=rows, cols=cols, numbering=numbering, **more
    )
    return set_up(places=places, by=owner)


def at(text):
    return Location.objects.at(text).get()


def picture(holder):
    """The short names in the grid as they are seen, a row a line; '-' where no cell is."""
    grid = load(holder)
    squares = grid.squares()
    return [
        " ".join(squares[r, c].short if (r, c) in squares else "-" for c in range(cols))
        for r, cols in enumerate(grid.row_cols)
    ]


def test_a_container_of_two_racks_by_three_shelves_by_eight_bins_is_made_at_once(owner):
    box = container(owner)
    assert Location.objects.under(box).count() == 1 + 2 + 6 + 48
    assert at("c1 l2 14").path.startswith(box.path)
    assert picture(at("C1.L")) == ["1 2 3 4 5 6 7 8", "9 10 11 12 13 14 15 16", "17 18 19 20 21 22 23 24"]


def test_the_right_rack_is_counted_from_the_door_too(owner):
    container(owner)
    assert picture(at("C1·R"))[0] == "8 7 6 5 4 3 2 1"


def test_setting_up_costs_a_handful_of_statements_whatever_its_size(owner, django_assert_max_num_queries):
    with django_assert_max_num_queries(8):
        organizer(owner, 2, 3)
    with django_assert_max_num_queries(24):
        organizer(owner, 8, 50, short="H2")


def test_an_address_that_is_taken_is_refused_by_name_and_nothing_is_made(owner):
    container(owner)
    before = Location.objects.count()
    with pytest.raises(ValidationError, match="C1 is taken: Container 1"):
        container(owner)
    assert Location.objects.count() == before


def test_setting_up_can_be_undone(owner):
    container(owner)
    undo(change=LocationChange.objects.get())
    assert not Location.objects.exists()


def test_setting_up_is_not_undone_over_something_that_lies_there(owner):
    container(owner)
    make_part(holds={at("C1 L2 14"): 1})
    with pytest.raises(CannotUndo, match="C1·L2·14"):
        undo(change=LocationChange.objects.get())
    assert at("C1 L2 14")


def test_places_with_a_history_are_retired_when_their_making_is_undone(owner):
    container(owner)
    part = make_part()
    batch = parts.put_in(part=part, quantity=1, target=at("C1 L2 14"), by=owner)
    parts.undo(batch=batch, by=owner)
    undo(change=LocationChange.objects.get())
    assert not Location.objects.current().exists()
    assert Move.objects.count() == 2


def test_renaming_carries_the_whole_branch_and_the_old_addresses_lead_on(owner):
    container(owner)
    change = rename(place=at("C1"), by=owner, short="c7")
    bin14 = at("C7·L2·14")
    assert FormerAddress.objects.get(address="C1·L2·14").location == bin14
    assert change.what == "C1 became C7"
    undo(change=change)
    assert at("C1·L2·14") == bin14
    assert not FormerAddress.objects.exists()


def test_a_branch_may_take_an_address_that_was_inside_itself(owner):
    outer = make_place("container", short="A")
    inner = make_place("bin", short="A", parent=make_place("bin", short="A", parent=outer))
    rename(place=outer, by=owner, short="AA")
    rename(place=outer, by=owner, short="A")
    move_place(place=outer, to=make_place("site", short="A1", name="Yard"), by=owner)
    inner.refresh_from_db()
    assert inner.address == "A1·A·A·A"


def test_renaming_to_an_address_that_is_taken_is_refused_with_the_clash_named(owner):
    box = container(owner)
    with pytest.raises(ValidationError, match="C1·R is taken: Right rack in Container 1"):
        rename(place=at("C1·L"), by=owner, short="R")
    assert at("C1·L2·14").path.startswith(box.path)


def test_moving_a_box_with_all_it_holds_is_one_change_and_no_move_of_parts(owner, yard):
    box = container(owner, parent=yard)
    part = make_part(holds={at("Y C1 L2 14"): 3})
    moves = Move.objects.count()
    other = container(owner, parent=yard, short="C2", walls={"back": 1})
    rack = at("Y C1 L")
    change = move_place(place=rack, to=other, by=owner, side="left")
    assert at("Y·C2·L2·14").holdings.get().part == part
    assert Move.objects.count() == moves
    assert str(change) == "Moved Y·C1·L to Y·C2: now Y·C2·L"
    assert list(rack.changes.all()) == [change]
    undo(change=change)
    assert at("Y·C1·L2·14").path.startswith(box.path)
    assert at("Y·C1·L").side == "left"


def test_a_place_cannot_stand_inside_itself(owner):
    box = container(owner)
    with pytest.raises(ValidationError, match="inside C1"):
        move_place(place=box, to=at("C1·L2"), by=owner)


def test_moving_where_the_address_is_taken_offers_no_half_move(owner):
    container(owner)
    other = container(owner, short="C2")
    with pytest.raises(ValidationError, match="C2·L is taken"):
        move_place(place=at("C1·L"), to=other, by=owner)
    assert at("C1·L2·14").path.startswith(at("C1").path)


def test_a_shelf_that_moves_to_another_rack_comes_below_those_there(owner):
    container(owner)
    move_place(place=at("C1·L3"), to=at("C1·R"), by=owner, short="4")
    assert picture(at("C1·R"))[3] == "17 18 19 20 21 22 23 24"
    assert at("C1·R4·24")


def test_a_bin_that_moves_out_of_its_rack_gives_up_its_cell(owner):
    container(owner)
    bench = make_place("bench", short="W1", name="Lathe bench")
    move_place(place=at("C1·L2·14"), to=bench, by=owner)
    assert at("W1·14").row is None
    assert picture(at("C1·L"))[1] == "9 10 11 12 13 - 15 16"


def test_a_bin_that_comes_back_has_its_cell_again(owner):
    container(owner)
    shelf = at("C1·L2").pk
    move_place(place=at("C1·L2·14"), to=at("C1·R"), by=owner)
    move_place(place=at("C1·R·14"), to=Location.objects.get(pk=shelf), by=owner)
    back = at("C1·L2·14")
    assert (back.row, back.col) == (0, 5)
    assert "14" in picture(at("C1·L"))[1]


def test_a_bin_of_another_number_takes_no_cell(owner):
    container(owner)
    move_place(place=at("C1·L2·14"), to=at("C1·R2"), short="99", by=owner)
    assert at("C1·R2·99").col is None


def test_a_new_bin_takes_the_free_cell_of_its_number(owner):
    container(owner)
    move_place(place=at("C1·L2·14"), to=None, by=owner, short="BOX")
    made = add_place(kind="bin", short="14", parent=at("C1·L2"), by=owner)
    assert (made.row, made.col) == (0, 5)


def test_a_drawer_that_comes_back_has_its_cell_again(owner):
    cabinet = organizer(owner)
    move_place(place=at("H1·B2"), to=None, by=owner, short="B2")
    move_place(place=at("B2"), to=cabinet, by=owner)
    assert (at("H1·B2").row, at("H1·B2").col) == (1, 1)


def test_a_branch_of_two_thousand_places_is_readdressed_in_a_constant_handful_of_statements(
    owner, django_assert_max_num_queries
):
    plans = [RackPlan("left", letter, "", 10, 40, PLAIN) for letter in "LMNPQ"]
    box = set_up(places=container_places(parent=None, name="", short="C1", racks=plans), by=owner)
    assert Location.objects.under(box).count() > 2000
    with django_assert_max_num_queries(40):
        rename(place=box, by=owner, short="C2")
    assert at("C2·Q10·400")
    assert FormerAddress.objects.count() == Location.objects.count()


def test_undo_is_refused_once_a_newer_change_touched_the_same(owner):
    box = container(owner)
    older = rename(place=box, by=owner, short="C2")
    rename(place=at("C2"), by=owner, short="C3")
    with pytest.raises(CannotUndo, match="changed again since"):
        undo(change=older)
    assert at("C3·L2·14")


def test_a_change_is_undone_once(owner):
    change = rename(place=container(owner), by=owner, short="C2")
    undo(change=change)
    with pytest.raises(CannotUndo, match="already"):
        undo(change=change)


def test_undo_is_refused_when_the_old_address_has_been_given_away(owner):
    change = rename(place=container(owner), by=owner, short="C2")
    make_place("bench", short="C1")
    with pytest.raises(CannotUndo, match="C1 is taken"):
        undo(change=change)
    assert at("C2·L2·14")


def test_only_an_empty_place_is_taken_out_of_use(owner):
    container(owner)
    make_part("Hinge pin", holds={at("C1 L2 14"): 1})
    with pytest.raises(NotEmpty, match="Hinge pin at C1·L2·14"):
        retire(place=at("C1"), by=owner)
    retire(place=at("C1 R"), by=owner)
    assert not Location.objects.at("C1·R3·24").exists()


def test_a_retired_branch_comes_back_whole_and_its_address_is_free_meanwhile(owner):
    container(owner)
    rack = at("C1 R")
    retire(place=rack, by=owner)
    make_place("rack", short="R", parent=at("C1"))
    with pytest.raises(ValidationError, match="C1·R is taken"):
        bring_back(place=rack, by=owner)
    rename(place=at("C1 R"), by=owner, short="S")
    bring_back(place=rack, by=owner)
    assert at("C1·R3·24")


def test_joining_keeps_the_first_number_and_the_others_address_leads_to_it(owner):
    cabinet = organizer(owner)
    change = join(cell=at("H1·A2"), other=at("H1·A1"), by=owner)
    assert picture(cabinet) == ["A1 A1 A3", "B1 B2 B3"]
    assert FormerAddress.objects.get(address="H1·A2").location == at("H1·A1")
    undo(change=change)
    assert picture(cabinet) == ["A1 A2 A3", "B1 B2 B3"]
    assert not FormerAddress.objects.exists()


def test_joining_towards_the_left_keeps_the_first_number_too(owner):
    box = container(owner, walls={"right": 1})
    join(cell=at("C1·R1·1"), other=at("C1·R1·2"), by=owner)
    assert picture(at("C1·R"))[0] == "8 7 6 5 4 3 1 1"
    assert box.changes.count() == 1


def test_cells_that_are_apart_or_not_alike_are_not_joined(owner):
    organizer(owner)
    join(cell=at("H1·A1"), other=at("H1·A2"), by=owner)
    for other in ("H1·B3", "H1·B1"):
        with pytest.raises(ValidationError, match="side by side"):
            join(cell=at("H1·A1"), other=at(other), by=owner)


def test_a_cell_that_holds_something_is_not_joined_away_nor_left_unused(owner):
    organizer(owner)
    make_part(holds={at("H1·A2"): 4})
    with pytest.raises(NotEmpty):
        join(cell=at("H1·A1"), other=at("H1·A2"), by=owner)
    with pytest.raises(NotEmpty):
        leave_unused(cell=at("H1·A2"), unused=True, by=owner)
    assert Holding.objects.count() == 1


def test_splitting_brings_the_cells_back_with_their_numbers(owner):
    cabinet = organizer(owner)
    join(cell=at("H1·A1"), other=at("H1·B1"), by=owner)
    split(cell=at("H1·A1"), by=owner)
    assert picture(cabinet) == ["A1 A2 A3", "B1 B2 B3"]


def test_a_cell_left_unused_is_no_place_any_more_until_it_is_used_again(owner):
    organizer(owner)
    leave_unused(cell=at("H1·B2"), unused=True, by=owner)
    assert not Location.objects.current().filter(address="H1·B2").exists()
    leave_unused(cell=at("H1·B2"), unused=False, by=owner)
    assert Location.objects.current().filter(address="H1·B2").exists()


def test_more_bins_go_on_from_the_highest_number_there_is(owner):
    rack = set_up(places=rack_places(RackPlan("", "L", "", 2, 3, PLAIN), None), by=owner)
    change = lay_out(holder=rack, row_cols=[4, 4, 2], numbering=PLAIN, own={}, anew=False, by=owner)
    assert picture(rack) == ["1 2 3 7", "4 5 6 8", "9 10"]
    assert at("L3·10")
    undo(change=change)
    assert picture(rack) == ["1 2 3", "4 5 6"]


def test_all_can_be_numbered_anew_though_numbers_change_places(owner):
    rack = set_up(places=rack_places(RackPlan("", "L", "", 2, 3, PLAIN), None), by=owner)
    first = at("L1·1")
    change = lay_out(holder=rack, row_cols=[3, 3], numbering=Numbering("bottom-right"), own={}, anew=True, by=owner)
    assert picture(rack) == ["6 5 4", "3 2 1"]
    assert [shelf.short for shelf in load(rack).shelves] == ["2", "1"]
    assert at("L2·6") == first
    undo(change=change)
    assert at("L1·1") == first


def test_rows_may_have_a_numbering_of_their_own(owner):
    rack = set_up(places=rack_places(RackPlan("", "L", "", 2, 3, PLAIN), None), by=owner)
    own = {1: Row(3, first=21, backwards=True)}
    lay_out(holder=rack, row_cols=[3, 3], numbering=PLAIN, own=own, anew=True, by=owner)
    assert picture(rack) == ["1 2 3", "23 22 21"]
    assert load(rack).rows()[1] == Row(3, 21, True)


def test_only_empty_cells_are_taken_away(owner):
    rack = set_up(places=rack_places(RackPlan("", "L", "", 2, 3, PLAIN), None), by=owner)
    make_part("Door check strap", holds={at("L2·6"): 2})
    with pytest.raises(NotEmpty, match="Door check strap"):
        lay_out(holder=rack, row_cols=[3, 2], numbering=PLAIN, own={}, anew=False, by=owner)
    lay_out(holder=rack, row_cols=[2, 3], numbering=PLAIN, own={}, anew=False, by=owner)
    assert picture(rack) == ["1 2", "4 5 6"]


def test_places_can_be_put_in_another_order(owner, yard):
    one, two = (make_place("bench", short=s, parent=yard) for s in ("W1", "W2"))
    change = reorder(place=two, up=True, by=owner)
    assert list(yard.children.in_order()) == [two, one]
    assert reorder(place=two, up=True, by=owner) is None
    undo(change=change)
    assert list(yard.children.in_order()) == [one, two]


def test_two_current_places_never_share_an_address_or_a_cell(owner):
    organizer(owner)
    with pytest.raises(IntegrityError, match="UNIQUE"), transaction.atomic():
        Location.objects.filter(address="H1·A1").update(address_key="H1·A2")
    with pytest.raises(IntegrityError, match="UNIQUE"), transaction.atomic():
        Location.objects.filter(address="H1·A1").update(col=1)


def test_a_change_says_what_it_was(owner):
    with pytest.raises(IntegrityError, match="location_change_says_what"):
        write(location=make_place("bench"), what="", by=owner)

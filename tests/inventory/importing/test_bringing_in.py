"""Lists brought in: what they make, that they add nothing twice, that they come out whole."""

from decimal import Decimal

import pytest

from inventory.importing.actions import ShopChanged, import_rows, undo_import, write
from inventory.importing.calc.columns import guess_columns
from inventory.importing.calc.rows import read_rows
from inventory.importing.models import Import, ImportedRow
from inventory.importing.plan import make_plan
from inventory.importing.reading import read_pasted
from inventory.importing.words import problem
from inventory.parts.actions import NotEnough, leave_shop
from inventory.parts.audit import differences
from inventory.parts.models import Batch, Holding, Move, Part
from inventory.places.actions import add_place
from inventory.places.actions_grid import RackPlan, container_places, set_up
from inventory.places.calc.grid import Numbering
from inventory.places.models import Location
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db

LIST = """Part;Part no;Qty;Where;Condition;Off vehicle;Note
Hatch hinge;4-4410-2;2 pcs;container 1, left, shelf 2, bin 14;good;;one bent
Door check strap;;1;C1 L2 14;rusty;Halvard 20 pickup;
Fuel hose;;1,5 m;C1 R1 03;;;
Roof vent;;;;;;
"""


def rows_of(text):
    table = read_pasted(text).table
    return list(read_rows(table, [c.field for c in guess_columns(table)]))


def bring(text, **more):
    return import_rows(readings=rows_of(text), name="parts.csv", by=None, **more)


def holdings():
    return {(h.part.name, h.location.address): h.quantity for h in Holding.objects.select_related("part", "location")}


def test_parts_land_where_the_list_says():
    brought = bring(LIST)
    assert holdings() == {
        ("Hatch hinge", "C1·L2·14"): 2,
        ("Door check strap", "C1·L2·14"): 1,
        ("Fuel hose", "C1·R1·03"): Decimal("1.5"),
    }
    assert (brought.counts["put_in"], brought.counts["list_only"], brought.counts["new_parts"]) == (3, 1, 4)
    assert Part.objects.get(name="Fuel hose").unit == "metres"
    assert Part.objects.get(name="Hatch hinge").note == "one bent"
    strap = Part.objects.get(name="Door check strap")
    assert (strap.condition, strap.origin, strap.donor.name) == ("repairable", "pulled", "Halvard 20 pickup")


def test_places_are_made_in_the_tree_with_their_kinds_and_addresses():
    bring(LIST)
    places = {p.address: (p.kind, p.name, p.parent and p.parent.address) for p in Location.objects.all()}
    assert places == {
        "C1": ("container", "Container 1", None),
        "C1·L": ("rack", "Left rack", "C1"),
        "C1·L2": ("shelf", "Shelf 2", "C1·L"),
        "C1·L2·14": ("bin", "Bin 14", "C1·L2"),
        "C1·R": ("rack", "Right rack", "C1"),
        "C1·R1": ("shelf", "Shelf 1", "C1·R"),
        "C1·R1·03": ("bin", "Bin 03", "C1·R1"),
        "D1": ("vehicle", "Halvard 20 pickup", None),
    }
    assert dict(Location.objects.filter(kind="rack").values_list("address", "side")) == {
        "C1·L": "left",
        "C1·R": "right",
    }
    deepest = Location.objects.get(address="C1·L2·14")
    assert deepest.path == "/" + "".join(f"{p.pk}/" for p in deepest.way_down())


def test_places_that_are_there_are_used_by_address_name_or_kind():
    yard = make_place("site", short="", name="Yard")
    Location.objects.filter(pk=yard.pk).update(short="", address="", address_key="")
    yard.refresh_from_db()
    container = add_place(kind="container", name="The blue one", short="C1", parent=yard)
    rack = add_place(kind="rack", name="Left rack", short="L", parent=container)
    shelf = add_place(kind="shelf", short="2", parent=rack)
    bin_14 = add_place(kind="bin", short="14", parent=shelf)
    bring(
        "Part;Qty;Where\nA;1;C1-L2-14\nB;1;container, left, shelf 2, bin 14\nC;1;Yard / the blue one / left / 2 / 14\n"
        "D;1;container 1, bin 14\n"
    )
    assert {h.location_id for h in Holding.objects.all()} == {bin_14.pk}
    assert Location.objects.count() == 5


def a_container():
    """One rack, two shelves of three bins that are numbered on: C1·L1·1 to 3, C1·L2·4 to 6."""
    rack = RackPlan(short="L", name="Left rack", side="left", shelves=2, bins=3, numbering=Numbering())
    set_up(places=container_places(parent=None, name="Container 1", short="C1", racks=[rack]), by=None)


@pytest.mark.parametrize("words", ["C1L2-5", "c1l25", "C1L2 05", "container left 2 5", "Container 1, left, 2, 5"])
def test_an_address_or_words_in_a_hurry_lead_to_the_bin_that_is_there(words):
    a_container()
    before = Location.objects.count()
    bring(f"Part;Qty;Where\nHatch hinge;2;{words}\n")
    assert holdings() == {("Hatch hinge", "C1·L2·5"): 2}
    assert Location.objects.count() == before


def test_a_bin_beside_those_a_shelf_has_is_told_before_it_is_made():
    a_container()
    plan = make_plan(rows_of("Part;Qty;Where\nHatch hinge;2;container, left, shelf 2, bin 2\nStay;1;C1 L2 4\n"))
    said = [[problem(found, row) for found in row.problems] for row in plan.rows]
    assert said == [["C1·L2 has 4 to 6; a new place is made beside them. Is it one of those?"], []]


def test_new_places_without_a_site_go_into_the_only_site():
    add_place(kind="site", name="Barn", short="")
    bring("Part;Qty;Where\nA;1;bench 1\n")
    assert Location.objects.get(kind="bench").parent.name == "Barn"


def test_a_site_that_the_list_itself_names_takes_nothing_else_in():
    bring("Part;Qty;Where\nCopper pipe;1;barn loft\nWiper motor;1;bench\n")
    assert Location.objects.get(kind="bench").parent is None


def test_words_that_fit_two_places_are_asked_about_not_guessed():
    for short in ("C1", "C2"):
        make_place("container", short=short)
    (row,) = make_plan(rows_of("Part;Qty;Where\nA;1;container\n")).rows
    assert (row.outcome, row.problems[0].code) == ("error", "several")


def test_a_part_that_is_in_the_list_already_is_used_again():
    there = make_part("Hatch hinge", part_numbers="44102")
    bring("Part;No;Qty;Where\nhatch  hinge;4-4102;2;B1\nHatch hinge;4.4102;3;B2\n")
    assert [p.pk for p in Part.objects.all()] == [there.pk]
    assert sum(holdings().values()) == 5


def test_the_same_list_twice_adds_nothing():
    bring(LIST)
    before = (holdings(), Part.objects.count(), Location.objects.count())
    again = bring(LIST)
    assert (again.counts["known"], again.counts["to_do"]) == (4, 0)
    assert (holdings(), Part.objects.count(), Location.objects.count()) == before


def test_a_count_changed_in_the_list_is_told_and_not_added():
    bring("Part;Qty;Where\nHinge;2;B1\n")
    (row,) = make_plan(rows_of("Part;Qty;Where\nHinge;5;B1\n")).rows
    assert (row.outcome, row.before) == ("changed", 2)


def test_rows_with_errors_add_nothing_and_the_rest_comes_in():
    brought = bring("Part;Qty;Where\nHinge;2;B1\nPin;see box;B1\n;3;B1\n")
    assert (brought.counts["error"], holdings()) == (2, {("Hinge", "B1"): 2})


def test_one_undo_takes_the_whole_list_out_again():
    kept = make_part("Old bracket", holds={make_place("bin", short="B9"): 4})
    brought = bring(LIST + "Old bracket;;1;B9;;;\n")
    undo_import(source=Import.objects.get(), by=None)
    assert holdings() == {("Old bracket", "B9"): 4}
    assert [p.pk for p in Part.objects.current()] == [kept.pk]
    assert [p.address for p in Location.objects.current()] == ["B9"]
    assert brought.batch.moves.count() == 4
    assert differences() == []


def test_after_the_undo_the_same_list_comes_in_again():
    bring(LIST)
    undo_import(source=Import.objects.get(), by=None)
    assert bring(LIST).counts["put_in"] == 3
    assert len(holdings()) == 3


def test_an_undo_that_cannot_be_whole_changes_nothing():
    bring(LIST)
    hinge = Holding.objects.get(part__name="Hatch hinge")
    leave_shop(part=hinge.part, quantity=Decimal(1), source=hinge.location, reason="used", by=None)
    with pytest.raises(NotEnough):
        undo_import(source=Import.objects.get(), by=None)
    assert len(holdings()) == 3
    assert Part.objects.current().count() == 4


def test_two_people_with_the_same_list_bring_it_in_once():
    plan = make_plan(rows_of(LIST))
    bring(LIST)
    with pytest.raises(ShopChanged):
        write(plan=plan, source=Import(name="late.csv"), by=None)
    assert (Batch.objects.count(), ImportedRow.objects.count()) == (1, 4)


def test_the_ledger_balances_and_each_move_names_its_row():
    bring(LIST)
    assert differences() == []
    assert {m.note for m in Move.objects.all()} == {f"parts.csv, row {n}" for n in (2, 3, 4)}


def test_rows_are_written_many_at_a_time(django_assert_max_num_queries):
    text = "Part;Qty;Where\n" + "".join(f"Part {n};1;box {n % 7}\n" for n in range(400))
    with django_assert_max_num_queries(40):
        bring(text)


def test_a_rack_that_the_list_made_is_drawn_with_its_bins_in_their_order(as_owner):
    bring(
        "Name;Qty;Where\n"
        "Hatch hinge;1;container 1, left rack, shelf 2, bin 14\n"
        "Window felt;1;container 1, left rack, shelf 2, bin 9\n"
        "Door strap;1;container 1, left rack, shelf 1, bin 3\n"
    )
    shelf = Location.objects.get(address="C1·L2")
    assert [(bin_.short, bin_.col) for bin_ in shelf.children.order_by("col")] == [("9", 0), ("14", 1)]
    assert list(Location.objects.filter(kind="shelf").order_by("row").values_list("short", flat=True)) == ["1", "2"]
    page = as_owner.get("/at/C1·L2·14/").text
    assert "<svg" in page
    assert "seen from the aisle" in page


def test_a_shelf_that_a_list_made_takes_another_bin_without_a_question():
    bring("Part;Qty;Where\nHatch hinge;2;C1 L2 3\nStay;1;C1 L2 9\n")
    assert make_plan(rows_of("Part;Qty;Where\nPin;1;C1 L2 14\n")).rows[0].problems == ()

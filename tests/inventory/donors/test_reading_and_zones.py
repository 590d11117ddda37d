"""Bags of fasteners as people write them, and where on a vehicle a part sits. Cases: common practice, no source."""

import re

import pytest

from inventory.donors.calc.bagged import Bagged, read_bag
from inventory.donors.calc.zones import BACK, CAB, FRONT, UNDER, zone_of
from inventory.donors.drawing import of_donor
from inventory.donors.models import Donor, Shape
from inventory.donors.queries import Counts
from inventory.donors.starter import AREAS, things


@pytest.mark.parametrize(
    ("line", "quantity", "what"),
    [
        ("6 M8×25 hex", 6, "M8×25 hex"),
        ("6 x M8x25", 6, "M8x25"),
        ("6× M8 washer", 6, "M8 washer"),
        ("2 off 5/16 UNF nyloc", 2, "5/16 UNF nyloc"),
        ("2 washers", 2, "washers"),
        ("1/4-20 x 3/4 button", 1, "1/4-20 x 3/4 button"),
        ("M6x16", 1, "M6x16"),
        ("10 mm spacer", 1, "10 mm spacer"),
        ("  4   clevis pins ; ", 4, "clevis pins"),
        ("M8 washer x 6", 6, "M8 washer"),
        ("M8 nyloc ×4", 4, "M8 nyloc"),
        ("nut M8 x 6", 6, "nut M8"),
        ("nut M8 x 1", 1, "nut M8 x 1"),
        ("washer M8 x 24", 1, "washer M8 x 24"),
        ("M6 penny washer x 25", 1, "M6 penny washer x 25"),
        ("M8x25 hex 8.8 x 6", 6, "M8x25 hex 8.8"),
        ("M8x25 hex, 6", 6, "M8x25 hex"),
        ("M8 washer 6 off", 6, "M8 washer"),
        ("M8 bolt x 25", 1, "M8 bolt x 25"),
        ("M8 x 25", 1, "M8 x 25"),
        ("M12x1.5 x 30", 1, "M12x1.5 x 30"),
        ("Trim clip x 4", 4, "Trim clip"),
        ("Trim clip, 0", 1, "Trim clip, 0"),
        ("Panel 300 x 200", 1, "Panel 300 x 200"),
    ],
)
def test_a_line_of_a_bag_is_read_as_it_is_meant(line, quantity, what):
    assert read_bag(line) == (Bagged(quantity, what),)


def test_the_same_thing_twice_adds_up_and_empty_lines_say_nothing():
    assert read_bag("2 M6 nut\n\n3 m6 NUT\n \n") == (Bagged(5, "M6 nut"),)
    assert read_bag("") == ()


@pytest.mark.parametrize(
    ("name", "zone"),
    [
        ("Bonnet catch", FRONT),
        ("Radiator", FRONT),
        ("Brake master cylinder", FRONT),
        ("Cab door, left", CAB),
        ("Windshield", CAB),
        ("Rear door lock", BACK),
        ("Tailgate chain", BACK),
        ("Leaf spring, rear", UNDER),
        ("Fuel tank", UNDER),
        ("Brake drum, front", UNDER),
        ("Rear something", BACK),
        ("Thingummy", ""),
        ("", ""),
    ],
)
def test_a_name_tells_where_on_the_vehicle_it_sits(name, zone):
    assert zone_of(name) == zone


def test_every_thing_of_the_starter_list_has_a_zone_and_stands_once():
    listed = [thing for names in AREAS.values() for name in names for thing in things(name)]
    assert [what for what, _ in listed if not zone_of(what)] == []
    assert len(listed) == len(set(listed)) > 60


@pytest.mark.parametrize("shape", Shape.values)
def test_every_shape_is_drawn_with_every_zone_and_its_counts_inside_it_clear_of_the_wheels(shape):
    picture = of_donor(Donor(shape=shape), {zone: Counts(12, 18, 13) for zone in (FRONT, CAB, BACK, UNDER)})
    assert {part.zone for part in picture.parts} == {FRONT, CAB, BACK, UNDER}
    for part in picture.parts:
        xs, ys = _corners(part.path)
        assert len(part.marks) == 3
        for mark in part.marks:
            left, right, top = mark.x - 17, mark.x + 17, mark.y - 12  # '✓ 12' as it is drawn
            assert min(xs) <= left
            assert right <= max(xs)
            assert min(ys) <= top
            assert mark.y <= max(ys)
            for x, y, radius in picture.outline.wheels:
                near = min(max(x, left), right), min(max(y, top), mark.y)
                assert (near[0] - x) ** 2 + (near[1] - y) ** 2 >= radius**2


def _corners(path: str) -> tuple[list[float], list[float]]:
    """Every x and every y of a path of M, H, V and L."""
    xs, ys = [], []
    for verb, numbers in re.findall(r"([MHVL])([\d. ]+)", path):
        read = [float(number) for number in numbers.split()]
        xs += read[:1] if verb != "V" else []
        ys += read[-1:] if verb != "H" else []
    return xs, ys

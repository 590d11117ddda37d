"""Which symbol a label gets, against the table of data capacities of ISO/IEC 18004 (versions 1 to 6)."""

import pytest
from qrcode import constants
from qrcode.util import BIT_LIMIT_TABLE, length_in_bits

from inventory.labels.calc import symbol

# characters at Q and H: alphanumeric, byte (ISO/IEC 18004, data capacity table)
PUBLISHED = {
    1: ((16, 10), (11, 7)),
    2: ((29, 20), (20, 14)),
    3: ((47, 35), (32, 24)),
    4: ((67, 50), (46, 34)),
    5: ((87, 64), (60, 44)),
    6: ((108, 84), (74, 58)),
}


@pytest.mark.parametrize("version", PUBLISHED)
@pytest.mark.parametrize(("index", "filler"), [(0, "A"), (1, "a")])
@pytest.mark.parametrize("level", ["Q", "H"])
def test_a_version_holds_exactly_the_published_number_of_characters(version, index, filler, level):
    most = PUBLISHED[version][index]["QH".index(level)]
    assert symbol.version_for(filler * most, level) == version
    if version < 6:
        assert symbol.version_for(filler * (most + 1), level) == version + 1
    else:
        with pytest.raises(symbol.TooLong):
            symbol.version_for(filler * (most + 1), level)


@pytest.mark.parametrize("version", PUBLISHED)
@pytest.mark.parametrize("level", ["Q", "H"])
def test_the_qrcode_library_counts_the_same_bits(version, level):
    """Bits: 4 of mode, the length, 11 for two alphanumeric characters (6 for an odd one), 8 for a byte."""
    room = BIT_LIMIT_TABLE[{"Q": constants.ERROR_CORRECT_Q, "H": constants.ERROR_CORRECT_H}[level]][version]
    for mode, name in ((2, "alphanumeric"), (4, "byte")):
        count = symbol.CAPACITY[version][name][level]
        bits = [4 + length_in_bits(mode, version) + _bits(name, n) for n in (count, count + 1)]
        assert bits[0] <= room < bits[1]


def _bits(name, n):
    return n // 2 * 11 + n % 2 * 6 if name == "alphanumeric" else 8 * n


@pytest.mark.parametrize(("version", "side"), [(1, 21), (2, 25), (3, 29), (4, 33), (5, 37), (6, 41)])
def test_a_side_has_seventeen_and_four_modules_a_version_and_four_quiet_ones_at_each_end(version, side):
    choice = symbol.Choice(version, "H", "alphanumeric", 0.5)
    assert choice.side == side
    assert choice.size == pytest.approx((side + 8) * 0.5)  # version 2 at 0.5 mm: 16.5 mm


A35 = "HTTPS://GARAGE.LOCAL:8443/L/7K3F9CM"  # 35 characters: 3-H exactly


@pytest.mark.parametrize(
    ("text", "room", "expected"),
    [
        (A35, 18.5, (3, "H")),  # 37 modules of 0.5 mm
        (A35, 20.4, (3, "H")),
        (A35, 20.5, (4, "H")),  # 41 modules of 0.5 mm: the sturdier version
        (A35, 18.4, (3, "H")),  # under 0.5 mm, but Q would be version 3 as well
        (A35 + "X", 20.5, (4, "H")),  # 41 modules of 0.5 mm
        (A35 + "X", 20.4, (3, "Q")),  # H would print under 0.5 mm
        (A35 + "X", 14.8, (3, "Q")),  # 37 modules of 0.4 mm
        (A35.lower(), 30, (5, "H")),  # lower case needs bytes
    ],
)
def test_the_highest_level_is_taken_that_keeps_half_a_millimetre(text, room, expected):
    choice = symbol.choose(text, room)
    assert (choice.version, choice.level) == expected
    assert choice.size <= room + 1e-9


def test_a_room_that_cannot_hold_modules_of_four_tenths_is_refused_with_what_it_needs():
    with pytest.raises(symbol.TooSmall) as refused:
        symbol.choose(A35, 14.7)
    assert refused.value.needed == pytest.approx(14.8)
    with pytest.raises(symbol.TooSmall) as refused:
        symbol.choose(A35 + "X", 16, only_high=True)
    assert refused.value.needed == pytest.approx(16.4)

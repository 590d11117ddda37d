import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.donors.calc.vin import FAILS, NOT_17, PASSES, Suspect, check_vin

SOUND = "1M8GDM9AXKP042788"


@pytest.mark.parametrize("text", ["", "64-20-117", "H20P 00417", "VL 3309 K", "x" * 18])
def test_any_other_length_is_taken_as_it_is(text):
    got = check_vin(text)
    assert (got.standing, got.barred, got.suspects) == (NOT_17, (), ())


@given(st.text())
def test_it_never_raises(text):
    assert check_vin(text).standing


def test_small_letters_spaces_and_stamped_stars_do_not_matter():
    assert check_vin("*1m8gd m9a-xkp 042788*").standing == PASSES


@pytest.mark.parametrize(
    ("read", "position", "wrong", "right"),
    [
        ("1MBGDM9AXKP042788", 3, "B", "8"),
        ("1M8GDM9AXKP04278B", 17, "B", "8"),
        ("1M8GDM9AXKP04Z788", 14, "Z", "2"),
        ("1M8GDM9AXKPD42788", 12, "D", "0"),
        ("1M86DM9AXKP042788", 4, "6", "G"),
    ],
)
def test_a_look_alike_is_named_first(read, position, wrong, right):
    got = check_vin(read)
    assert got.standing == FAILS
    assert got.suspects[0] == Suspect(position, wrong, right)


def test_letters_that_no_number_holds_are_named_with_their_places():
    got = check_vin("IM8GDM9AXKPO42788")
    assert got.standing == FAILS
    assert got.barred == ((1, "I"), (12, "O"))
    assert got.suspects == (Suspect(1, "I", "1"), Suspect(12, "O", "0"))


@given(st.integers(0, 16), st.sampled_from("0123456789ABCDEFGHJKLMNPRSTUVWXYZ"))
def test_each_suspect_put_right_makes_the_number_pass(at, character):
    read = SOUND[:at] + character + SOUND[at + 1 :]
    for suspect in check_vin(read).suspects:
        mended = read[: suspect.position - 1] + suspect.likely + read[suspect.position :]
        assert check_vin(mended).standing == PASSES


def test_a_sound_number_has_no_suspects():
    assert check_vin(SOUND).suspects == ()

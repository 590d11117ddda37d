"""What is this? Readings of real bolts lie under nominal; the bands are ISO 965-1 6g and ASME B1.1 2A."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.fasteners.calc.identify import CALIPER_MM, GAUGE_MM, identify, pitch_from_span
from inventory.fasteners.calc.profile import inside_band, outside_band
from inventory.fasteners.calc.threads import ALL_THREADS


def names(got, count=None):
    return [one.thread.name for one in got.likely][:count]


def test_a_caliper_and_a_metric_gauge():
    got = identify(7.9, pitch_mm=1.25)
    assert (names(got, 1), got.ambiguous) == (["M8×1.25"], False)
    assert got.likely[0].diameter_off == pytest.approx(-0.1)
    assert got.likely[0].pitch_off == pytest.approx(0)


def test_a_caliper_in_inches_and_threads_to_the_inch():
    got = identify(0.245 * 25.4, tpi=20)
    assert (names(got, 1), got.ambiguous) == (["1/4-20 UNC"], False)


def test_the_length_over_ten_threads_serves_as_well():
    assert pitch_from_span(12.5, 10) == 1.25
    assert names(identify(7.9, span_mm=(12.5, 10)), 1) == ["M8×1.25"]


def test_more_threads_between_the_marks_tell_more():
    few, many = identify(7.9, span_mm=(1.25, 1)), identify(7.9, span_mm=(12.5, 10))
    assert few.ambiguous
    assert not many.ambiguous


def test_a_diameter_alone_leaves_the_pitch_open_and_says_so():
    got = identify(7.9)
    assert got.ambiguous
    assert {"M8×1.25", "M8×1"} <= {one.thread.name for one in got.fitting}
    assert set(names(got, 2)) == {"M8×1.25", "5/16-18 UNC"}  # the coarse ones first, being the common ones


def test_two_threads_that_a_gauge_cannot_part_are_both_named():
    # #10-32 (0.794 mm pitch) and M5×0.8 overlap where one is full and the other worn.
    got = identify(4.83, pitch_mm=0.8)
    assert got.ambiguous
    assert set(names(got, 2)) == {"#10-32 UNF", "M5×0.8"}


def test_a_thread_of_no_list_fits_nothing_and_says_how_far_the_nearest_is():
    got = identify(9.0, pitch_mm=1.6)
    assert got.none_fits
    assert all(not one.fits for one in got.likely)
    assert abs(got.likely[0].outside) > 0 or abs(got.likely[0].pitch_off) > 0


@pytest.mark.parametrize("readings", [{"tpi": 0}, {"pitch_mm": -1}, {"span_mm": (10, 0)}, {"span_mm": (0, 5)}])
def test_a_reading_of_nothing_is_refused(readings):
    with pytest.raises(ValueError, match=r"^-?\d"):
        identify(8, **readings)


@pytest.mark.parametrize(
    ("flats", "first"),
    [(12.9, "M8×1.25"), (12.55, "5/16-18 UNC")],  # ISO 4014: 13 mm; ASME B18.2.1: 1/2 in
)
def test_without_a_pitch_the_hexagon_puts_the_threads_in_order(flats, first):
    got = identify(7.85, flats_mm=flats)
    assert got.ambiguous
    assert names(got, 1) == [first]


def test_a_number_on_the_head_speaks_for_a_metric_thread_and_lines_for_an_inch_one():
    assert names(identify(7.85, grade="8.8"), 1) == ["M8×1.25"]
    assert names(identify(7.85, grade="grade 5"), 1) == ["5/16-18 UNC"]


def test_a_hexagon_of_the_old_size_counts_as_much():
    # DIN 933 M10: 17 mm where ISO 4017 has 16.
    off = [identify(9.9, pitch_mm=1.5, flats_mm=flats).likely[0].flats_off for flats in (16.9, 15.8)]
    assert off == [pytest.approx(-0.1), pytest.approx(-0.2)]


def test_a_head_never_brings_what_does_not_fit_before_what_does():
    got = identify(7.9, pitch_mm=1.25, flats_mm=12.6, grade="grade 8")
    assert names(got, 1) == ["M8×1.25"]
    assert got.likely[0].head_against == 1


threads = st.sampled_from(ALL_THREADS)
shares = st.floats(0, 1)
noises = st.floats(-1, 1)


@given(threads, shares, noises, noises, st.booleans())
def test_the_true_thread_comes_first_or_it_says_ambiguous(thread, share, diameter_noise, pitch_noise, inside):
    band = inside_band(thread) if inside else outside_band(thread)
    got = identify(
        band.low + share * (band.high - band.low) + diameter_noise * CALIPER_MM,
        pitch_mm=thread.pitch_mm + pitch_noise * GAUGE_MM,
        inside=inside,
    )
    assert thread in [one.thread for one in got.fitting]
    assert got.likely[0].thread == thread or got.ambiguous


def test_a_good_reading_is_seldom_ambiguous():
    # Measured in the middle of the band with a sound caliper and gauge, every listed bolt is told apart,
    # save for the pairs that share a pitch and nearly a diameter.
    doubtful = {
        thread.name
        for thread in ALL_THREADS
        if identify(outside_band(thread).middle, pitch_mm=thread.pitch_mm).ambiguous
    }
    assert doubtful == set()


def test_the_true_thread_is_first_when_measured_true():
    for thread in ALL_THREADS:
        assert identify(outside_band(thread).middle, pitch_mm=thread.pitch_mm).likely[0].thread == thread
        assert identify(inside_band(thread).middle, pitch_mm=thread.pitch_mm, inside=True).likely[0].thread == thread


@given(threads, st.floats(0, 0.2), st.floats(0, 0.2))
def test_a_coarser_caliper_never_takes_a_thread_away(thread, error, more):
    reading = outside_band(thread).middle
    fine = identify(reading, pitch_mm=thread.pitch_mm, diameter_error_mm=error)
    coarse = identify(reading, pitch_mm=thread.pitch_mm, diameter_error_mm=error + more)
    assert {one.thread for one in fine.fitting} <= {one.thread for one in coarse.fitting}

import pytest

from inventory.fasteners.calc.facts import facts
from inventory.fasteners.calc.reading import parse


def known(text, **options):
    return facts(parse(text).fastener, **options)


def test_a_metric_bolt_has_all_its_facts_each_with_its_standard():
    got = known("M8x25 hex 8.8 zinc")
    assert (got.pitch.value, got.pitch.source) == (1.25, "ISO 261")
    assert (got.tap_drill.drill, got.tap_drill.source) == ("6.8", "ISO 2306")
    assert (got.clearance.normal.mm, got.clearance.normal.source) == (9, "ISO 273")
    assert (got.across_flats.mm, got.across_flats.source) == (13, "ISO 4014, ISO 4017")
    assert (round(got.stress_area.value, 1), got.stress_area.source) == (36.6, "ISO 898-1")
    assert (got.proof_load.value, got.proof_load.source) == (pytest.approx(21200, rel=0.01), "ISO 898-1")
    assert got.torque.factor.name == "zinc"
    assert got.manual_wins
    assert got.torque.manual_wins
    assert got.cautions == ()


def test_each_figure_comes_in_both_systems():
    # 1/4-20: A_t 0.0318 in² (ASME B1.1); grade 5 proof 85 ksi (SAE J429)
    got = known("1/4-20 x 1 hex grade 5")
    assert (got.stress_area.inch_value, got.stress_area.inch_unit) == (pytest.approx(0.0318, rel=0.005), "in²")
    assert (got.proof_load.inch_value, got.proof_load.inch_unit) == (pytest.approx(85000 * 0.0318, rel=0.005), "lbf")
    assert got.pitch.inch_value == pytest.approx(1 / 20)
    assert got.across_flats.name == "7/16"
    assert got.torque.lbf_ft == pytest.approx(0.2 * 0.25 / 12 * 0.75 * 85000 * 0.0318, rel=0.005)


def test_the_nut_factor_can_be_chosen_and_moves_the_torque():
    dry, oiled = (known("M8x25 hex 8.8", nut_factor=name).torque for name in ("dry", "lubricated"))
    assert oiled.nm / dry.nm == pytest.approx(0.18 / 0.20)
    assert oiled.clamp_n == dry.clamp_n


def test_an_unknown_nut_factor_is_refused():
    with pytest.raises(KeyError):
        known("M8x25 hex 8.8", nut_factor="grease")


def test_an_old_din_head_takes_the_old_spanner():
    assert (known("DIN 933 M10x30").across_flats.mm, known("ISO 4017 M10x30").across_flats.mm) == (17, 16)


def test_a_socket_head_takes_a_key_and_no_spanner():
    got = known("M8x25 socket cap 12.9")
    assert (got.key.mm, got.across_flats) == (6, None)
    assert got.cautions == ("embrittlement",)


@pytest.mark.parametrize(
    ("text", "caution"),
    [
        ("M8x25 hex", "grade unknown"),
        ("M8x25 hex A2-70", "no proof strength"),
        ("M8x25 hex brass", "soft material"),
        ("1/4-20 x 1 hex 8.8", "grade of the other system"),
        ("M8 nyloc", "prevailing torque"),
        ("M9x1.25x30 hex 8.8", "unlisted thread"),
    ],
)
def test_it_cautions(text, caution):
    assert caution in known(text).cautions


@pytest.mark.parametrize("text", ["M8x25 hex", "M8x25 hex A2-70", "M8x25 hex brass", "M8 nut class 8", "M8 washer"])
def test_it_gives_no_torque_without_a_proof_strength(text):
    assert known(text).torque is None


def test_a_washer_and_a_self_tapper_have_no_thread_facts():
    assert known("M8 washer").pitch is None
    assert known("M8 washer").clearance.close.mm == 8.4
    assert known("#8 x 3/4 self tapper").clearance is None


def test_a_left_hand_thread_cuts_with_the_same_drill():
    assert known("M10 nut LH").tap_drill == known("M10 nut").tap_drill

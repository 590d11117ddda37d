"""Strength, head marks and torque against ISO 898-1, SAE J429 and worked examples of handbooks."""

import pytest

from inventory.fasteners.calc import strength, torque
from inventory.fasteners.calc.profile import stress_area_mm2
from inventory.fasteners.calc.threads import Thread, coarse_pitch
from inventory.fasteners.calc.units import MM_PER_IN, MPA_PER_KSI, N_PER_LBF, NM_PER_LBF_FT

# ISO 898-1:2013 table 3: class, diameter, R_m min, yield min, S_p, MPa
CLASSES = [
    ("4.6", 8, 400, 240, 225),
    ("5.6", 8, 500, 300, 280),
    ("8.8", 16, 800, 640, 580),
    ("8.8", 18, 830, 660, 600),
    ("10.9", 8, 1040, 940, 830),
    ("12.9", 8, 1220, 1100, 970),
]

# ISO 898-1:2013 table 5, proof loads in N, coarse threads
PROOF_LOADS = {
    "M6": (4520, 5630, 11600, 16700, 19500),
    "M8": (8240, 10200, 21200, 30400, 35500),
    "M10": (13000, 16200, 33700, 48100, 56300),
    "M16": (35300, 44000, 91000, 130000, 152000),
    "M20": (55100, 68600, 147000, 203000, 238000),
    "M24": (79400, 98800, 212000, 293000, 342000),
}
PROOF_CLASSES = ("4.6", "5.6", "8.8", "10.9", "12.9")

# ISO 898-1:2013 table 4, least breaking loads in N
TENSILE_LOADS = [
    ("M8", "8.8", 29200),
    ("M10", "8.8", 46400),
    ("M12", "8.8", 67400),
    ("M10", "10.9", 60300),
    ("M12", "12.9", 103000),
]

# SAE J429 in ksi, as printed in Shigley & Mischke, 5th ed., p. 341: grade, inches, proof, yield, tensile
SAE = [
    ("grade 2", 1 / 4, 55, 57, 74),
    ("grade 2", 3 / 4, 55, 57, 74),
    ("grade 2", 7 / 8, 33, 36, 60),
    ("grade 2", 1.5, 33, 36, 60),
    ("grade 5", 1 / 4, 85, 92, 120),
    ("grade 5", 1, 85, 92, 120),
    ("grade 5", 1.125, 74, 81, 105),
    ("grade 5", 1.5, 74, 81, 105),
    ("grade 8", 1 / 4, 120, 130, 150),
    ("grade 8", 1.5, 120, 130, 150),
]


def coarse(size):
    return Thread(size, coarse_pitch(size))


@pytest.mark.parametrize(("grade", "diameter", "tensile", "yields", "proof"), CLASSES)
def test_a_metric_class_has_the_published_strengths(grade, diameter, tensile, yields, proof):
    got = strength.strength(grade, diameter)
    assert (got.tensile, got.yields, got.proof) == (tensile, yields, proof)
    assert not got.from_memory


@pytest.mark.parametrize("size", PROOF_LOADS)
def test_proof_loads_are_the_published_ones_within_their_rounding(size):
    # The printed table is rounded; A_s·S_p meets it within 1 %.
    for grade, newtons in zip(PROOF_CLASSES, PROOF_LOADS[size], strict=True):
        assert strength.proof_load_n(coarse(size), grade) == pytest.approx(newtons, rel=0.01)


@pytest.mark.parametrize(("size", "grade", "newtons"), TENSILE_LOADS)
def test_breaking_loads_are_the_published_ones(size, grade, newtons):
    assert strength.tensile_load_n(coarse(size), grade) == pytest.approx(newtons, rel=0.01)


@pytest.mark.parametrize(("grade", "inches", "proof", "yields", "tensile"), SAE)
def test_an_sae_grade_has_the_published_strengths(grade, inches, proof, yields, tensile):
    got = strength.strength(grade, inches * MM_PER_IN)
    expected = [ksi * MPA_PER_KSI for ksi in (proof, yields, tensile)]
    assert [got.proof, got.yields, got.tensile] == pytest.approx(expected)


def test_an_sae_grade_says_nothing_beyond_its_largest_size():
    assert strength.strength("grade 8", 1.75 * MM_PER_IN) is None


def test_one_ksi_is_6_894757_mpa():
    # NIST SP 811 appendix B.8
    assert pytest.approx(6.894757, abs=1e-6) == MPA_PER_KSI
    assert pytest.approx(1.355818, abs=1e-6) == NM_PER_LBF_FT


@pytest.mark.parametrize(("grade", "lines"), [("grade 2", 0), ("grade 5", 3), ("grade 8", 6)])
def test_sae_heads_carry_two_lines_fewer_than_their_grade(grade, lines):
    # SAE J429 head marking
    mark = strength.head_marking(grade, "3/8")
    assert mark.lines == lines == int(grade[-1]) - 2
    assert strength.grades_by_lines(lines) == (grade,)


def test_a_plain_head_proves_nothing():
    assert not strength.head_marking("grade 2", "3/8").proves
    assert strength.head_marking("grade 5", "3/8").proves


@pytest.mark.parametrize("grade", ["4.6", "5.6", "8.8", "10.9", "12.9"])
def test_metric_heads_carry_their_class(grade):
    # ISO 898-1, marking; from M5 up (from memory)
    assert (strength.head_marking(grade, "M8").text, strength.head_marking(grade, "M8").required) == (grade, True)
    assert not strength.head_marking(grade, "M4").required


def test_grade_5_is_about_8_8_and_grade_8_about_10_9():
    # the rough match of the trade, Shigley & Mischke tables side by side
    for sae, iso in (("grade 5", "8.8"), ("grade 8", "10.9")):
        inch, metric = strength.strength(sae, 10), strength.strength(iso, 10)
        assert inch.tensile == pytest.approx(metric.tensile, rel=0.05)


# Shigley, 9th ed., table 8-15, p. 439; Mott, Machine Elements (dry 0.20, any lubrication 0.15)
@pytest.mark.parametrize(
    ("name", "k"),
    [
        ("black", 0.30),
        ("zinc", 0.20),
        ("lubricated", 0.18),
        ("cadmium", 0.16),
        ("dry", 0.20),
        ("any lubrication", 0.15),
        ("galvanised", 0.25),
    ],
)
def test_a_nut_factor_is_the_published_one(name, k):
    assert torque.NUT_FACTORS[name].k == k


def test_the_worked_example_of_shigley():
    # Example 8-3: 3/4-16 UNF grade 5, F_i = 25 kip, A_t = 0.373 in²: σ_i = 67.02 ksi, T = 3750 lbf·in
    thread = Thread("3/4", 16)
    assert 25 / (stress_area_mm2(thread) / MM_PER_IN**2) == pytest.approx(67.02, rel=0.002)
    newton_metres = torque.torque_nm(0.20, thread.diameter_mm, 25_000 * N_PER_LBF)
    assert newton_metres / NM_PER_LBF_FT * 12 == pytest.approx(3750)


@pytest.mark.parametrize(
    ("size", "ksi", "lbf_ft"),
    [("3/8", 69, 33), ("1/2", 69, 82), ("1/2", 98, 116), ("3/4", 69, 288), ("3/4", 98, 409)],
)
def test_the_formula_meets_a_bolt_makers_table(size, ksi, lbf_ft):
    # A published table with K = 0.20 and 75 % of yield: grade 5 at 69 ksi, grade 8 at 98 ksi
    clamp = stress_area_mm2(coarse(size)) * ksi * MPA_PER_KSI
    got = torque.torque_nm(0.20, coarse(size).diameter_mm, clamp) / NM_PER_LBF_FT
    assert got == pytest.approx(lbf_ft, rel=0.015)


@pytest.mark.parametrize(
    ("size", "proof_n", "nm"),
    [("M6", 11600, 10.4), ("M8", 21200, 25.4), ("M10", 33700, 50.6), ("M12", 48900, 88.0)],
)
def test_torque_at_three_quarters_of_proof_for_8_8_dry(size, proof_n, nm):
    # T = K·d·F recomputed from the printed proof loads of ISO 898-1, which are rounded by up to 1 %.
    assert torque.torque_nm(0.20, coarse(size).diameter_mm, 0.75 * proof_n) == pytest.approx(nm, abs=0.06)
    got = torque.torque_estimate(coarse(size), "8.8", torque.NUT_FACTORS["dry"])
    assert got.nm == pytest.approx(nm, rel=0.011)
    assert got.manual_wins
    assert got.estimate


def test_the_same_torque_may_clamp_a_third_less_or_more():
    # about ±30 %, common practice, no source
    got = torque.torque_estimate(coarse("M8"), "8.8", torque.NUT_FACTORS["dry"])
    assert (got.clamp_low_n / got.clamp_n, got.clamp_high_n / got.clamp_n) == pytest.approx((0.7, 1.3))


def test_stainless_has_no_proof_strength_and_so_no_torque():
    # ISO 3506-1 states none
    assert torque.torque_estimate(coarse("M8"), "A2-70", torque.NUT_FACTORS["dry"]) is None

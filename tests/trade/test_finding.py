"""Finding against what is published."""

import unicodedata

import pytest

from inventory.finding.calc import alike, fold, slips

# Damerau 1964 (CACM 7(3)) names the four single errors; the example pairs are the usual ones of text-book
# treatments of edit distance (kitten/sitting and saturday/sunday 3; ca/abc 3 by optimal string alignment,
# where the unrestricted distance is 2). From memory.
SLIPS = [
    ("kitten", "sitting", 3),
    ("saturday", "sunday", 3),
    ("ca", "abc", 3),
    ("teh", "the", 1),
    ("hinge", "hine", 1),
    ("hinge", "hingge", 1),
    ("hinge", "hange", 1),
]


@pytest.mark.parametrize(("a", "b", "expected"), SLIPS)
def test_slips_are_counted_as_text_books_count_them(a, b, expected):
    assert slips.distance(a, b) == expected


# Unicode Character Database through Python's unicodedata: every letter of these two blocks that decomposes to
# an ASCII letter and marks must fold to that letter.
LATIN = [chr(c) for block in (range(0x00C0, 0x0250), range(0x1E00, 0x1F00)) for c in block]


def test_every_accented_latin_letter_folds_to_its_base_letter():
    checked = 0
    for letter in LATIN:
        base = unicodedata.normalize("NFD", letter)[0]
        if base.isascii() and base.isalpha():
            assert fold.fold(letter) == base.lower(), letter
            checked += 1
    assert checked > 400


# Unicode CaseFolding.txt, the standard's examples of caseless matching (section 5.18): ß and SS, sigma.
@pytest.mark.parametrize(("a", "b"), [("Maße", "MASSE"), ("ΟΔΟΣ", "οδος"), ("İSTANBUL", "istanbul")])
def test_case_is_folded_as_unicode_folds_it(a, b):
    assert fold.fold(a) == fold.fold(b)


# Common practice, no source: British and American words of the motor trade.
@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("bonnet", "hood"), ("boot", "trunk"), ("spanner", "wrench"), ("wing", "fender"),
        ("windscreen", "windshield"), ("gearbox", "transmission"), ("petrol", "gas"), ("earth", "ground"),
        ("tyre", "tire"), ("silencer", "muffler"), ("bulkhead", "firewall"), ("indicator", "turn signal"),
        ("number plate", "license plate"), ("left", "near side"), ("right", "off side"),
    ],
)  # fmt: skip
def test_the_two_words_are_known_to_be_the_same(one, other):
    assert other in alike.table().others(one)
    assert one in alike.table().others(other)

"""The rules of finding, held to the table that the browser's twin is held to as well."""

import json
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from inventory.finding.calc import alike, fold, query, rank, slips

CASES = json.loads((Path(__file__).parent / "ranking_cases.json").read_text(encoding="utf-8"))
WORDS = alike.table(tuple(CASES["own_words"]))


def document(row):
    """A row of the table as a document; ' | ' parts the texts of one field."""
    fields = {"kind": row["kind"], "ref": row["ref"]}
    for name in rank.FIELDS:
        texts = row.get(name, "").split(" | ")
        codes = [text for text in texts if name in CASES["code_fields"] or "·" in text]
        plain = [text for text in texts if text not in codes]
        fields[name] = rank.joined(rank.field_text(*plain), rank.code_text(*codes))
    return rank.Document(**fields)


DOCUMENTS = [document(row) for row in CASES["documents"]]


@pytest.mark.parametrize(("text", "expected"), CASES["fold"])
def test_it_folds_text_to_words(text, expected):
    assert fold.words(text) == expected


@pytest.mark.parametrize(("text", "expected"), CASES["squeeze"])
def test_it_squeezes_part_numbers_and_addresses(text, expected):
    assert fold.squeeze(text) == expected


@pytest.mark.parametrize(("word", "expected"), CASES["singular"])
def test_it_knows_the_singular(word, expected):
    assert fold.singular(word) == expected


@pytest.mark.parametrize("case", CASES["queries"], ids=lambda case: f"{case['q']}: {case['why']}")
def test_it_ranks(case):
    asked = query.parse(case["q"], WORDS).with_slips({int(i): tuple(s) for i, s in case.get("slips", {}).items()})
    ranked = [(rank.rank(doc, asked), f"{doc.kind} {doc.ref}") for doc in DOCUMENTS]
    found = [name for key, name in sorted((key, name) for key, name in ranked if key)]
    if "order" in case:
        assert found == case["order"]
    else:
        assert found[: len(case["first"])] == case["first"]
    assert not set(found) & set(case.get("none_of", []))


@pytest.mark.parametrize(("a", "b", "expected"), CASES["distance"])
def test_it_counts_slips(a, b, expected):
    assert slips.distance(a, b) == expected == slips.distance(b, a)


@given(st.text("abcdehinrst", min_size=4, max_size=7), st.text("abcdehinrst", min_size=3, max_size=8))
def test_it_lists_exactly_the_words_one_slip_away(word, other):
    assert (other in slips.edits(word)) == (slips.distance(word, other) == 1)


@example("0:GA")
@given(st.text(max_size=60))
def test_folding_twice_changes_nothing_more(text):
    assert fold.squeeze(fold.squeeze(text)) == fold.squeeze(text)


@given(st.text(max_size=60))
def test_it_takes_apart_anything_typed(text):
    asked = query.parse(text, WORDS)
    assert all(form for word in asked.words for form in word.forms)
    assert len(asked.words) <= query.LONGEST


@given(st.sampled_from(CASES["documents"]))
def test_a_thing_is_found_by_its_own_name_typed_in_full(row):
    assert rank.rank(document(row), query.parse(row["name"], WORDS)) is not None


def test_the_shop_s_words_add_to_a_group_and_join_no_others():
    words = alike.table(("hatch, flap",))
    assert "flap" in words.others("hatch")
    assert "flap" not in words.others("tailgate")


def test_every_group_of_the_trade_holds_at_least_two_ways_to_say_it():
    assert [line for line in alike.GROUPS if len(alike.read(line)) < 2] == []

"""The browser's ranking is held to the table that the server's is held to."""

import random
from pathlib import Path

import pytest

from inventory.finding.calc import fold
from inventory.finding.calc.alike import GROUPS
from inventory.finding.calc.rank import FIELDS
from tests.inventory.finding.test_calc import CASES, DOCUMENTS

TWIN = Path(__file__).parents[3] / "static" / "js" / "find-offline.js"


@pytest.fixture(scope="module")
def twin(chromium):
    page = chromium.new_page()
    page.evaluate(TWIN.read_text(encoding="utf-8"))
    yield page
    page.close()


@pytest.mark.parametrize(("name", "call"), [("fold", "words"), ("squeeze", "squeeze"), ("singular", "singular")])
def test_it_brings_words_to_the_same_plain_form(twin, name, call):
    texts, expected = zip(*CASES[name], strict=True)
    assert twin.evaluate(f"texts => texts.map(GussetFind.{call})", list(texts)) == list(expected)


def test_it_counts_slips_as_the_server_does(twin):
    for a, b, expected in CASES["distance"]:
        assert twin.evaluate("([a, b]) => GussetFind.distance(a, b)", [a, b]) == expected


def test_it_makes_the_same_documents_of_the_same_texts(twin):
    for row, document in zip(CASES["documents"], DOCUMENTS, strict=True):
        for name in ("name", "notes", "others"):
            texts = row.get(name, "").split(" | ")
            if any("·" in text for text in texts):
                continue
            assert twin.evaluate("texts => GussetFind.fieldText(texts)", texts) == getattr(document, name)
        numbers = row.get("numbers", "").split(" | ")
        assert twin.evaluate("texts => GussetFind.codeText(texts)", numbers) == document.numbers


@pytest.mark.parametrize("case", CASES["queries"], ids=lambda case: f"{case['q']}: {case['why']}")
def test_it_ranks(twin, case):
    rows = [{name: getattr(one, name) for name in ("kind", "ref", *FIELDS)} for one in DOCUMENTS]
    found = twin.evaluate(
        """([rows, lines, text, slips]) => {
             const table = GussetFind.alike(lines), store = new GussetFind.Store(rows, table);
             const query = GussetFind.parse(text, table);
             for (const [i, words] of Object.entries(slips)) query.words[i].slips = words;
             return store.ranked(query).map(row => `${row.kind} ${row.ref}`);
           }""",
        [rows, [*GROUPS, *CASES["own_words"]], case["q"], case.get("slips", {})],
    )
    if "order" in case:
        assert found == case["order"]
    else:
        assert found[: len(case["first"])] == case["first"]
    assert not set(found) & set(case.get("none_of", []))


def test_it_folds_whatever_is_typed_as_the_server_does(twin):
    """A thousand texts of awkward pieces, the same ones each time."""
    draw = random.Random(1964)
    bits = [*"aesxm0158 .,-/·×*\"'_ØüßÉ’½²λ", "mm", " m ", "in", "кг", "ies", "sses", "volts"]
    texts = ["".join(draw.choices(bits, k=draw.randint(1, 14))) for _ in range(1000)]
    assert twin.evaluate("texts => texts.map(GussetFind.words)", texts) == [fold.words(text) for text in texts]
    assert twin.evaluate("texts => texts.map(GussetFind.squeeze)", texts) == [fold.squeeze(text) for text in texts]

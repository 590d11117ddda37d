import itertools

import pytest

from inventory.labels.calc.face import Content, heading_height, lay_out
from inventory.labels.calc.fit import CAP, DEEP, TALL, at_dots, at_spaces, fit
from inventory.labels.calc.stock import PLACARDS, STOCK, TAPES, readable_from
from inventory.labels.calc.symbol import GOOD_MODULE, LEAST_MODULE, TooSmall
from inventory.labels.type import WEIGHTS, font_file, measure

from .made import BASE, base_for, contents

EACH = [
    pytest.param(stock, content, id=f"{stock.key}-{i}")
    for stock in STOCK.values()
    for i, content in enumerate(contents(9, base_for(stock)))
]


def extents(face):
    for text in face.texts:
        yield text, text.x, text.y - TALL * text.size, text.x + text.size * measure(text.text, text.weight)


@pytest.mark.parametrize(("stock", "content"), EACH)
def test_every_word_is_on_the_label_and_clear_of_the_symbol(stock, content):
    face = lay_out(content, stock, measure)
    sx, sy = face.symbol_at
    size = face.symbol.size
    assert min(sx, sy, face.w - sx - size, face.h - sy - size) >= -1e-6
    for text, left, top, right in extents(face):
        upright = text.text.upper() == text.text
        foot = text.y + (0.02 if upright else DEEP) * text.size
        assert 1 <= left < right <= face.w - 1, text
        assert 0.9 <= text.y - CAP * text.size < foot <= face.h - 0.9, text
        beside = left >= sx + size - 4 * face.symbol.module or right <= sx
        assert beside or foot <= sy + 1e-6 or top >= sy + size - 4 * face.symbol.module - 2, text


@pytest.mark.parametrize(("stock", "content"), EACH)
def test_heading_name_and_code_are_whole_and_the_heading_is_the_largest(stock, content):
    face = lay_out(content, stock, measure)
    said = {kind: [t for t in face.texts if t.kind == kind] for kind in ("heading", "name", "code")}
    words = lambda texts: "".join(t.text for t in texts).replace(" ", "")  # noqa: E731
    wanted = content.address or content.name
    assert words(said["heading"]) == wanted.replace(" ", "")
    if content.address:
        assert words(said["name"]) == content.name.replace(" ", "")
    assert words(said["code"]) == content.code.replace(" ", "")
    if wanted:
        largest = max(t.size for t in face.texts if t.kind != "heading")
        assert said["heading"][0].size >= 1.249 * largest


@pytest.mark.parametrize(("stock", "content"), EACH)
def test_lines_do_not_run_into_each_other(stock, content):
    face = lay_out(content, stock, measure)
    column = [t for t in face.texts if t.kind in ("heading", "name", "trail")]
    for upper, lower in itertools.pairwise(column):
        assert lower.y - CAP * lower.size > upper.y - 0.01, (upper, lower)


@pytest.mark.parametrize("stock", STOCK.values(), ids=STOCK)
def test_a_symbol_keeps_its_module(stock):
    face = lay_out(contents(1, base_for(stock))[0], stock, measure)
    assert face.symbol.level == "H"
    assert face.symbol.module >= (GOOD_MODULE if stock.h >= 15 else LEAST_MODULE) - 1e-9


@pytest.mark.parametrize("key", ["tape-12", "letter-4x20-1.75x0.5in"])
def test_stock_too_narrow_for_the_address_is_refused(key):
    with pytest.raises(TooSmall) as refused:
        lay_out(contents(1)[0], STOCK[key], measure)
    assert refused.value.needed > STOCK[key].h


def test_a_tape_is_as_long_as_its_words():
    short, long = (
        lay_out(Content(BASE + "7K3F9CM", "7K3 F9CM", address), TAPES[1], measure).w for address in ("D1", "C1·L2·14")
    )
    assert 24 < short < long < 120


@pytest.mark.parametrize("stock", PLACARDS, ids=lambda s: s.key)
@pytest.mark.parametrize("address", ["C1", "C1·L2·14", "C12·R10·144"])
def test_a_door_placard_reads_from_five_metres(stock, address):
    content = Content(BASE + "7K3F9CM", "7K3 F9CM", address, "Body, glass, trim", cells=(("Kind", "Container"),))
    assert readable_from(heading_height(lay_out(content, stock, measure))) >= 5


def test_an_address_wraps_at_its_dots_and_words_at_their_spaces():
    assert at_dots("C1·L2·14") == ["C1·", "L2·", "14"]
    assert at_spaces("Hatch hinges, pins") == ["Hatch ", "hinges, ", "pins"]
    wrapped = fit(at_dots("C12·LEFT·SHELF 10"), 20, 40, 30, 700, measure)
    assert wrapped.lines in (("C12·LEFT·", "SHELF 10"), ("C12·", "LEFT·", "SHELF 10"))
    assert fit(at_dots("C1·L2"), 100, 5, 30, 700, measure).lines == ("C1·L2",)


def test_one_long_word_shrinks_rather_than_being_cut():
    fitted = fit(["UNDERFLOORLOCKER"], 10, 10, 8, 700, measure)
    assert fitted.lines == ("UNDERFLOORLOCKER",)
    assert fitted.width == pytest.approx(10)


@pytest.mark.parametrize("weight", WEIGHTS)
def test_the_heights_used_are_those_of_the_font_file(weight):
    from fontTools.ttLib import TTFont

    font = TTFont(font_file("latin", weight))
    units, glyphs, names = font["head"].unitsPerEm, font["glyf"], font.getBestCmap()
    assert font["OS/2"].sCapHeight / units == pytest.approx(CAP)
    assert max(glyphs[names[ord(c)]].yMax for c in "bdfhkl") / units <= TALL + 0.005
    assert -min(glyphs[names[ord(c)]].yMin for c in "gjpqy") / units <= DEEP

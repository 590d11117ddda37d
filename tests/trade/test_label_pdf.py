"""The PDF measured from outside: where symbols and cut lines lie, and that every word can be read back from it."""

import io
import re
import subprocess

import pytest
from pypdf import PdfReader

from inventory.labels import pdf
from inventory.labels.calc.stock import SHEETS, STOCK, stock_of
from inventory.labels.calc.symbol import QUIET
from tests.inventory.labels.made import base_for, contents, laid, page

MM = 25.4 / 72


@pytest.fixture(scope="module")
def printed():
    """One PDF with a page of each stock, and what was asked of each page."""
    made = {key: contents(min(9, stock.cells), base_for(stock)) for key, stock in STOCK.items()}
    data = pdf.write([page(stock, made[key]) for key, stock in STOCK.items()])
    return data, made


def test_pages_have_the_size_of_the_paper(printed):
    sizes = [
        (float(p.mediabox.width) * MM, float(p.mediabox.height) * MM) for p in PdfReader(io.BytesIO(printed[0])).pages
    ]
    for stock, (w, h) in zip(STOCK.values(), sizes, strict=True):
        assert h == pytest.approx(stock.page_h, abs=0.1)
        assert w == pytest.approx(stock.page_w, abs=0.1) if stock.kind != "tape" else w < stock.page_w


def symbol_corners(data: bytes, page_number: int) -> list[tuple[float, float]]:
    """mm from the top left of the first dark module of each symbol: the first rectangle after its ink, by pypdf."""
    sheet = PdfReader(io.BytesIO(data)).pages[page_number - 1]
    height, found, filling = float(sheet.mediabox.height), [], False

    def hear(operator, operands, matrix, _):
        nonlocal filling
        if operator == b"re" and filling:
            x, y = (float(value) for value in operands[:2])
            a, b, c, d, e, f = matrix
            found.append(((a * x + c * y + e) * MM, (height - b * x - d * y - f) * MM))
        filling = operator == b"g"

    sheet.extract_text(visitor_operand_before=hear)
    return found


def corners_by_the_table(stock, made, nudge=(0, 0)):
    for cell, content in enumerate(made):
        face, (row, col) = laid(content, stock).face, divmod(cell, stock.cols)
        quiet = QUIET * face.symbol.module
        left = stock.left + col * (stock.w + stock.gap_x) + nudge[0]
        top = stock.top + row * (stock.h + stock.gap_y) + nudge[1]
        yield left + face.symbol_at[0] + quiet, top + face.symbol_at[1] + quiet


@pytest.mark.parametrize("stock", SHEETS, ids=lambda s: s.key)
def test_every_label_of_a_sheet_lies_where_the_table_says_to_a_tenth_of_a_millimetre(stock, printed):
    data, made = printed
    found = symbol_corners(data, list(STOCK).index(stock.key) + 1)
    expected = list(corners_by_the_table(stock, made[stock.key]))
    assert len(found) == len(expected)
    for at, wanted in zip(found, expected, strict=True):
        assert at == pytest.approx(wanted, abs=0.1)


@pytest.mark.parametrize("size", [(55, 36), (60, 40), (140, 30)])
def test_labels_for_drawers_lie_as_far_apart_as_a_drawer_is_wide_and_high(size):
    stock = stock_of("cut-{}x{}".format(*size))
    found = symbol_corners(pdf.write([page(stock, contents(stock.cells, base_for(stock)))]), 1)
    assert len(found) == stock.cells
    first = found[0]
    apart = [(round(x - first[0], 1) / size[0], round(y - first[1], 1) / size[1]) for x, y in found]
    assert apart == [pytest.approx(divmod(cell, stock.cols)[::-1], abs=0.01) for cell in range(stock.cells)]


def test_a_nudge_moves_what_is_printed_by_just_so_much():
    stock = SHEETS[0]
    made = contents(9)
    found = symbol_corners(pdf.write([page(stock, made, nudge=(0.8, -0.5))]), 1)
    for at, wanted in zip(found, corners_by_the_table(stock, made, (0.8, -0.5)), strict=True):
        assert at == pytest.approx(wanted, abs=0.1)


def test_no_word_is_cut(printed):
    """Everything a label says is read back from its page, however long, whatever the alphabet."""
    data, made = printed
    for sheet, (key, wanted) in zip(PdfReader(io.BytesIO(data)).pages, made.items(), strict=True):
        text = re.sub(r"\s", "", sheet.extract_text())
        for content in wanted:
            for words in (content.address, content.name, content.asks, content.code):
                assert words.replace(" ", "") in text, (key, words)


def test_the_words_lie_inside_their_labels_as_poppler_measures_them(printed):
    """pdftotext's boxes are as wide as the words and as high as the type, so only left and right are held to."""
    out = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=printed[0], capture_output=True, check=True)
    pages = out.stdout.decode().split("<page ")[1:]
    for stock, body in zip(STOCK.values(), pages, strict=True):
        width = float(re.search(r'width="([\d.]+)"', body).group(1)) * MM
        for left, right in re.findall(r'xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)"', body):
            left, right = float(left) * MM, float(right) * MM
            if stock.kind == "tape":
                assert 0.9 <= left < right <= width - 0.9
                continue
            cells = [stock.cell(cell) for cell in range(stock.cols)]
            assert any(box.x + 0.9 <= left < right <= box.x + box.w - 0.9 for box in cells), (stock.key, left, right)


def test_only_our_face_is_embedded_and_nothing_else_is_fetched(tmp_path):
    secret = tmp_path / "secret.txt"
    secret.write_text("not for print")
    evil = f'<image href="file://{secret}"/><image href="http://127.0.0.1:9/x.png"/><a href="{secret}">x</a>'
    data = pdf.write([pdf.Page(50, 50, evil + '<text x="5" y="20" font-size="5">C1</text>')])
    reader = PdfReader(io.BytesIO(data))
    assert not reader.attachments
    assert not list(reader.pages[0].images)
    fonts = subprocess.run(["pdffonts", "-"], input=data, capture_output=True, check=True).stdout.decode()
    assert all("Barlow" in line for line in fonts.splitlines()[2:])


def test_printing_leaves_pillow_strict_about_half_pictures():
    """WeasyPrint's import switches that off for the whole program; a photo that was cut short must still be refused."""
    from PIL import ImageFile

    pdf.write([pdf.Page(50, 50, "")])
    assert not ImageFile.LOAD_TRUNCATED_IMAGES

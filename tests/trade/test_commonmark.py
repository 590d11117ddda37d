"""Posts are CommonMark: what is written reads back as the same words and nothing else.

Reference: markdown-it-py, preset 'commonmark', which follows the CommonMark specification (0.31.2).
"""

import re

import pytest
from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from buildlog.telling.calc import commonmark as md
from tests.buildlog.telling.hostile import HOSTILE

reader = MarkdownIt("commonmark")


def read(source: str) -> BeautifulSoup:
    return BeautifulSoup(reader.render(source), "html.parser")


def words(text: str) -> str:
    """A text as an eye reads it: blanks and characters that are none make no difference."""
    return " ".join(md.plain(text).split())


def shown(tag) -> str:
    return " ".join(tag.get_text("").replace("\n", " ").split())


@pytest.mark.parametrize(
    ("source", "html"),
    [  # from the specification, so that the reference is what we take it for
        ("*a*", "<p><em>a</em></p>"),
        ("# h", "<h1>h</h1>"),
        ("1) a", "<ol>\n<li>a</li>\n</ol>"),
        ("***", "<hr />"),
        (r"\*a\*", "<p>*a*</p>"),
        ("![i](/x.png)", '<p><img src="/x.png" alt="i" /></p>'),
        ("<b>x</b>", "<p><b>x</b></p>"),
    ],
)
def test_the_reference_reads_the_specification(source, html):
    assert reader.render(source).strip() == html


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_text_in_a_paragraph_a_heading_a_list_and_an_alt(text):
    page = read(
        f"{md.lines(text)}\n\n{md.heading(2, text)}\n\n{md.bullet(text)}\n\n{md.image(text, 'pictures/001.webp')}\n"
    )
    assert {tag.name for tag in page.find_all(True)} <= {"p", "br", "h2", "ul", "li", "img"}
    assert shown(page.h2) == words(text)
    assert shown(page.li) == words(text)
    assert " ".join(page.img["alt"].split()) == words(text)
    assert page.img["src"] == "pictures/001.webp"


@given(st.text(max_size=120))
def test_a_line_reads_back_as_it_was(text):
    if not words(text):
        return
    page = read(md.inline(text))
    assert [tag.name for tag in page.find_all(True)] == ["p"]
    assert shown(page.p) == words(text)


@given(st.text(alphabet="#*_-+=~`<>[]()!&\\|.1 a\n", max_size=40))
def test_no_arrangement_of_marks_means_anything(text):
    if not words(text):
        return
    source = md.lines(text)
    page = read(source)
    assert {tag.name for tag in page.find_all(True)} <= {"p", "br"}
    assert shown(page) == words(text)
    heading = read(md.heading(2, text))
    assert [tag.name for tag in heading.find_all(True)] == ["h2"]
    assert shown(heading.h2) == words(text)


def test_plain_words_stay_readable():
    assert (
        md.inline("Hatch opening: 1100.1 mm × 1097 mm, +/- 1 (tape)!")
        == "Hatch opening: 1100.1 mm × 1097 mm, +/- 1 (tape)!"
    )
    assert not re.search(r"\\", md.inline("Took 6 of M8×25; 9 are left."))

"""Chapters and captions are WebVTT (W3C): the grammar of section 4, with the specification's own examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.telling.calc import timeline, webvtt
from buildlog.telling.calc.webvtt import Cue, NotWebVTT, check_chapters, read, read_stamp, stamp, write
from tests.buildlog.telling.hostile import HOSTILE

# WebVTT, 1.6 "Chapters": nested chapters, two parents in a row with children inside.
NESTED = """\
WEBVTT

NOTE
This is from a talk Silvia gave about WebVTT.

Slide 1
00:00:00.000 --> 00:00:10.700
Title Slide

Slide 2
00:00:10.700 --> 00:00:47.600
Introduction by Naomi Black

Slide 3
00:00:47.600 --> 00:01:50.100
Impact of Captions on the Web
"""
TREE = """\
WEBVTT

00:00.000 --> 01:24.000
Introduction

00:00.000 --> 00:44.000
Topics

00:44.000 --> 01:19.000
Presenters

01:24.000 --> 05:00.000
Scrolling Effects
"""


@pytest.mark.parametrize("text", [NESTED, TREE, "WEBVTT", "\ufeffWEBVTT\n", "WEBVTT - a title\n\n", "WEBVTT\tx\n"])
def test_the_specifications_own_files_are_read(text):
    check_chapters(read(text))


def test_it_reads_the_cues_of_a_file():
    assert [(cue.start, cue.end, cue.text) for cue in read(TREE)][:2] == [
        (0, 84_000, "Introduction"), (0, 44_000, "Topics"),
    ]  # fmt: skip
    assert [cue.id for cue in read(NESTED)] == ["Slide 1", "Slide 2", "Slide 3"]


def test_chapters_that_overlap_in_part_are_refused():
    # The counter-example of 4.6.2 "WebVTT file using only nested cues".
    text = "WEBVTT\n\n00:00.000 --> 01:00.000\nThe Flower\n\n00:30.000 --> 01:30.000\nThe Corolla\n"
    with pytest.raises(NotWebVTT, match="in part"):
        check_chapters(read(text))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "00:00.000 --> 00:01.000\nx\n",  # no header
        "webvtt\n\n",
        "WEBVTTx\n\n",
        "WEBVTT\n00:00.000 --> 00:01.000\nx\n",  # no blank line after it
        "WEBVTT\n\n00:00:00,000 --> 00:00:01,000\nx\n",  # a comma
        "WEBVTT\n\n0:00:00.000 --> 0:00:01.000\nx\n",  # one digit of hours
        "WEBVTT\n\n00:00.000-->00:01.000\nx\n",  # no white space
        "WEBVTT\n\n00:00.00 --> 00:01.000\nx\n",
        "WEBVTT\n\n00:60.000 --> 01:01.000\nx\n",
        "WEBVTT\n\n00:02.000 --> 00:01.000\nx\n",
        "WEBVTT\n\n00:01.000 --> 00:01.000\nx\n",
        "WEBVTT\n\n00:05.000 --> 00:06.000\nx\n\n00:01.000 --> 00:02.000\ny\n",
        "WEBVTT\n\na\n00:01.000 --> 00:02.000\nx\n\na\n00:03.000 --> 00:04.000\ny\n",
    ],
)
def test_what_is_no_webvtt_is_refused(text):
    with pytest.raises(NotWebVTT):
        read(text)


@pytest.mark.parametrize(
    ("text", "ms"),
    [("00:01.500", 1500), ("00:00:01.500", 1500), ("100:00:00.000", 360_000_000), ("59:59.999", 3_599_999)],
)
def test_timestamps(text, ms):
    assert read_stamp(text) == ms
    assert read_stamp(stamp(ms)) == ms


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_one_cue_with_the_same_words(text):
    (cue,) = read(write([Cue(0, 9000, text)]))
    check_chapters(read(write([Cue(0, 9000, " ".join(text.split()))])))
    assert webvtt.unescape(cue.text).split() == text.split()


@given(st.lists(st.tuples(st.integers(1, 400_000), st.text(min_size=1, max_size=60)), min_size=1, max_size=12))
def test_chapters_of_any_film_conform(clips):
    shots = timeline.in_a_row(
        [timeline.shot(n, "c", "", timeline_text(ms), text) for n, (ms, text) in enumerate(clips)]
    )
    chapters = [timeline.Chapter(shot.piece, f"Chapter {shot.piece}", shot.start, shot.start) for shot in shots]
    total = shots[-1].end
    assert timeline.problems(chapters, total) == []
    cues = read(write(timeline.as_cues(chapters, total)))
    check_chapters(cues)
    assert cues[0].start == 0
    assert cues[-1].end == total
    assert all(before.end == after.start for before, after in zip(cues, cues[1:], strict=False))
    spoken = read(write(timeline.captions(shots)))
    assert all(before.end <= after.start for before, after in zip(spoken, spoken[1:], strict=False))


def timeline_text(ms: int) -> str:
    return f"{ms // 60_000}:{ms // 1000 % 60:02}.{ms % 1000:03}"

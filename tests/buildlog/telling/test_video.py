"""A story as a video: lengths, chapters, captions, and the files for them."""

import csv
import io

import pytest

from buildlog.telling import actions
from buildlog.telling.calc import timeline
from buildlog.telling.calc.timeline import Chapter
from buildlog.telling.calc.webvtt import check_chapters, read
from buildlog.telling.models import Piece
from buildlog.telling.told import tell
from buildlog.telling.video import video
from buildlog.worklog.models import Entry

from .shop import Nights


@pytest.mark.parametrize(
    ("text", "ms"),
    [("1:10", 70_000), ("70", 70_000), ("1:02:03", 3_723_000), ("0:05.5", 5500), ("0:05,25", 5250), (" ", None)],
)
def test_a_time_is_read_as_it_is_typed(text, ms):
    assert timeline.read_time(text) == ms


@pytest.mark.parametrize("text", ["x", "1:70", "1:60:00", "-5", "1::2", "1:2:3:4", "1.2.3"])
def test_what_is_no_time_is_refused(text):
    with pytest.raises(timeline.Unreadable):
        timeline.read_time(text)


@pytest.mark.parametrize(("ms", "text"), [(0, "00:00"), (84_999, "01:24"), (3_723_000, "1:02:03")])
def test_the_clock_of_a_chapter_line(ms, text):
    assert timeline.clock(ms) == text


def test_a_clip_without_times_is_as_long_as_its_words_take():
    shot = timeline.shot(1, "0042", "", "", "one two three four five six seven eight nine ten")
    assert (shot.length, shot.guessed) == (4000, True)
    assert timeline.shot(1, "0042", "1:10", "1:45", "").length == 35_000
    assert timeline.shot(1, "0042", "1:45", "1:10", "").problem == "order"
    assert timeline.shot(1, "0042", "soon", "", "").problem == "time"


def test_chapters_start_at_nothing_and_rise():
    def chapters(*starts):
        return [Chapter(n, f"c{n}", start, start) for n, start in enumerate(starts)]

    assert timeline.problems(chapters(0, 5000, 9000), 20_000) == []
    assert timeline.problems(chapters(1000, 5000), 20_000) == [(0, "start")]
    assert timeline.problems(chapters(0, 5000, 5000), 20_000) == [(2, "rising")]
    assert timeline.problems(chapters(0, 25_000), 20_000) == [(1, "end")]


def test_captions_fit_a_screen_and_fill_their_shot():
    said = (
        "The left leaf binds when it is bolted up dry, so a shim of one millimetre goes under it before the last pass."
    )
    shots = timeline.in_a_row(
        [timeline.shot(1, "a", "", "0:10", "First."), timeline.shot(2, "b", "0:00", "0:12", said)]
    )
    cues = timeline.captions(shots)
    assert (cues[0].start, cues[0].end) == (0, 10_000)
    assert cues[-1].end == 22_000
    assert " ".join(" ".join(cue.text for cue in cues[1:]).split()) == said
    assert all(len(row) <= 37 for cue in cues for row in cue.text.split("\n"))
    assert all(len(cue.text.split("\n")) <= 2 for cue in cues)


def test_words_too_fast_to_read_are_said():
    # 180 words a minute are 3 a second: ten words need 3.3 s.
    slow = timeline.shot(1, "a", "", "0:04", "one two three four five six seven eight nine ten")
    fast = timeline.shot(2, "b", "", "0:02", slow.said)
    assert timeline.too_fast([slow]) == []
    assert timeline.too_fast([fast]) == [(fast, 300)]


@pytest.fixture
def story(owner):
    nights = Nights(owner)
    Entry.objects.filter(pk=nights.binds.pk).update(clip="0041", clip_in="0:05", clip_out="0:50")
    Entry.objects.filter(pk=nights.closes.pk).update(clip="0045", clip_in="0:10", clip_out="0:40")
    return actions.make(build=nights.build, by=owner, takes="nights", sessions=nights.sessions, title="The hatch")


def film(story):
    starts = dict(story.pieces.exclude(starts=None).values_list("pk", "starts"))
    return video(tell(story), starts)


pytestmark = pytest.mark.django_db


def test_a_chapter_starts_with_the_first_clip_under_its_heading(story):
    assert (
        film(story).chapter_lines() == "00:00 Night 1, Monday 3 November 2025\n00:45 Night 3, Friday 7 November 2025\n"
    )
    assert film(story).total == 75_000


def test_a_clip_is_named_while_the_footage_is_looked_at(story, as_owner):
    piece = story.pieces.get(entry__text="Pin is worn oval")
    answer = as_owner.post(
        f"/piece/{piece.pk}/shot/", {"clip": "0043", "clip_in": "0:00", "clip_out": "0:10", "said": "Pin is worn oval"},
        headers={"HX-Request": "true"},
    )  # fmt: skip
    assert "01:25" in answer.text
    assert Piece.objects.get(pk=piece.pk).said == ""  # the line's own words
    assert [shot.clip for shot in film(story).shots] == ["0041", "0043", "0045"]
    as_owner.post(f"/piece/{piece.pk}/shot/", {"clip": "0043", "clip_in": "0:09", "clip_out": "0:01"})
    assert "it ends before it begins" in as_owner.get(f"/tell/{story.pk}/video/").text


def test_a_clip_can_stay_out_of_the_film(story, as_owner):
    piece = story.pieces.get(entry__clip="0041")
    as_owner.post(f"/piece/{piece.pk}/shot/", {"clip": "", "clip_in": "", "clip_out": "", "said": ""})
    assert [shot.clip for shot in film(story).shots] == ["0045"]
    as_owner.post(f"/piece/{piece.pk}/shot/", {"clip": "0041", "clip_in": "0:05", "clip_out": "0:50", "said": ""})
    assert Piece.objects.get(pk=piece.pk).clip == ""


def test_a_chapter_put_where_it_can_not_be_is_said_and_not_given_out(story, as_owner):
    head = film(story).chapters[1].number
    as_owner.post(f"/piece/{head}/starts/", {"starts": "0:30"})
    assert film(story).chapter_lines().splitlines()[1].startswith("00:30")
    shown = as_owner.post(f"/piece/{head}/starts/", {"starts": "9:00"}, headers={"HX-Request": "true"}).text
    assert "The film is over by then." in shown
    assert as_owner.get(f"/tell/{story.pk}/video/chapters.vtt").status_code == 303
    assert as_owner.post(f"/piece/{head}/starts/", {"starts": "soon"}).status_code == 422
    as_owner.post(f"/piece/{head}/starts/", {"starts": ""})
    assert film(story).problems == {}


def test_the_files_of_a_video(story, as_owner):
    def text(name):
        return as_owner.get(f"/tell/{story.pk}/video/{name}").content.decode()

    cues = read(text("chapters.vtt"))
    check_chapters(cues)
    assert [(cue.start, cue.end) for cue in cues] == [(0, 45_000), (45_000, 75_000)]
    assert text("chapters.txt").startswith("00:00 Night 1")
    spoken = read(text("captions.vtt"))
    assert spoken[0].text == "Left leaf binds, Somebody held it".replace("Somebody", "Sven")
    described = text("description.txt")
    assert "Parts used\n- 2 × Hinge pin: pulled from Halvard 20 pickup" in described
    assert "00:45 Night 3" in described
    assert as_owner.get(f"/tell/{story.pk}/video/nothing.txt").status_code == 404


def test_shots_in_story_order_and_as_they_were_filmed(story, as_owner):
    last = story.pieces.get(entry__clip="0045")
    for _ in range(20):
        actions.shift(piece=Piece.objects.select_related("story").get(pk=last.pk), by=-1)

    def clips(order):
        raw = b"".join(as_owner.get(f"/tell/{story.pk}/shots-{order}.csv").streaming_content).decode("utf-8-sig")
        return [row["Clip"] for row in csv.DictReader(io.StringIO(raw))]

    assert clips("story") == ["0045", "0041"]
    assert clips("filming") == ["0041", "0045"]

"""A story is told from the log, arranged, and offers what is new."""

from datetime import date, timedelta

import pytest
from bs4 import BeautifulSoup
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from buildlog.decisions.actions import choose
from buildlog.telling import actions, queries
from buildlog.telling.models import Piece, Story
from buildlog.telling.told import Heading, Line, Words, tell
from buildlog.worklog.actions import log, start
from buildlog.worklog.models import Entry
from tests.factories import make_decision

from .shop import Nights

pytestmark = pytest.mark.django_db


@pytest.fixture
def nights(owner):
    return Nights(owner)


def make(nights, **fields) -> Story:
    fields = fields or {"takes": "nights", "sessions": nights.sessions}
    return actions.make(build=nights.build, by=nights.owner, **fields)


def lines(story) -> list[str]:
    return [block.text or block.size for block in tell(story).blocks if isinstance(block, Line)]


def draft(story, title: str) -> str:
    """The words under a heading of the draft."""
    blocks = tell(story).blocks
    return next(
        (words.text for head, words in zip(blocks, blocks[1:], strict=False)
         if isinstance(head, Heading) and head.text == title and isinstance(words, Words)), "",
    )  # fmt: skip


def test_it_puts_the_lines_of_the_chosen_nights_in_order_under_their_nights(nights):
    story = make(nights, takes="nights", sessions=nights.sessions[:2])
    assert story.title == "Bakery van, nights 1 to 2"
    heads = [block.text for block in tell(story).blocks if isinstance(block, Heading)]
    assert heads[heads.index("Night 1, Monday 3 November 2025") :][:2] == [
        "Night 1, Monday 3 November 2025", "Night 2, Wednesday 5 November 2025",
    ]  # fmt: skip
    assert lines(story) == [
        "Left leaf binds, Sven held it",
        "hatch opening",
        "Fitted 2 × Hinge pin.",
        "Pin is worn oval",
    ]


@pytest.mark.parametrize(
    ("fields", "count"),
    [
        (lambda n: {"takes": "dates", "since": date(2025, 11, 5), "until": date(2025, 11, 6)}, 3),
        (lambda n: {"takes": "area", "area": n.floor}, 1),
        (lambda n: {"takes": "task", "task": n.hinges}, 5),
        (lambda n: {"takes": "donor", "donor": n.donor}, 1),
    ],
)
def test_it_takes_what_belongs_to_dates_an_area_a_task_or_a_donor(nights, fields, count):
    story = make(nights, **fields(nights))
    assert story.pieces.filter(shape="line").count() == count
    assert story.title


def test_a_line_is_left_out_and_taken_in_again_with_a_tap(nights, as_owner):
    story = make(nights)
    piece = story.pieces.get(entry=nights.binds)
    address = f"/piece/{piece.pk}/leave/"
    answer = as_owner.post(address, {"out": ""}, headers={"HX-Request": "true"})
    assert 'aria-pressed="false"' in answer.text
    assert "Left leaf binds, Sven held it" not in lines(story)
    as_owner.post(address, {"in": ""})
    assert "Left leaf binds, Sven held it" in lines(story)


def test_a_photo_is_left_out_of_its_line(nights, as_owner):
    story = make(nights)
    piece = story.pieces.get(entry=nights.binds)
    assert len(tell(story).pictures) == 2
    as_owner.post(f"/piece/{piece.pk}/photo/", {"out": nights.photo.pk.hex})
    assert [one.photo for one in tell(story).pictures] == [nights.other_photo.pk.hex]
    as_owner.post(f"/piece/{piece.pk}/photo/", {"in": nights.photo.pk.hex})
    assert len(tell(story).pictures) == 2


def test_what_is_typed_is_kept_as_one_goes(nights, as_owner):
    story = make(nights)
    piece = story.pieces.get(entry=nights.closes)
    answer = as_owner.post(
        f"/piece/{piece.pk}/write/", {"text": "Two fingers are enough"}, headers={"HX-Request": "true"}
    )
    assert answer.text.strip() == "✓ Saved"
    assert lines(story)[-1] == "Two fingers are enough"
    as_owner.post(f"/tell/{story.pk}/title/", {"title": "The hatch hangs"})
    assert Story.objects.get().title == "The hatch hangs"
    refused = as_owner.post(f"/tell/{story.pk}/title/", {"title": " "}, headers={"HX-Request": "true"})
    assert "Fill this in" in refused.text


def test_headings_and_words_stand_where_they_were_put(nights, as_owner):
    story = make(nights)
    after = story.pieces.get(entry=nights.binds)
    as_owner.post(f"/tell/{story.pk}/add/", {"shape": "words", "after": after.pk, "text": "Meanwhile it rained."})
    texts = [getattr(block, "text", "") for block in tell(story).blocks]
    assert texts[texts.index("Left leaf binds, Sven held it") + 1] == "Meanwhile it rained."
    words = story.pieces.get(text="Meanwhile it rained.")
    as_owner.post(f"/piece/{words.pk}/shift/", {"up": "1"})
    texts = [getattr(block, "text", "") for block in tell(story).blocks]
    assert texts[texts.index("Left leaf binds, Sven held it") - 1] == "Meanwhile it rained."


def test_words_taken_out_can_be_taken_in_again(nights, as_owner):
    story = make(nights)
    words = actions.add_piece(story=story, shape="words", text="Meanwhile it rained.")
    hours = story.pieces.get(drafts="hours")
    for piece in (words, hours):
        as_owner.post(f"/piece/{piece.pk}/remove/")
    texts = [getattr(block, "text", "") for block in tell(story).blocks]
    assert "Meanwhile it rained." not in texts
    assert "Hours" not in texts
    page = as_owner.get(story.get_absolute_url()).text
    assert "Left out: Meanwhile it rained." in page
    assert "Left out: Hours" in page
    as_owner.post(f"/piece/{words.pk}/leave/", {"in": "1"})
    assert "Meanwhile it rained." in [getattr(block, "text", "") for block in tell(story).blocks]
    empty = actions.add_piece(story=story, shape="heading", text="")
    as_owner.post(f"/piece/{empty.pk}/remove/")
    assert not Piece.objects.filter(pk=empty.pk).exists()


def test_a_story_looked_at_again_offers_only_what_is_new(nights, as_owner):
    story = make(nights)
    left = story.pieces.get(entry=nights.floor_line)
    actions.leave(piece=left, out=True)
    assert queries.fresh(story) == []
    more = log(by=nights.owner, session=nights.sessions[0], at=nights.sessions[0].ended_at, text="Swept up")
    assert queries.fresh(story) == [more]
    assert "Swept up" not in lines(story)
    assert "New in the log since" in as_owner.get(story.get_absolute_url()).text
    as_owner.post(f"/tell/{story.pk}/take-up/", {"take": "1"})
    assert lines(story)[2] == "Swept up"  # after the others of its night
    assert queries.fresh(story) == []
    assert actions.take_up(story=story, entries=[more]) == 0


def test_what_is_new_can_be_left_out_for_good(nights, as_owner):
    story = make(nights)
    log(by=nights.owner, session=nights.sessions[0], at=nights.sessions[0].ended_at, text="Swept up")
    as_owner.post(f"/tell/{story.pk}/take-up/", {"leave": "1"})
    assert queries.fresh(story) == []
    assert "Swept up" not in lines(story)


def test_a_new_night_comes_before_the_closing_words(nights):
    story = make(nights, takes="area", area=nights.hatch)
    session = start(build=nights.build, by=nights.owner)
    new = log(by=nights.owner, session=session, text="Oiled it", task=nights.hinges)
    actions.take_up(story=story, entries=[new])
    rows = queries.pieces(story)
    here = next(n for n, row in enumerate(rows) if row.entry_id == new.pk)
    assert rows[here - 1].session_id == session.pk
    assert rows[here + 1].drafts == "measured"


def test_sizes_within_a_line_are_told_where_they_were_written(nights):
    session = start(build=nights.build, by=nights.owner)
    line = {"text": "gap 3 at left 4 at right", "measured": "3; 4", "unit": "mm", "how": "tape"}
    log(by=nights.owner, session=session, kind="measure", task=nights.hinges, **line)
    told = tell(make(nights, takes="area", area=nights.hatch))
    (found,) = [one for one in told.blocks if isinstance(one, Line) and one.text.startswith("gap")]
    assert found.text == found.said == "gap 3 mm at left 4 mm at right"
    assert found.size == "1/8 in; 5/32 in, tape ± 1 mm"


def test_lines_crossed_out_or_undone_since_are_not_told(nights):
    story = make(nights)
    Entry.objects.filter(pk=nights.closes.pk).update(struck_at=nights.first_start)
    assert "It closes with two fingers" not in lines(story)


def test_the_draft_says_what_the_log_knows(nights):
    story = make(nights)
    assert draft(story, "What was done") == (
        "Side hatch:\n- Weld hatch hinges, 4 h\nFloor:\n- Lay the floor boards, 30 min"
    )
    assert draft(story, "Measured and made").startswith("- hatch opening: 43 5/16 in (1100.1 mm), tape")
    assert draft(story, "Parts used") == "- 2 × Hinge pin: pulled from Halvard 20 pickup"
    assert draft(story, "Snags") == "- Pin is worn oval"
    assert draft(story, "Hours") == "7 h 30 min in 3 nights."
    assert draft(make(nights, takes="task", task=nights.hinges), "The plan") == "Shim the left leaf."


def test_it_tells_what_was_decided_in_its_nights_and_after_them_only(nights):
    for number, night in enumerate(nights.sessions):
        one = make_decision(nights.build, f"Question {number}?", options=("Yes", "No"))
        choose(decision=one, option=one.options.first(), by=nights.owner)
        type(one).objects.filter(pk=one.pk).update(chosen_at=night.ended_at + timedelta(hours=20))
    first, second, third = nights.sessions
    said = draft(make(nights, takes="nights", sessions=[first, third]), "Decided")
    assert ["Question 0?" in said, "Question 1?" in said, "Question 2?" in said] == [True, False, True]
    assert "Question 1?" in draft(make(nights, takes="nights", sessions=[second]), "Decided")


@pytest.mark.parametrize(
    ("numbers", "said"),
    [([4], "night 4"), ([5, 3, 4], "nights 3 to 5"), ([6, 17, 14], "nights 6, 14 and 17"),
     ([1, 2, 4, 6, 8, 9], "6 nights"), ([], ""), ([7, 9], "nights 7 and 9")],
)  # fmt: skip
def test_a_title_names_the_nights(numbers, said):
    assert actions.nights_said(numbers) == said


def test_the_plan_is_where_the_night_before_stopped(nights):
    assert draft(make(nights, takes="nights", sessions=nights.sessions[2:]), "What is next") == "Go on 2"
    story = make(nights, takes="nights", sessions=nights.sessions[1:2])
    assert draft(story, "The plan") == "Go on 0"


def test_what_was_said_at_the_end_of_a_night_with_something_kept_out_is_not_used(nights):
    assert draft(make(nights, takes="nights", sessions=nights.sessions[2:]), "The plan") == ""
    assert draft(make(nights, takes="nights", sessions=nights.sessions[1:2]), "What is next") == ""


def test_a_draft_follows_the_log_until_somebody_writes(nights, as_owner):
    story = make(nights)
    piece = story.pieces.get(drafts="snags")
    as_owner.post(f"/piece/{piece.pk}/write/", {"text": "- Pin is worn oval"})
    assert Piece.objects.get(pk=piece.pk).text == ""  # unchanged: still the program's
    as_owner.post(f"/piece/{piece.pk}/write/", {"text": "All pins were worn."})
    assert draft(story, "Snags") == "All pins were worn."
    as_owner.post(f"/piece/{piece.pk}/write/", {"text": "All pins were worn.", "draft": "1"})
    assert draft(story, "Snags") == "- Pin is worn oval"


def test_the_form_says_what_is_missing(nights, as_owner):
    assert "Tick at least one night." in as_owner.post("/tell/new/", {"takes": "nights"}).text
    assert "Pick one." in as_owner.post("/tell/new/", {"takes": "area"}).text
    answer = as_owner.post("/tell/new/", {"takes": "dates", "since": "2026-11-05", "until": "2026-11-01"})
    assert answer.status_code == 422
    assert "before the first" in answer.text
    made = as_owner.post("/tell/new/", {"takes": "area", "area": nights.floor.pk})
    assert made.status_code == 303
    assert Story.objects.get().area == nights.floor


def test_a_guest_reads_a_story_and_changes_nothing(nights, as_guest):
    story = make(nights)
    shown = as_guest.get(story.get_absolute_url())
    assert "Left leaf binds" in shown.text
    assert "<textarea" not in shown.text
    piece = story.pieces.get(entry=nights.binds)
    assert as_guest.post(f"/piece/{piece.pk}/leave/", {"out": ""}).status_code == 403


def test_telling_asks_the_same_number_of_questions_for_more_lines(nights):
    story = make(nights)

    def asked() -> int:
        with CaptureQueriesContext(connection) as seen:
            tell(Story.objects.select_related("build").get(pk=story.pk))
        return len(seen)

    before = asked()
    for number in range(12):
        log(by=nights.owner, session=nights.sessions[0], at=nights.sessions[0].ended_at, text=f"More {number}")
    actions.take_up(story=story, entries=queries.fresh(story))
    assert asked() == before


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        ({"title": ""}, "story_has_a_title"),
        ({"takes": "mood"}, "story_takes_known"),
        ({"since": date(2026, 2, 1), "until": date(2026, 1, 1)}, "story_dates_rise"),
        ({"share_key": "x"}, "story_shared_has_a_time"),
    ],
)
def test_the_database_refuses_a_story_that_can_not_be(nights, change, rule):
    story = make(nights)
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        Story.objects.filter(pk=story.pk).update(**change)


def test_a_line_is_in_a_story_once(nights):
    story = make(nights)
    with pytest.raises(IntegrityError), transaction.atomic():
        Piece.objects.create(story=story, shape="line", entry=nights.binds)
    with pytest.raises(IntegrityError, match="piece_line_has_an_entry"), transaction.atomic():
        Piece.objects.create(story=story, shape="line")


def test_no_night_is_ticked_but_the_one_that_was_come_from(nights, as_owner):
    first, *_, last = nights.sessions
    plain = BeautifulSoup(as_owner.get("/tell/new/").content, "html.parser")
    assert plain.select(".of-nights input[checked]") == []
    shown = as_owner.get(first.get_absolute_url())
    [link] = [a["href"] for a in BeautifulSoup(shown.content, "html.parser").select("a") if a.text == "Tell this night"]
    ticked = BeautifulSoup(as_owner.get(link).content, "html.parser").select(".of-nights input[checked]")
    assert [int(one["value"]) for one in ticked] == [first.pk]
    for odd in ("x", "9" * 30, str(last.pk + 1000), ""):
        assert as_owner.get(f"/tell/new/?night={odd}").status_code == 200


def test_how_many_lines_are_told_follows_each_tap(nights, as_owner):
    story = make(nights)
    line = story.pieces.get(entry=nights.closes)
    shown = as_owner.get(f"/tell/{story.pk}/").text
    assert 'id="lines-told">7 of 7<' in shown
    answer = as_owner.post(f"/piece/{line.pk}/leave/", {"out": "1"}, headers={"HX-Request": "true"}).text
    assert 'hx-swap-oob="true">6 of 7<' in answer


def test_what_was_decided_in_a_line_kept_out_is_not_told(nights):
    one = make_decision(nights.build, "Sell the barn?", options=("Yes", "No"))
    choose(decision=one, option=one.options.first(), by=nights.owner)
    line = Entry.objects.get(decision=one)
    story = make(nights, takes="nights", sessions=[line.session])
    assert "Sell the barn?" in draft(story, "Decided")
    line.private = True
    line.save()
    assert "Sell the barn?" not in draft(story, "Decided")

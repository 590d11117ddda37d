"""Stories in real Chromium: one made on a phone and read offline; and nothing that was typed does anything anywhere."""

import io
import zipfile

import pytest

from buildlog.telling import actions
from buildlog.telling.calc.webvtt import check_chapters, read
from buildlog.telling.models import Story
from buildlog.worklog.models import Entry
from inventory.photos.models import Photo
from tests.buildlog.telling.hostile import HOSTILE
from tests.buildlog.telling.shop import Nights

from .conftest import axe, signed_in

pytestmark = pytest.mark.django_db


def unpack(data: bytes, folder) -> list[str]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        archive.extractall(folder)
        return archive.namelist()


def hostile_story(owner) -> Story:
    nights = Nights(owner)
    story = actions.make(build=nights.build, by=owner, takes="nights", sessions=nights.sessions)
    after = None
    for text in HOSTILE:
        actions.add_piece(story=story, shape="heading", behind=after, text=text)
        after = actions.add_piece(story=story, shape="words", behind=after, text=text)
    actions.write(piece=story.pieces.get(entry=nights.binds), text="\n".join(HOSTILE))
    Photo.objects.filter(pk=nights.photo.pk).update(caption="".join(HOSTILE)[:300])
    Story.objects.filter(pk=story.pk).update(title="".join(HOSTILE)[:160])
    return story


def test_hostile_text_does_nothing_on_any_page_nor_in_an_opened_export(visit, owner, as_owner, tmp_path):
    story = hostile_story(owner)
    page = signed_in(visit.window("desk"))
    dialogs = []
    page.on("dialog", lambda dialog: dialogs.append(dialog.message) or dialog.dismiss())
    for address in ("", "preview/", "out/"):
        page.goto(f"/tell/{story.pk}/{address}")
        assert page.title().endswith("· Gusset")
        assert page.get_by_text("<script>document.title='got in'</script>").count() or address == "out/"
        assert page.locator("iframe, base, object, main style").count() == 0
    assert axe(page) == []
    names = unpack(b"".join(as_owner.get(f"/tell/{story.pk}/post.zip").streaming_content), tmp_path)
    exported = next(name for name in names if name.endswith("story.html"))
    page.goto((tmp_path / exported).as_uri())
    assert page.url.startswith("file:")
    assert page.title() != "got in"
    assert page.locator("iframe, base, object, svg, style, a, meta[http-equiv]").count() == 0
    assert page.locator("script").count() == 1
    assert page.locator("main").is_visible()
    assert dialogs == []


def test_a_story_of_three_nights_is_made_on_a_phone_and_read_offline(visit, owner, tmp_path):
    nights = Nights(owner)
    Entry.objects.filter(pk=nights.binds.pk).update(clip="0041", clip_in="0:05", clip_out="0:50")
    page = signed_in(visit.window("phone"))

    # Chosen: three nights, put in order.
    page.goto("/tell/")
    page.get_by_role("link", name="Tell a story").tap()
    page.get_by_role("heading", name="Tell a story").wait_for()
    for box in page.locator(".of-nights input").all():
        box.check()
    page.get_by_role("button", name="Put it in order").tap()
    page.get_by_text("Lines told").wait_for()
    assert page.locator(".telling .take").count() == 7
    assert axe(page) == []

    # A line and a photo out with a tap each, a title typed, words between: all kept without a button.
    page.get_by_role("button", name="First board laid").tap()
    page.locator(".out", has_text="First board laid").wait_for()
    page.locator(".photos-in button").first.tap()
    page.locator(".photos-in [aria-pressed=false]").wait_for()
    page.get_by_label("Title").fill("The hatch hangs")
    page.locator("#saved-title", has_text="Saved").wait_for()
    page.get_by_label("More for: It closes with two fingers").tap()
    page.get_by_label("In other words").last.wait_for()
    open_row = page.locator("li:has(details[open])")
    open_row.get_by_label("In other words").fill("It closes with two fingers, at last")
    open_row.locator("[role=status]", has_text="Saved").wait_for()
    page.reload()
    assert page.get_by_label("Title").input_value() == "The hatch hangs"
    page.get_by_role("button", name="It closes with two fingers, at last").wait_for()

    # A box that was asked for can be written in at once.
    page.get_by_role("button", name="+ Words").tap()
    page.wait_for_url("**/?write=*")
    page.keyboard.type("And it stays up by itself.")
    page.locator("li.words [role=status]", has_text="Saved").wait_for()

    # Looked at: what is held back is said.
    page.get_by_role("link", name="Look at it").tap()
    page.get_by_text("1 line or photo kept out of public").wait_for()
    assert page.get_by_text("Quarrel").is_hidden()

    # A second clip is named; the chapters follow.
    page.get_by_role("link", name="Video").tap()
    row = page.locator(".shots li", has_text="at last")
    row.get_by_label("Clip").fill("0045")
    row.get_by_label("Clip").press("Tab")
    row.get_by_label("To").fill("0:30")
    row.get_by_label("To").press("Tab")
    page.locator(".big-number", has_text="01:15").wait_for()
    with page.expect_download() as chapters:
        page.get_by_role("link", name="Chapters, WebVTT").tap()
    cues = read(chapters.value.path().read_text())
    check_chapters(cues)
    assert [cue.start for cue in cues] == [0, 45_000]

    # Taken out, and opened where there is no shop and no network.
    page.get_by_role("link", name="Take it out").tap()
    with page.expect_download() as post:
        page.get_by_role("link", name="Post with pictures").tap()
    names = unpack(post.value.path().read_bytes(), tmp_path)
    page.context.set_offline(True)
    page.goto((tmp_path / next(name for name in names if name.endswith(".html"))).as_uri())
    page.get_by_role("heading", name="The hatch hangs", level=1).wait_for()
    assert page.get_by_text("First board laid").count() == 0
    seen = page.locator("img").evaluate_all("all => all.map(one => one.complete && one.naturalWidth)")
    assert seen == [640]
    assert page.evaluate("document.documentElement.scrollWidth") == 390


def test_before_and_after_move_by_finger_and_by_keys(visit, owner, stranger):
    nights = Nights(owner)
    story = actions.make(build=nights.build, by=owner, takes="nights", sessions=nights.sessions)
    actions.add_piece(story=story, shape="pair", before=nights.photo, after=nights.other_photo, text="The left leaf")
    page = visit.window("phone")  # nobody is signed in: this is the shared page
    page.goto(f"/told/{actions.share(story=story)}/")
    slider = page.get_by_role("slider")
    at = "document.querySelector('[data-pair]').style.getPropertyValue('--at')"
    slider.focus()
    page.keyboard.press("ArrowRight")
    assert page.evaluate(at) == "51%"
    box = slider.bounding_box()
    assert box["height"] >= 44
    page.touchscreen.tap(box["x"] + box["width"] * 0.1, box["y"] + box["height"] / 2)
    assert int(page.evaluate(at).rstrip("%")) < 30
    assert axe(page) == []
    assert page.get_by_role("link").count() == 0

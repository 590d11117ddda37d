"""Stories in real Chromium: nothing that was typed does anything, wherever the story is shown."""

import io
import zipfile

import pytest

from buildlog.telling import actions
from buildlog.telling.models import Story
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

"""A post: words and pictures in a zip; pages for a web host with a feed; plain rows."""

import io
import json
import zipfile

import pytest
from bs4 import BeautifulSoup
from PIL import Image

from buildlog.builds.models import Build
from buildlog.telling import actions, posts
from buildlog.telling.models import Story
from inventory.photos.models import Photo
from tests.factories import make_person

from .hostile import HOSTILE
from .shop import Nights

pytestmark = pytest.mark.django_db


@pytest.fixture
def story(owner):
    nights = Nights(owner)
    return actions.make(build=nights.build, by=owner, takes="nights", sessions=nights.sessions, title="The hatch hangs")


def unpacked(answer) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(b"".join(answer.streaming_content))) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def test_a_post_is_words_a_page_and_pictures_beside_them(story, as_owner):
    answer = as_owner.get(f"/tell/{story.pk}/post.zip")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="the-hatch-hangs.zip"'
    found = unpacked(answer)
    assert set(found) == {
        f"the-hatch-hangs/{name}"
        for name in ("story.md", "story.html", "story.css", "story.js", "pictures/001.webp", "pictures/002.webp")
    }
    words = found["the-hatch-hangs/story.md"].decode()
    assert words.startswith("# The hatch hangs\n\nBakery van, 3 November 2025 to 7 November 2025\n")
    assert "![Left leaf, before](pictures/001.webp)" in words
    page = BeautifulSoup(found["the-hatch-hangs/story.html"], "html.parser")
    addresses = [tag.get("src") or tag.get("href") for tag in page.find_all(["img", "link", "script"])]
    assert addresses == ["story.css", "story.js", "pictures/001.webp", "pictures/002.webp"]
    assert all(tag["alt"] for tag in page.find_all("img"))


def test_pictures_are_of_web_size_and_say_nothing_of_where_they_were_taken(story, as_owner):
    found = unpacked(as_owner.get(f"/tell/{story.pk}/post.zip"))
    pictures = [data for name, data in found.items() if name.endswith(".webp")]
    assert len(pictures) == 2
    for data in pictures:
        assert b"EXIF" not in data
        assert b"XMP " not in data
        with Image.open(io.BytesIO(data)) as picture:
            assert max(picture.size) <= 1600
            assert not picture.getexif()


def test_what_is_held_back_is_in_no_file_of_the_post(story, as_owner):
    Photo.objects.filter(caption="And after").update(public=False)
    for name, data in unpacked(as_owner.get(f"/tell/{story.pk}/post.zip")).items():
        text = data.decode(errors="ignore")
        for secret in ("Quarrel", "C1·B7", "HX-44170-2", "1234.50", "Olga", "And after"):
            assert secret not in text, name


def test_pages_for_a_web_host_have_a_list_a_page_each_and_a_feed(story, as_owner):
    other = actions.make(build=story.build, by=None, takes="area", area=story.build.areas.first())
    asked = f"/tell/site/?stories={story.pk}&stories={other.pk}&base=https://example.org/van"
    found = unpacked(as_owner.get(asked))
    assert {"index.html", "feed.atom", "story.css", "story.js", "the-hatch-hangs/index.html", "side-hatch/index.html",
            "the-hatch-hangs/pictures/001.webp"} <= set(found)  # fmt: skip
    front = BeautifulSoup(found["index.html"], "html.parser")
    assert {"the-hatch-hangs/index.html", "side-hatch/index.html"} <= {a["href"] for a in front.find_all("a")}
    page = BeautifulSoup(found["the-hatch-hangs/index.html"], "html.parser")
    assert page.find("link", rel="alternate")["href"] == "../feed.atom"
    assert b"https://example.org/van/the-hatch-hangs/pictures/001.webp" in found["feed.atom"]


def test_a_person_in_the_name_of_the_build_is_in_no_file_of_the_folder(story, as_owner):
    make_person("hand", name="Berg")
    Build.objects.update(name="Berg pickup")
    made = posts.site(Build.objects.get(), [story], "https://vans.example/")
    with zipfile.ZipFile(made) as archive:
        texts = {name: archive.read(name).decode() for name in archive.namelist() if name.endswith((".html", ".atom"))}
    assert len(texts) == 3
    assert [name for name, text in texts.items() if "Berg" in text] == []


def test_two_stories_of_one_name_get_a_folder_each(story, as_owner):
    twin = actions.make(build=story.build, by=None, takes="nights", sessions=[], title=story.title)
    found = unpacked(as_owner.get(f"/tell/site/?stories={story.pk}&stories={twin.pk}&base=https://example.org/"))
    assert len([name for name in found if name.endswith("/index.html")]) == 2


@pytest.mark.parametrize("base", ["", "javascript:alert(1)", "ftp://example.org/", "not an address"])
def test_an_address_that_is_none_is_said_at_its_field(story, as_owner, base):
    answer = as_owner.get("/tell/site/", {"stories": story.pk, "base": base})
    assert answer.status_code == 422
    assert "error" in answer.text


def test_a_file_name_is_letters_figures_and_dashes_whatever_the_title():
    for title in HOSTILE:
        assert posts.slug(title, 7).strip("abcdefghijklmnopqrstuvwxyz0123456789-") == ""
        assert posts.slug(title, 7)
    assert posts.slug("日本", 7) == "story-7"
    assert posts.slug("Öl & Größe", 7) == "ol-groe"


def test_the_told_lines_as_rows(story, as_owner):
    rows = json.loads(b"".join(as_owner.get(f"/tell/{story.pk}/story.json").streaming_content))
    assert rows[0] == {
        "at": "2025-11-03T18:40:00Z", "under": "Night 1, Monday 3 November 2025", "kind": "note",
        "text": "Left leaf binds, Sven held it", "measure": "", "who": "", "pictures": "001.webp",
    }  # fmt: skip
    assert "Quarrel" not in json.dumps(rows)


def test_the_whole_log_is_for_oneself_and_holds_everything(story, as_owner):
    rows = json.loads(b"".join(as_owner.get("/tell/log/hb-64.json").streaming_content))
    assert len(rows) == story.pieces.filter(shape="line").count()
    (private,) = [row for row in rows if row["private"]]
    assert private["text"] == "Quarrel about the noise"
    assert private["who"] == "Olga"


@pytest.mark.parametrize("text", HOSTILE)
def test_no_markup_from_an_entry_is_in_the_page(story, text):
    piece = story.pieces.filter(shape="line").first()
    actions.write(piece=piece, text=text)
    Story.objects.filter(pk=story.pk).update(title=text[:160])
    Photo.objects.update(caption=text[:300])
    page = posts.as_page(posts.told_for_files(Story.objects.get(pk=story.pk)))
    soup = BeautifulSoup(page, "html.parser")
    allowed = {"html", "head", "meta", "title", "link", "script", "body", "main", "header", "p", "h1", "h2", "ul", "li",
               "div", "figure", "figcaption", "img", "br", "b", "span"}  # fmt: skip
    assert {tag.name for tag in soup.find_all(True)} <= allowed
    assert [tag.get("src") for tag in soup.find_all("script")] == ["story.js"]
    for tag in soup.find_all(True):
        assert set(tag.attrs) <= {"lang", "charset", "name", "content", "rel", "href", "src", "defer", "class", "alt",
                                  "width", "height", "loading"}, tag  # fmt: skip

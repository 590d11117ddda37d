"""Feeds are Atom: RFC 4287's musts, and read by a feed parser. Times are RFC 3339."""

import re
from datetime import UTC, datetime, timedelta, timezone
from xml.etree import ElementTree

import feedparser
import pytest

from buildlog.telling import actions, posts
from buildlog.telling.calc.atom import stamp
from buildlog.telling.models import Story
from tests.buildlog.telling.hostile import HOSTILE
from tests.buildlog.telling.shop import Nights

NS = "{http://www.w3.org/2005/Atom}"
BASE = "https://example.org/van/"
# RFC 3339, section 5.6: full-date "T" full-time; the offset and the seconds are not optional.
RFC_3339 = re.compile(
    r"\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])T([01]\d|2[0-3]):[0-5]\d:([0-5]\d|60)(\.\d+)?(Z|[+-]([01]\d|2[0-3]):[0-5]\d)"
)


@pytest.fixture
def story(owner):
    nights = Nights(owner)
    return actions.make(build=nights.build, by=owner, takes="nights", sessions=nights.sessions, title="The hatch hangs")


def feed(*stories) -> str:
    rows = [(story, posts.told_for_files(story), posts.slug(story.title, story.pk)) for story in stories]
    return posts.feed_of(stories[0].build, rows, BASE)


def once(element, name: str) -> ElementTree.Element:
    found = element.findall(NS + name)
    assert len(found) == 1, name
    return found[0]


def musts(text: str) -> ElementTree.Element:
    """RFC 4287: 4.1.1 of a feed, 4.1.2 of an entry, 3.3 of dates, 4.2.6 of ids, 4.2.7 of links."""
    root = ElementTree.fromstring(text)
    assert root.tag == f"{NS}feed"
    entries = root.findall(f"{NS}entry")
    for element in (root, *entries):
        assert re.match(r"[a-z][a-z0-9+.-]*:\S+$", once(element, "id").text)
        assert once(element, "title") is not None
        assert RFC_3339.fullmatch(once(element, "updated").text)
        for author in element.findall(f"{NS}author"):
            assert once(author, "name").text
    assert root.findall(f"{NS}author") or all(entry.findall(f"{NS}author") for entry in entries)
    assert {link.get("rel") for link in root.findall(f"{NS}link")} == {"self", "alternate"}
    for entry in entries:
        alternates = [link for link in entry.findall(f"{NS}link") if link.get("rel") == "alternate"]
        assert len(alternates) == 1
        assert once(entry, "content").get("type") == "html"
        assert len(entry.findall(f"{NS}summary")) <= 1
        assert len(entry.findall(f"{NS}published")) <= 1
    ids = [entry.find(f"{NS}id").text for entry in entries]
    assert len(set(ids)) == len(ids)
    return root


@pytest.mark.django_db
def test_a_feed_has_what_rfc_4287_asks(story):
    other = actions.make(build=story.build, by=None, takes="area", area=story.build.areas.first())
    root = musts(feed(story, other))
    assert len(root.findall(f"{NS}entry")) == 2


@pytest.mark.django_db
def test_a_feed_parser_reads_it(story):
    found = feedparser.parse(feed(story).encode())
    assert not found.bozo
    assert found.version == "atom10"
    (entry,) = found.entries
    assert entry.title == "The hatch hangs"
    assert entry.link == f"{BASE}the-hatch-hangs/"
    assert f"{BASE}the-hatch-hangs/pictures/001.webp" in entry.content[0].value
    assert found.feed.author == "Bakery van"  # no person's name unless ticked


@pytest.mark.django_db
def test_an_id_stays_when_the_story_is_edited(story):
    before = musts(feed(story)).find(f"{NS}entry")
    piece = story.pieces.filter(shape="line").first()
    actions.write(piece=piece, text="Other words")
    Story.objects.filter(pk=story.pk).update(title="Another title")
    after = musts(feed(Story.objects.get(pk=story.pk))).find(f"{NS}entry")
    assert after.find(f"{NS}id").text == before.find(f"{NS}id").text
    assert after.find(f"{NS}updated").text >= before.find(f"{NS}updated").text


@pytest.mark.django_db
@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_text_in_a_feed(story, text):
    Story.objects.filter(pk=story.pk).update(title=text[:160])
    actions.write(piece=story.pieces.filter(shape="line").first(), text=text)
    entry = musts(feed(Story.objects.get(pk=story.pk))).find(f"{NS}entry")
    content = entry.find(f"{NS}content").text
    assert not re.search(r"<(script|iframe|svg|style|base|meta|a|textarea)\b", content)
    assert not re.search(r"<[^>]*\son\w+=", re.sub(r'"[^"]*"', '""', content))


def test_a_stamp_is_rfc_3339_in_utc():
    # RFC 3339, 5.8: 1996-12-19T16:39:57-08:00 is the same instant as 1996-12-20T00:39:57Z.
    moment = datetime(1996, 12, 19, 16, 39, 57, tzinfo=timezone(timedelta(hours=-8)))
    assert stamp(moment) == "1996-12-20T00:39:57Z"
    assert RFC_3339.fullmatch(stamp(datetime(1985, 4, 12, 23, 20, 50, 520000, tzinfo=UTC)))
    with pytest.raises(ValueError, match="1996"):
        stamp(datetime(1996, 12, 19, 16, 39, 57))  # without an offset it is no instant


@pytest.mark.parametrize("text", ["1985-04-12T23:20:50.52Z", "1990-12-31T23:59:60Z", "1937-01-01T12:00:27.87+00:20"])
def test_the_pattern_takes_the_rfcs_own_examples(text):
    assert RFC_3339.fullmatch(text)


@pytest.mark.parametrize(
    "text", ["2026-11-25T09:00:00", "2026-11-25T09:00Z", "2026-11-25 09:00:00Z", "2026-13-01T00:00:00Z"]
)
def test_the_pattern_refuses_what_is_none(text):
    assert not RFC_3339.fullmatch(text)

"""A shared story: off until an owner shares it, ended for good, and nothing private within a stranger's reach."""

import re
import uuid
from datetime import timedelta
from decimal import Decimal

import pytest
from bs4 import BeautifulSoup
from django.apps import apps
from django.db import DatabaseError, models, transaction
from django.test import Client
from django.urls import reverse

from buildlog.builds.models import Area
from buildlog.decisions.actions import choose
from buildlog.tasks.models import Task
from buildlog.telling import actions, sharing
from buildlog.telling.models import Story
from buildlog.telling.told import tell
from buildlog.worklog.actions import log
from buildlog.worklog.models import TaskTime
from inventory.donors import actions as donors
from inventory.donors.models import Cost
from inventory.photos.models import Photo
from tests.factories import make_decision, make_part, make_person, make_task
from tests.site.addresses import PDF

from .shop import Nights, make_photo

pytestmark = pytest.mark.django_db


@pytest.fixture
def nights(owner):
    return Nights(owner)


@pytest.fixture
def story(nights):
    return actions.make(
        build=nights.build, by=nights.owner, takes="nights", sessions=nights.sessions, title="The hatch"
    )


def address(story: Story) -> str:
    return reverse("buildlog:shared", args=[actions.share(story=story)])


def let_them_read(as_owner, story: Story) -> None:
    """By the button under what the preview says that readers don't see."""
    page = BeautifulSoup(as_owner.get(f"/tell/{story.pk}/preview/").content, "html.parser")
    marks = [one["value"] for one in page.select("section.bar-note input[name=mark]")]
    as_owner.post(f"/tell/{story.pk}/share/", {"mark": marks})


def test_a_story_has_no_address_until_an_owner_gives_it_one(story, as_owner, as_hand, stranger):
    assert story.share_key == ""
    assert as_hand.post(f"/tell/{story.pk}/share/").status_code == 403
    as_owner.post(f"/tell/{story.pk}/share/")
    story.refresh_from_db()
    assert len(story.share_key) >= 32  # 24 random bytes: 192 bits
    assert "The hatch" in stranger.get(f"/told/{story.share_key}/").text


def test_an_address_that_reaches_nobody_else_says_so(story, as_owner, settings):
    actions.share(story=story)
    settings.SITE_URL, settings.PHONE_URL = "", lambda: ""
    assert "nobody else can reach it" in as_owner.get(f"/tell/{story.pk}/out/", headers={"Host": "localhost"}).text
    settings.SITE_URL = "https://van.example.org"
    shown = as_owner.get(f"/tell/{story.pk}/out/").text
    assert f"https://van.example.org/told/{story.share_key}/" in shown
    assert "nobody else can reach it" not in shown


def test_two_stories_have_nothing_of_their_addresses_in_common(story, nights):
    other = actions.make(build=nights.build, by=None, takes="nights", sessions=[])
    keys = {actions.share(story=story), actions.share(story=other)}
    assert len(keys) == 2
    assert actions.share(story=story) in keys  # shared once more it keeps its address


def test_an_address_that_was_ended_leads_nowhere_and_its_pictures_neither(story, as_owner, stranger):
    there = address(story)
    assert stranger.get(f"{there}001.webp").status_code == 200
    as_owner.post(f"/tell/{story.pk}/share/", {"end": "1"})
    assert stranger.get(there).status_code == 404
    assert stranger.get(f"{there}001.webp").status_code == 404
    assert address(Story.objects.get(pk=story.pk)) != there


def test_nothing_is_told_at_an_address_that_is_none(story, stranger):
    address(story)
    for key in ("x" * 32, story.share_key[:-1], story.share_key + "x", "a" * 20, "", story.uid.hex):
        assert stranger.get(f"/told/{key}/").status_code in (302, 404)


def test_it_asks_not_to_be_found_kept_or_told_of(story, stranger):
    answer = stranger.get(address(story))
    assert answer.headers["X-Robots-Tag"] == "noindex, nofollow"
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert answer.headers["Cache-Control"] == "private, no-cache"
    assert "Set-Cookie" not in answer.headers
    picture = stranger.get(f"{address(story)}001.webp")
    assert picture.headers["Cache-Control"] == "private, no-cache"


def test_it_can_only_be_read(story, stranger):
    assert stranger.post(address(story)).status_code == 405
    page = BeautifulSoup(stranger.get(address(story)).content, "html.parser")
    assert page.find_all(["form", "input", "button", "nav", "a"]) == []


def test_a_line_marked_after_sharing_is_gone_at_once(story, nights, stranger):
    there = address(story)
    assert "It closes with two fingers" in stranger.get(there).text
    nights.closes.private = True
    nights.closes.save()
    shown = stranger.get(there).text
    assert "It closes with two fingers" not in shown
    assert shown.count("<img") == 1
    assert stranger.get(f"{there}002.webp").status_code == 404


def test_a_task_that_only_lines_kept_out_speak_of_is_not_even_named(nights, stranger):
    secret = make_task("Hide the gold stash", build=nights.build, area=nights.floor)
    log(
        by=nights.owner,
        session=nights.sessions[0],
        at=nights.first_start,
        text="Under the boards",
        private=True,
        task=secret,
    )
    TaskTime.objects.create(session=nights.sessions[0], task=secret, minutes=40)
    story = actions.make(build=nights.build, by=nights.owner, takes="nights", sessions=nights.sessions)
    shown = stranger.get(address(story)).text
    assert "Weld hatch hinges, " in shown
    assert "gold stash" not in shown
    assert "40 min" not in shown


def test_only_an_owner_lets_strangers_see_more_of_a_shared_story(story, as_hand, as_owner):
    as_hand.post(f"/tell/{story.pk}/preview/", {"with_private": "on"})
    assert story.share_key == ""
    story.refresh_from_db()
    assert story.with_private, "nobody else sees it yet"
    Story.objects.update(with_private=False)
    actions.share(story=story)
    answer = as_hand.post(f"/tell/{story.pk}/preview/", {"with_private": "on"})
    assert answer.status_code == 403
    assert "only an owner of the shop" in answer.text
    story.refresh_from_db()
    assert not story.with_private
    as_owner.post(f"/tell/{story.pk}/preview/", {"with_private": "on"})
    story.refresh_from_db()
    assert story.with_private


def test_what_strangers_read_is_arranged_by_an_owner_only(story, nights, as_hand, as_owner, stranger):
    there = address(story)
    line = story.pieces.get(entry=nights.closes)
    log(by=nights.owner, session=nights.sessions[0], at=nights.first_start, text="Came later")
    ways = [
        (f"/tell/{story.pk}/title/", {"title": "Mine"}),
        (f"/tell/{story.pk}/take-up/", {"take": "1"}),
        (f"/tell/{story.pk}/add/", {"shape": "words", "text": "Hello strangers"}),
        (f"/tell/{story.pk}/pair/", {"before": nights.photo.pk.hex, "after": nights.other_photo.pk.hex}),
        (f"/tell/{story.pk}/delete/", {}),
        (f"/piece/{line.pk}/write/", {"text": "Hello strangers"}),
        (f"/piece/{line.pk}/leave/", {"out": "1"}),
        (f"/piece/{line.pk}/photo/", {"out": nights.other_photo.pk.hex}),
        (f"/piece/{line.pk}/shift/", {"up": "1"}),
        (f"/piece/{line.pk}/remove/", {}),
    ]
    before = stranger.get(there).content
    assert [way for way, sent in ways if as_hand.post(way, sent).status_code != 403] == []
    assert stranger.get(there).content == before
    shown = as_hand.get(f"/tell/{story.pk}/").text
    assert "only an owner of the shop can change it" in shown
    assert "aria-pressed" not in shown
    as_owner.post(f"/piece/{line.pk}/write/", {"text": "Hello strangers"})
    assert "Hello strangers" not in stranger.get(there).text
    let_them_read(as_owner, story)
    assert "Hello strangers" in stranger.get(there).text


def changed_log_line(nights, as_hand):
    as_hand.post(f"/log/{nights.closes.pk}/", {"uid": uuid.uuid4(), "text": "Hello strangers"})


def changed_task(nights, as_hand):
    Task.objects.filter(pk=nights.hinges.pk).update(title="Hello strangers")


def changed_area(nights, as_hand):
    Area.objects.filter(pk=nights.hatch.pk).update(name="Hello strangers")


def changed_caption(nights, as_hand):
    Photo.objects.filter(pk=nights.photo.pk).update(caption="Hello strangers")


def changed_build(nights, as_hand):
    type(nights.build).objects.update(name="Hello strangers")


def changed_goodbye(nights, as_hand):
    type(nights.sessions[0]).objects.filter(pk=nights.sessions[-1].pk).update(stopping_point="Hello strangers")


def no_longer_kept_out(nights, as_hand):
    nights.secret.text, nights.secret.private = "Hello strangers", False
    nights.secret.save()


@pytest.mark.parametrize(
    "change",
    [changed_log_line, changed_task, changed_area, changed_caption, changed_build, changed_goodbye, no_longer_kept_out],
)
def test_what_changed_since_is_read_when_an_owner_has_seen_it(story, nights, as_hand, as_owner, stranger, change):
    there = address(story)
    change(nights, as_hand)
    assert "Hello strangers" not in stranger.get(there).text
    shown = BeautifulSoup(as_owner.get(f"/tell/{story.pk}/preview/").content, "html.parser")
    assert "Hello strangers" in shown.select_one("section.bar-note").text
    assert as_hand.post(f"/tell/{story.pk}/share/").status_code == 403
    as_owner.post(f"/tell/{story.pk}/share/")  # by a page that showed nothing of it
    assert "Hello strangers" not in stranger.get(there).text
    let_them_read(as_owner, story)
    assert "Hello strangers" in stranger.get(there).text
    assert "Readers don’t see" not in as_owner.get(f"/tell/{story.pk}/").text


def test_a_photo_put_to_a_line_since_is_not_shown_until_then(story, nights, as_owner, stranger):
    there = address(story)
    nights.floor_line.photos.add(make_photo("olive", caption="Number plate"))
    shown = stranger.get(there).text
    assert "First board laid" in shown
    assert "Number plate" not in shown
    assert shown.count("<img") == 2
    assert [stranger.get(f"{there}00{number}.webp").status_code for number in (1, 2, 3)].count(200) == 2
    let_them_read(as_owner, story)
    assert stranger.get(there).text.count("<img") == 3


def test_what_changes_between_the_look_and_the_tap_is_not_let_out(story, nights, as_owner, stranger):
    there = address(story)
    for text in ("First words", "Other words"):
        nights.closes.text = text
        nights.closes.save()
        page = BeautifulSoup(as_owner.get(f"/tell/{story.pk}/preview/").content, "html.parser")
        seen = [one["value"] for one in page.select("input[name=mark]")]
        nights.closes.text = "Hello strangers"
        nights.closes.save()
        as_owner.post(f"/tell/{story.pk}/share/", {"mark": seen})
        assert "Hello strangers" not in stranger.get(there).text


def test_to_read_it_changes_nothing(story, nights, stranger):
    there = address(story)
    before = Story.objects.get(pk=story.pk).agreed
    for private in (True, False):
        nights.closes.private = private
        nights.closes.save()
        assert ("It closes with two fingers" in stranger.get(there).text) is not private
    assert Story.objects.get(pk=story.pk).agreed == before


def test_a_deleted_story_is_read_by_nobody_and_comes_back_unshared(story, as_hand, as_owner, stranger):
    there = address(story)
    gone = as_owner.post(f"/tell/{story.pk}/delete/", follow=True)
    assert stranger.get(there).status_code == 404
    assert as_owner.get(f"/tell/{story.pk}/").status_code == 404
    assert as_owner.get(f"/tell/{story.pk}/post.zip").status_code == 404
    assert "Nothing told yet" in gone.text
    assert f'action="/tell/{story.pk}/bring-back/"' in gone.text
    back = as_hand.post(f"/tell/{story.pk}/bring-back/", follow=True)
    assert "It closes with two fingers" in back.text
    assert stranger.get(there).status_code == 404
    assert Story.objects.get().share_key == ""


def test_a_strangers_browser_asks_for_nothing_that_is_not_there(story, stranger):
    page = BeautifulSoup(stranger.get(address(story)).content, "html.parser")
    [icon] = page.select("link[rel=icon]")
    assert icon["href"].endswith("icons/gusset.svg")


def test_a_picture_that_is_not_told_can_not_be_had(story, nights, stranger):
    hidden = make_photo("olive")
    there = address(story)
    assert stranger.get(f"{there}003.webp").status_code == 404
    for photo in (hidden, nights.photo):
        assert stranger.get(photo.large_url).status_code == 302  # to the login


# Columns whose words a story is there to tell. Everything else is private: a new column is, until it is named here.
TOLD = {
    "story.title", "piece.text", "build.name", "area.name", "task.title", "task.detail", "entry.text", "entry.says",
    "entry.measured", "photo.caption", "part.name", "location.name", "decision.question", "decision.why", "option.name",
    "option.speaks_against", "worksession.stopping_point", "worksession.done", "option.came_from", "option.link",
    "piece.said", "piece.clip", "entry.clip", "part.side",
}  # fmt: skip
# Keys of the program’s own: the address itself, a hash, the name of a draft; and a size that is reckoned with.
KEYS = {"story.share_key", "person.password", "piece.drafts", "entry.measured"}
MARK = re.compile(r"zq([a-z]+)\.([a-z0-9_]+)\.([0-9a-f-]+)zq", re.IGNORECASE)


def a_shop_with_everything(nights) -> None:
    colour = make_decision(nights.build, "Which colour inside?", options=("Cream", "White"))
    choose(decision=colour, option=colour.options.first(), by=nights.owner, why="Flour")
    type(colour).objects.update(chosen_at=nights.first_start + timedelta(hours=1))
    Cost.objects.create(donor=nights.donor, what="Trailer", amount=Decimal("55.25"))
    donors.add_paper(donor=nights.donor, data=PDF, name="b.pdf", what="Bill", uid=nights.photo.pk, by=None)
    donors.want(donor=nights.donor, things=[{"what": "Pedal box"}], by=None)
    make_part("Spare", holds={nights.bin: 1}, note="x", part_numbers="y", other_names="z")
    make_person("hand", name="Sven")


def plant() -> tuple[set[str], set[str]]:
    """Marks every column of text in every row of the shop. Answers the columns that took it, and those that did not."""
    planted, refused = set(), set()
    for model in apps.get_models():
        if model._meta.app_label not in ("inventory", "buildlog"):
            continue
        for field in model._meta.concrete_fields:
            if not isinstance(field, (models.CharField, models.TextField)) or field.choices or field.primary_key:
                continue
            column = f"{model._meta.model_name}.{field.name}"
            if column in KEYS:
                continue
            for row in model.objects.values_list("pk", flat=True):
                mark = f"zq{column}.{row}zq"
                try:
                    with transaction.atomic():
                        model.objects.filter(pk=row).update(**{field.name: mark})
                    planted.add(column)
                except DatabaseError:
                    refused.add(column)
    return planted, refused


def test_no_private_column_is_within_a_strangers_reach(nights, story):
    a_shop_with_everything(nights)
    hidden = make_photo("olive", caption="x")
    nights.floor_line.photos.add(hidden)
    Photo.objects.filter(pk=hidden.pk).update(public=False)
    there = address(story)
    planted, refused = plant()
    assert refused == set()
    assert len(planted) >= 50
    assert {"location.address", "location.note", "donor.number", "donor.seller", "person.name", "move.note",
            "part.part_numbers", "paper.what", "batch.what"} <= planted  # fmt: skip
    # Nobody has written words of their own: the program tells the log's, and drafts from them.
    story.pieces.exclude(shape="heading").update(text="", said="", clip="", clip_in="", clip_out="")
    stranger = Client()
    current = Story.objects.get(pk=story.pk)
    sharing.agree(current, told := tell(current), seen=sharing.marks(told))  # an owner has seen it as it is now
    reached = stranger.get(there).text
    for number in range(1, 9):
        picture = stranger.get(f"{there}{number:03}.webp")
        reached += b"".join(picture.streaming_content).decode("latin-1") if picture.streaming else picture.text
    found = {(f"{table}.{column}".lower(), row) for table, column, row in MARK.findall(reached)}
    assert {column for column, _ in found} <= TOLD
    assert {"entry.text", "photo.caption", "story.title"} <= {column for column, _ in found}
    assert not [column for column, row in found if column.startswith("entry.") and row == str(nights.secret.pk)]
    assert ("photo.caption", str(hidden.pk)) not in found
    for amount in ("1234.5", "1,234.5", "55.25"):
        assert amount not in reached

"""The pictures of a story: what they show, as SVG and as PNG, and pairs of before and after."""

import io
from xml.etree import ElementTree

import pytest
from PIL import Image

from buildlog.tasks.actions import finish
from buildlog.telling import actions, pictures
from buildlog.telling.calc import charts
from buildlog.telling.models import Piece
from buildlog.telling.pictures import Drawer
from buildlog.telling.told import Pair, tell
from buildlog.worklog.actions_entries import mark
from inventory.people.models import Person
from tests.factories import make_task

from .hostile import HOSTILE
from .shop import Nights

SVG = "{http://www.w3.org/2000/svg}"


def boxes(drawing, kind) -> list[dict]:
    return [shape.attributes for shape in drawing.shapes if shape.tag == "rect" and shape.kind == kind]


def test_bars_are_as_long_as_what_they_show():
    drawing = charts.bars("Hours", [("Hatch", 120, "2 h"), ("Floor", 30, "30 min")])
    long, short = boxes(drawing, "amount")
    assert long["width"] == pytest.approx(4 * short["width"], abs=0.2)
    assert drawing.alt == "Hours: Hatch 2 h, Floor 30 min"
    assert all(box["x"] + box["width"] <= drawing.width for box in (long, short))


def test_bands_of_a_map_are_as_thick_as_what_flows():
    counts = {("Pulled", "Hatch"): 3, ("Bought", "Hatch"): 1, ("Bought", "Floor"): 2}
    drawing = charts.flows("From", counts)
    bands = [shape.attributes["stroke-width"] for shape in drawing.shapes if shape.kind == "band"]
    assert sorted(bands) == [charts.BAND, 2 * charts.BAND, 3 * charts.BAND]
    assert [box["height"] for box in boxes(drawing, "target")] == [4 * charts.BAND, 2 * charts.BAND]
    assert "3 from Pulled into Hatch" in drawing.alt


def test_a_map_of_very_many_stays_a_picture():
    drawing = charts.flows("From", {(f"S{n}", f"T{n % 9}"): 400 for n in range(12)})
    assert drawing.height < 1200


pytestmark = pytest.mark.django_db


@pytest.fixture
def story(owner):
    nights = Nights(owner)
    later = make_task("Hang the hatch", build=nights.build, area=nights.hatch, needs=[nights.hinges])
    assert later
    return actions.make(build=nights.build, by=owner, takes="nights", sessions=nights.sessions)


def test_it_draws_hours_the_network_and_where_parts_came_from(story):
    drawn = Drawer(story).all()
    assert drawn["hours"].alt == "Hours by area: Side hatch 4 h, Floor 30 min"
    assert drawn["origins"].alt == "Where parts came from: 1 from Halvard 20 pickup into Side hatch"
    assert "2 tasks" in drawn["network"].alt


def test_the_network_marks_what_the_story_finished(story):
    task = story.build.tasks.get(title="Weld hatch hinges")
    assert boxes(Drawer(story).network(), "finished") == []
    finish(task=task, by=story.by)
    assert len(boxes(Drawer(story).network(), "finished")) == 1
    assert Drawer(story).network().alt == "What it finished: 2 tasks; finished: Weld hatch hinges"


def test_a_task_finished_on_another_night_is_not_said_to_be_of_this_story(story, owner):
    other = make_task("Seal it", build=story.build, needs=[story.build.tasks.get(title="Weld hatch hinges")])
    mark(build=story.build, task=other, verb="start", by=owner)
    finish(task=other, by=owner)
    assert "Seal it" not in Drawer(story).network().alt


def test_nothing_to_draw_is_no_drawing(story, as_owner):
    empty = actions.make(build=story.build, by=None, takes="nights", sessions=[])
    assert Drawer(empty).all() == {}
    assert "Nothing to draw yet" in as_owner.get(f"/tell/{empty.pk}/pictures/").text
    assert as_owner.get(f"/tell/{empty.pk}/hours.png").status_code == 404


@pytest.mark.parametrize("name", ["hours", "network", "origins"])
def test_each_is_an_svg_of_its_own_and_a_png_1920_wide(story, as_owner, name):
    root = ElementTree.fromstring(as_owner.get(f"/tell/{story.pk}/{name}.svg").content)
    assert root.tag == f"{SVG}svg"
    assert root.get("aria-label")
    answer = as_owner.get(f"/tell/{story.pk}/{name}.png")
    with Image.open(io.BytesIO(answer.content)) as image:
        assert image.width == 1920
        assert image.height == round(1920 * float(root.get("height")) / float(root.get("width")))
        assert len(image.convert("RGB").getcolors(1 << 22)) > 2


def test_hostile_names_stay_names_in_a_drawing(story):
    task = story.build.tasks.get(title="Weld hatch hinges")
    for text in HOSTILE:
        if not text.strip("\x00 "):
            continue
        type(task).objects.filter(pk=task.pk).update(title=text[:120])
        type(task.area).objects.filter(pk=task.area_id).update(name=text[:60])
        for drawing in Drawer(story).all().values():
            root = ElementTree.fromstring(pictures.as_svg(drawing))
            assert {one.tag for one in root.iter()} <= {
                f"{SVG}{tag}" for tag in ("svg", "style", "rect", "text", "path")
            }


def test_names_are_held_back_in_drawings_too(story):
    Person.objects.filter(name="Olga").update(name="Welda")
    story.build.tasks.filter(title="Weld hatch hinges").update(title="Weld as Welda does")
    shown = [shape.text for shape in Drawer(story).network().shapes]
    assert "Welda" not in " ".join(shown)


def test_two_pictures_of_a_task_are_offered_as_a_pair_and_stand_in_the_story(story, as_owner):
    assert "Pair them: Weld hatch hinges" in as_owner.get(f"/tell/{story.pk}/pictures/").text
    before, after = (one.photo for one in tell(story).pictures)
    as_owner.post(f"/tell/{story.pk}/pair/", {"before": before, "after": after, "text": "The left leaf"})
    (pair,) = [block for block in tell(story).blocks if isinstance(block, Pair)]
    assert (pair.before.photo, pair.after.photo, pair.text) == (before, after, "The left leaf")
    assert "Pair them: Weld hatch hinges" not in as_owner.get(f"/tell/{story.pk}/pictures/").text
    with Image.open(io.BytesIO(as_owner.get(f"/tell/{story.pk}/pair-0.png").content)) as image:
        assert image.width == 1920
        left, right = image.getpixel((480, 200)), image.getpixel((1440, 200))
        assert left != right
    assert as_owner.get(f"/tell/{story.pk}/pair-1.png").status_code == 404


def test_a_pair_needs_two_pictures_of_the_story(story, as_owner):
    (before, _) = (one.photo for one in tell(story).pictures)
    for form in ({}, {"before": before, "after": before}, {"before": before, "after": "0" * 32}):
        as_owner.post(f"/tell/{story.pk}/pair/", form)
    assert not Piece.objects.filter(shape="pair").exists()

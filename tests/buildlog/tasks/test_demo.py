import pytest

from buildlog.builds.models import Build
from buildlog.builds.queries import current
from buildlog.decisions.models import Decision
from buildlog.tasks import demo, queries
from buildlog.tasks.calc.typed import parse
from buildlog.tasks.models import Change, Task, TaskPart
from inventory.demo import actions as demo_shop
from inventory.parts.models import Part
from inventory.places.models import Location
from tests.factories import make_build, make_task

pytestmark = pytest.mark.django_db


def test_the_example_plan_reads_without_a_problem():
    assert parse(demo.PLAN).problems == ()


def test_the_demo_shop_has_a_plan_that_shows_every_standing(owner):
    demo_shop.load(owner=owner)
    plan = queries.plan(current())
    assert len(plan.rows) >= 40
    assert {row.state for row in plan.rows.values()} == {"started", "ready", "held", "done"}
    leads = {said.lead for row in plan.rows.values() for said in row.says}
    assert leads == {"after", "short of", "not found yet", "decide", "away at", "on hold"}
    assert TaskPart.objects.exclude(part=None).count() >= 10


def test_the_demo_goes_away_whole(owner):
    demo_shop.load(owner=owner)
    demo_shop.remove()
    left = [model.objects.count() for model in (Build, Task, Decision, Change, Location)]
    assert left == [0, 0, 0, 0, 0]


def test_a_build_of_the_shop_s_own_stays_when_the_demo_goes(owner):
    demo_shop.load(owner=owner)
    mine = make_build("HB-65")
    task = make_task(build=mine, uses={Part.objects.get(name="Radiator"): 1})
    demo_shop.remove()
    assert list(Build.objects.all()) == [mine]
    assert list(Task.objects.all()) == [task]
    assert [(line.part, line.words) for line in task.parts.all()] == [(None, "Radiator")]

import pytest

from buildlog.builds.models import Build
from buildlog.builds.queries import current
from buildlog.decisions.models import Decision
from buildlog.tasks import demo, queries
from buildlog.tasks.calc.typed import parse
from buildlog.tasks.models import Task
from inventory.places.models import Location

pytestmark = pytest.mark.django_db


def test_the_example_plan_reads_without_a_problem():
    assert parse(demo.PLAN).problems == ()


def test_the_example_shows_every_standing_and_comes_once(owner):
    demo.load(owner)
    demo.load(owner)
    plan = queries.plan(current())
    assert len(plan.rows) >= 40
    assert {row.state for row in plan.rows.values()} == {"started", "ready", "held", "done"}
    leads = {said.lead for row in plan.rows.values() for said in row.says}
    assert leads == {"after", "not found yet", "decide", "away at", "on hold"}


def test_the_example_goes_away_whole(owner):
    demo.load(owner)
    demo.remove()
    assert not Build.objects.exists()
    assert not Task.objects.exists()
    assert not Decision.objects.exists()
    assert not Location.objects.exists()

"""What makes the shop quick, held without a clock; how quick it is says `python3 manage.py bench`."""

import json
import os
import subprocess
import sys
import uuid

import pytest
from django.conf import settings
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory.parts.models import Holding
from inventory.places.models import Location
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("inside", [Location.objects.under, Holding.objects.inside])
def test_looking_inside_a_place_reads_no_other_place(inside):
    plan = inside(make_place("container", short="C1")).explain()
    # sqlite.org/eqp.html: SEARCH visits a subset of the rows, SCAN all of them.
    assert "SEARCH inventory_location" in plan
    assert "SCAN" not in plan


def test_inside_a_place_is_what_its_path_begins_and_nothing_beside_it():
    near = [make_place("container", short=f"C{number}") for number in range(12)]
    below = [make_place("bin", short="1", parent=place) for place in near]
    for place, child in zip(near, below, strict=True):
        assert set(Location.objects.under(place)) == {place, child}


@pytest.mark.django_db(transaction=True)
def test_putting_something_in_waits_for_the_disk_once(as_owner):
    place, part = make_place(short="C1"), make_part("Hatch hinge")
    address = f"/move/put-in/?place={place.pk}&part={part.pk}"
    with CaptureQueriesContext(connection) as seen:
        assert as_owner.post(address, {"uid": str(uuid.uuid4()), "quantity": "2"}).status_code == 303
    assert [one["sql"] for one in seen].count("COMMIT") == 1
    with CaptureQueriesContext(connection) as seen:
        page = as_owner.get(place.get_absolute_url())
    assert "Put 2 × Hatch hinge into C1" in page.content.decode()
    assert "COMMIT" not in [one["sql"] for one in seen]


def test_the_bench_prints_each_row_with_its_floor_and_its_goal(tmp_path):
    command = [sys.executable, "manage.py", "bench", "--json", "--sizes", "20", "--only", "put in"]
    environment = {**os.environ, "DATA_DIR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "buildlog.config.settings"}
    ran = subprocess.run(command, cwd=settings.BASE_DIR, env=environment, capture_output=True, text=True, check=True)
    (row,) = json.loads(ran.stdout)
    assert set(row) == {"name", "ours", "floor", "ratio", "goal"}
    assert row["ours"] > 0
    assert row["floor"] > 0

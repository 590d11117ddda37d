"""PDF papers: what no row owns goes, what was taken off goes after a month, and a lost file is noticed."""

import os
import uuid
from datetime import timedelta

import pytest
from django.utils import timezone

from buildlog.keeping import doctor
from inventory.donors import actions, sweep
from inventory.donors.models import Paper
from inventory.photos.files import write
from tests.site.addresses import PDF, picture

from .made import make_donor

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _media(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def add(donor, data=PDF) -> Paper:
    return actions.add_paper(donor=donor, data=data, name="bill.pdf", what="Bill", uid=uuid.uuid4(), by=None)


def old(path):
    os.utime(path, (0, 0))
    return path


def test_the_sweep_takes_stray_files_and_papers_long_taken_off_and_nothing_else():
    donor = make_donor()
    kept, gone, lately, photo = add(donor), add(donor), add(donor), add(donor, picture())
    now = timezone.now()
    Paper.objects.filter(pk=gone.pk).update(removed_at=now - timedelta(days=31))
    Paper.objects.filter(pk=lately.pk).update(removed_at=now - timedelta(days=29))
    stray, half, young = (actions.paper_path(uuid.uuid4()) for _ in range(3))
    half = half.with_suffix(".1a2b3c4d.part")
    for path in (stray, half, young):
        write(path, PDF)
    for path in (stray, half, actions.paper_path(kept.pk)):
        old(path)
    assert doctor.sweep_files() == 3
    assert [path.exists() for path in (stray, half, young)] == [False, False, True]
    assert set(Paper.objects.all()) == {kept, lately, photo}
    assert [actions.paper_path(paper.pk).exists() for paper in (kept, gone, lately)] == [True, False, True]


def test_a_paper_that_lost_its_file_is_told():
    paper = add(make_donor())
    assert sweep.state() == sweep.State([], [])
    actions.paper_path(paper.pk).unlink()
    assert sweep.state().missing == [paper]

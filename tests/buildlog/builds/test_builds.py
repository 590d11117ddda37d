import uuid

import pytest
from bs4 import BeautifulSoup
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError

from buildlog.builds import actions
from buildlog.builds.models import Area, Build
from buildlog.builds.queries import current
from buildlog.worklog.actions import start
from tests.factories import make_build, make_part, make_place, make_task
from tests.inventory.photos.hostile import image

pytestmark = pytest.mark.django_db


def test_a_build_has_a_vehicle_of_its_own_to_fit_parts_to(as_owner):
    as_owner.post("/builds/new/", {"code": "hb-64", "name": "Bakery van", "goal": "Bread by the road"})
    build = Build.objects.get()
    assert (build.code, build.vehicle.kind, build.vehicle.address, build.active) == ("HB-64", "vehicle", "HB-64", True)


def test_a_taken_code_is_refused_at_the_field(as_owner):
    make_build("HB-64")
    page = as_owner.post("/builds/new/", {"code": "hb-64", "name": "Another"})
    assert page.status_code == 422
    assert "Another build has this code." in page.text
    assert Build.objects.count() == 1


def test_a_code_that_is_a_place_already_is_refused_and_leaves_no_build(as_owner):
    make_place("bin", short="HB-64")
    page = as_owner.post("/builds/new/", {"code": "HB-64", "name": "Bakery van"})
    assert page.status_code == 422
    assert Build.objects.count() == 0


def test_only_one_build_is_worked_on_at_a_time(as_owner):
    first, second = make_build(), make_build()
    assert current() == first
    as_owner.post(f"/builds/{second.code}/work-on/")
    assert current() == second
    with pytest.raises(IntegrityError, match="active"):
        Build.objects.filter(pk=first.pk).update(active=True)


def test_areas_get_a_mark_that_no_other_has():
    build = make_build(areas=("Wiring", "Water", "Side hatch", "Water tank"))
    assert [area.mark for area in build.areas.all()] == ["W", "WA", "SH", "WT"]


def test_an_area_of_the_same_name_is_refused(as_owner):
    build = make_build(areas=("Floor",))
    page = as_owner.post(f"/builds/{build.code}/areas/", {"name": "floor"})
    assert page.status_code == 422
    assert "This build has an area of that name." in page.text
    with pytest.raises(ValidationError):
        actions.add_area(build=build, name="FLOOR")


def test_areas_move_up_and_down(as_owner):
    build = make_build(areas=("One", "Two", "Three"))
    last = build.areas.last()
    as_owner.post(f"/builds/{build.code}/areas/{last.pk}/shift/", {"way": "up"})
    assert [area.name for area in build.areas.all()] == ["One", "Three", "Two"]


def test_an_area_with_tasks_is_not_removed(as_owner):
    build = make_build(areas=("Floor",))
    area = build.areas.get()
    make_task(build=build, area=area)
    page = as_owner.post(f"/builds/{build.code}/areas/{area.pk}/remove/", follow=True)
    assert "Floor still has 1 task" in page.text
    assert Area.objects.count() == 1


def test_the_build_page_counts_what_is_done(as_guest):
    build = make_build(areas=("Floor",))
    make_task(build=build, area=build.areas.get())
    soup = BeautifulSoup(as_guest.get(f"/builds/{build.code}/").content, "html.parser")
    assert (
        soup.select_one(".titleblock").get_text(" ", strip=True)
        == f"Build {build.code} Is to be Bakery van Done 0 of 1"
    )


def links(page) -> dict[str, str]:
    return {a.get_text(strip=True): a["href"] for a in BeautifulSoup(page.content, "html.parser").select("main a")}


def test_a_picture_is_added_from_the_builds_own_page_and_leads_back_to_it(as_hand):
    build = make_build("HB-64")
    add = links(as_hand.get("/builds/HB-64/"))["Add its picture"]
    assert BeautifulSoup(as_hand.get(add).content, "html.parser").select_one("form")["data-next"] == "/builds/HB-64/"
    photo = SimpleUploadedFile("van.png", image(), "image/png")
    done = as_hand.post(add, {"uid": uuid.uuid4(), "photos": photo}, follow=True)
    assert done.redirect_chain[-1][0] == "/builds/HB-64/"
    shown = BeautifulSoup(done.content, "html.parser").select_one("img.cover")
    assert shown["src"] == build.vehicle.photos.get().large_url
    assert "Add its picture" not in done.text
    assert links(done)["Other picture"] == add


def test_a_build_made_by_mistake_is_removed_with_its_areas_after_asking(as_hand):
    kept, build = make_build("HB-64"), make_build("HB-46", areas=("Floor",))
    actions.make_active(build=build)
    remove = links(as_hand.get("/builds/HB-46/"))["Remove it"]
    assert "Remove HB-46 Bakery van?" in as_hand.get(remove).text
    assert Build.objects.count() == 2
    page = as_hand.post(remove, follow=True)
    assert "Removed HB-46 Bakery van." in page.text
    assert (Build.objects.get(), Area.objects.count(), current()) == (kept, 0, kept)
    build.vehicle.refresh_from_db()
    assert build.vehicle.retired_at
    assert as_hand.post("/builds/new/", {"code": "HB-46", "name": "Yard truck"}).status_code == 303


@pytest.mark.parametrize("holds", ["a task", "a night", "a part"])
def test_a_build_that_holds_anything_stays(as_hand, owner, holds):
    build = make_build("HB-64")
    if holds == "a task":
        make_task(build=build)
    elif holds == "a night":
        start(build=build, by=owner)
    else:
        make_part("Hinge", holds={build.vehicle: 1})
    assert "Remove it" not in as_hand.get("/builds/HB-64/").text
    page = as_hand.post("/builds/HB-64/remove/", follow=True)
    assert "stays: there is something in it (" in page.text
    assert Build.objects.get() == build

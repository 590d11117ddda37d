"""The plan, the task page and what is said of a task, as a person meets them."""

import uuid
from datetime import timedelta

import pytest
from bs4 import BeautifulSoup
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from buildlog.builds.actions import shift
from buildlog.tasks import actions, linking, queries
from buildlog.tasks.models import Change, Need, Task, TaskPart
from buildlog.tasks.words import until
from inventory.web import slots
from tests.factories import make_build, make_decision, make_part, make_place, make_task
from tests.inventory.photos.hostile import image

pytestmark = pytest.mark.django_db


def says(plan, task):
    return [(said.lead, said.text, said.url) for said in plan.rows[task.pk].says]


def state(task):
    return queries.plan(task.build).rows[task.pk].state


@pytest.fixture
def build():
    return make_build("HB-64", areas=("Side hatch", "Floor"))


def test_a_held_task_says_each_thing_that_holds_it_with_a_link(build):
    mill = make_place("site", name="The mill", away=True)
    bolt = make_part("M8×25 bolt", holds={make_place(): 5})
    colour = make_decision(build, "Which colour?")
    weld = make_task("Weld hinges", build=build)
    hang = make_task(
        "Hang the hatch", build=build, needs=[weld], decisions=[colour], uses={bolt: 8}, words=["Gas strut"], place=mill
    )
    plan = queries.plan(build)
    assert plan.rows[hang.pk].state == "held"
    assert says(plan, hang) == [
        ("after", "Weld hinges", reverse("buildlog:tasks_detail", args=[weld.pk])),
        ("short of", "3 × M8×25 bolt", reverse("inventory:parts_detail", args=[bolt.pk])),
        ("not found yet", "Gas strut", reverse("buildlog:tasks_detail", args=[hang.pk])),
        ("decide", "Which colour?", reverse("buildlog:decisions_detail", args=[colour.pk])),
        ("away at", "The mill", mill.get_absolute_url()),
    ]


def test_what_is_measured_off_is_short_in_its_unit(build):
    pipe = make_part("Brake pipe", unit="metres", holds={make_place(): 2})
    task = make_task(build=build, uses={pipe: "3.4"})
    assert says(queries.plan(build), task)[0][:2] == ("short of", "1.4 m of Brake pipe")


def test_parts_on_a_vehicle_or_away_are_not_on_hand(build):
    donor, coater, tub = make_place("vehicle"), make_place("site", away=True), make_place()
    seat = make_place("bin", parent=donor)
    hinge = make_part("Hinge", holds={donor: 1, seat: 1, coater: 1, tub: 1})
    task = make_task(build=build, uses={hinge: 2})
    assert [(said[0], said[1]) for said in says(queries.plan(build), task)] == [("short of", "1 × Hinge")]


def test_a_started_task_has_the_last_parts_and_the_store_says_how_many_are_spoken_for(build):
    bolt = make_part("Bolt", holds={make_place(): 6})
    first = make_task("First", build=build, uses={bolt: 4})
    second = make_task("Second", build=build, uses={bolt: 4})
    actions.start(task=second, by=None)
    plan = queries.plan(build)
    assert says(plan, second) == []
    assert [said[1] for said in says(plan, first)] == ["2 × Bolt"]
    assert slots.spoken_for([bolt.pk]) == {bolt.pk: 6}
    actions.finish(task=second, by=None)
    assert slots.spoken_for([bolt.pk]) == {bolt.pk: 4}


def test_the_parts_page_lists_the_tasks_that_want_it(as_owner, build):
    bolt = make_part("Bolt", holds={make_place(): 6})
    make_task("Hang the hatch", build=build, uses={bolt: 8})
    text = BeautifulSoup(as_owner.get(f"/parts/{bolt.pk}/").content, "html.parser").get_text(" ", strip=True)
    assert "6 spoken for" in text
    assert "Hang the hatch ✕ 2 short 6" in text


def test_finishing_says_at_once_what_can_go_on(as_hand, build):
    saw = make_task("Saw blocks", build=build)
    make_task("Mill blocks", build=build, needs=[saw])
    make_task("Hang", build=build, needs=[saw, make_task("Paint", build=build)])
    page = as_hand.post(f"/tasks/{saw.pk}/mark/finish/", follow=True)
    assert page.redirect_chain == [(f"/tasks/{saw.pk}/", 303)]
    soup = BeautifulSoup(page.content, "html.parser")
    assert soup.select_one(".flash p").get_text() == "Finished “Saw blocks”. Mill blocks can go on."
    assert [b.get_text() for b in soup.select(".freed b")] == ["Mill blocks"]


def test_what_waits_for_paint_is_ready_when_it_has_cured(build):
    paint = make_task("Paint", build=build, wait_hours=48)
    hang = make_task("Hang", build=build, needs=[paint])
    actions.finish(task=paint, by=None, at=timezone.now() - timedelta(hours=47))
    assert [said[0] for said in says(queries.plan(build), hang)] == ["wait until"]
    in_two_hours = queries.plan(build, now=timezone.now() + timedelta(hours=2))
    assert in_two_hours.rows[hang.pk].state == "ready"


def test_every_mark_can_be_undone_from_the_flash(as_hand, build):
    task = make_task("Weld", build=build)
    marks = [("start", "started"), ("finish", "done"), ("reopen", "ready"), ("drop", "dropped")]
    for verb, becomes in marks:
        before = state(task)
        page = as_hand.post(f"/tasks/{task.pk}/mark/{verb}/", follow=True)
        assert state(task) == becomes
        undo = BeautifulSoup(page.content, "html.parser").select(".flash form")[-1]
        as_hand.post(undo["action"])
        assert state(task) == before
        as_hand.post(f"/tasks/{task.pk}/mark/{verb}/")


def test_hold_wants_to_know_what_for_and_shows_it(as_hand, build):
    task = make_task("Set the timing", build=build)
    page = as_hand.post(f"/tasks/{task.pk}/mark/hold/", {"words": " "})
    assert page.status_code == 422
    as_hand.post(f"/tasks/{task.pk}/mark/hold/", {"words": "Light is lent out"})
    assert [said[:2] for said in says(queries.plan(build), task)] == [("on hold", "Light is lent out")]
    as_hand.post(f"/tasks/{task.pk}/mark/start/")
    assert state(task) == "started"
    assert Task.objects.get(pk=task.pk).on_hold == ""


@pytest.mark.parametrize("verb", ["start", "put-back", "hold"])
@pytest.mark.parametrize(("over", "word"), [("finish", "finished"), ("drop", "dropped")])
@pytest.mark.parametrize("way", ["/tasks/{}/mark/{}/", "/tonight/task/{}/{}/"])
def test_a_page_that_is_behind_does_not_open_a_task_again(as_hand, build, owner, way, over, word, verb):
    """The page that says it is over does, with its own button."""
    task = make_task("Weld", build=build)
    change = actions.VERBS[over][0](task=task, by=owner)
    page = as_hand.post(way.format(task.pk, verb), {"words": "Gas"})
    assert page.status_code == 422
    said = f"“Weld” was {word} by Olga on {until(change.at)}. To go on with it, reopen it on its own page."
    assert BeautifulSoup(page.content, "html.parser").select_one("#main .error").get_text() == said
    assert (state(task), Change.objects.count()) == ("done" if over == "finish" else "dropped", 1)
    as_hand.post(f"/tasks/{task.pk}/mark/reopen/")
    assert state(task) == "ready"


def test_reopening_twice_does_not_put_back_what_was_started_in_between(as_hand, build):
    task = make_task(build=build)
    for verb in ("drop", "reopen", "start", "reopen"):
        as_hand.post(f"/tasks/{task.pk}/mark/{verb}/")
    assert state(task) == "started"


def test_undo_does_not_wipe_out_what_was_done_since(build):
    task = make_task(build=build)
    started = actions.start(task=task, by=None)
    actions.finish(task=task, by=None)
    with pytest.raises(actions.CannotUndo, match="was changed again since"):
        actions.undo(change=started)
    assert state(task) == "done"


def test_a_second_arrival_of_a_change_changes_nothing(build):
    task, uid = make_task(build=build), uuid.uuid4()
    actions.finish(task=task, by=None, uid=uid)
    actions.reopen(task=task, by=None)
    actions.finish(task=task, by=None, uid=uid)
    assert state(task) == "ready"
    assert Change.objects.count() == 2


def test_a_need_is_picked_by_a_part_of_its_title(as_hand, build):
    saw = make_task("Saw hinge blocks", build=build)
    weld = make_task("Weld", build=build)
    as_hand.post(f"/tasks/{weld.pk}/needs/", {"need_text": "hinge"})
    assert list(weld.needs.values_list("need", flat=True)) == [saw.pk]
    as_hand.post(f"/tasks/{weld.pk}/needs/{saw.pk}/remove/")
    assert not weld.needs.exists()


def test_a_part_the_store_does_not_know_stays_words(as_hand, build):
    task = make_task(build=build)
    as_hand.post(f"/tasks/{task.pk}/parts/", {"part_text": "Gas strut", "part": "new:Gas strut", "quantity": "2"})
    line = task.parts.get()
    assert (line.part, line.words, line.quantity) == (None, "Gas strut", 2)
    assert state(task) == "held"
    for says, becomes in (("yes", "ready"), ("no", "held")):
        button = BeautifulSoup(as_hand.get(f"/tasks/{task.pk}/").content, "html.parser").select_one("[name=got]")
        assert button["value"] == says
        for _ in range(2):
            as_hand.post(f"/tasks/{task.pk}/parts/{line.pk}/got/", {"got": says})
            assert state(task) == becomes


def test_splitting_in_turn_keeps_what_comes_before_and_after(build):
    saw, weld = make_task("Saw", build=build), make_task("Weld", build=build)
    Need.objects.create(task=weld, need=saw)
    hang = make_task("Hang", build=build, needs=[weld])
    linking.split(task=weld, titles=["Tack", "Weld out", "Grind"], in_turn=True, by=None)
    assert set(Need.objects.values_list("task__title", "need__title")) == {
        ("Tack", "Saw"), ("Weld out", "Tack"), ("Grind", "Weld out"), ("Hang", "Tack"), ("Hang", "Weld out"),
        ("Hang", "Grind"),
    }  # fmt: skip
    assert [task.title for task in build.tasks.in_order()] == ["Saw", "Tack", "Weld out", "Grind", "Hang"]
    assert state(hang) == "held"


def test_joining_takes_over_needs_parts_and_those_who_wait(build):
    saw = make_task("Saw", build=build)
    bolt = make_part("Bolt")
    keep = make_task("Weld left", build=build, uses={bolt: 2})
    other = make_task("Weld right", build=build, needs=[saw], uses={bolt: 3}, words=["Shim"])
    hang = make_task("Hang", build=build, needs=[other])
    linking.join(keep=keep, other=other, by=None)
    assert set(Need.objects.values_list("task", "need")) == {(keep.pk, saw.pk), (hang.pk, keep.pk)}
    assert [(str(line), line.quantity) for line in keep.parts.all()] == [("Bolt", 5), ("Shim", 1)]
    other.refresh_from_db()
    assert (other.status, other.joined_into) == ("dropped", keep)


def test_joining_round_a_third_task_is_refused(build):
    saw = make_task("Saw", build=build)
    weld = make_task("Weld", build=build, needs=[saw])
    hang = make_task("Hang", build=build, needs=[weld])
    with pytest.raises(linking.Circle, match="“Weld”"):
        linking.join(keep=saw, other=hang, by=None)
    hang.refresh_from_db()
    assert hang.status == "open"


def test_up_and_down_reorder_within_an_area(as_hand, build):
    one, two, three = (make_task(title, build=build) for title in ("One", "Two", "Three"))
    as_hand.post(f"/tasks/{three.pk}/shift/", {"way": "up"})
    as_hand.post(f"/tasks/{one.pk}/shift/", {"way": "up"})
    assert [task.title for task in build.tasks.in_order()] == ["One", "Three", "Two"]
    shift(row=Task.objects.get(pk=one.pk), rows=build.tasks.in_order(), by=1)
    assert [task.title for task in build.tasks.in_order()] == ["Three", "One", "Two"]


def test_the_plan_puts_ready_before_held_and_folds_finished_away(as_guest, build):
    area = build.areas.get(name="Floor")
    saw = make_task("Saw", build=build, area=area)
    make_task("Hang", build=build, area=area, needs=[saw])
    actions.finish(task=make_task("Strip", build=build, area=area), by=None)
    make_task("Drill", build=build, area=area)
    actions.start(task=make_task("Grind", build=build, area=area), by=None)
    soup = BeautifulSoup(as_guest.get("/plan/").content, "html.parser")
    assert [row.get_text() for row in soup.select("main section > ul b")] == ["Grind", "Saw", "Drill", "Hang"]
    assert [row.get_text() for row in soup.select("main details b")] == ["Strip"]
    assert [tag.get_text() for tag in soup.select("main section > ul .tag")] == [
        "● Started", "▲ Ready", "▲ Ready", "✕ Held",
    ]  # fmt: skip


def test_a_guest_looks_and_changes_nothing(as_guest, build):
    assert "you can look at everything, but change nothing" in as_guest.get(f"/plan/add/?build={build.code}").text
    task = make_task(build=build)
    assert as_guest.post(f"/tasks/{task.pk}/mark/finish/").status_code == 403
    assert "Start" not in as_guest.get(f"/tasks/{task.pk}/").text
    assert state(task) == "ready"


def test_a_promise_shows_on_both_tasks_and_is_ticked_on_either(as_hand, as_owner, build):
    frame, guard = make_task("Weld frame", build=build), make_task("Guard", build=build)
    as_hand.post(f"/tasks/{frame.pk}/promises/", {"words": "Four holes", "later": guard.pk})
    promise = frame.provisions.get()
    assert "Four holes" in as_hand.get(f"/tasks/{frame.pk}/").text
    assert "Four holes" in as_hand.get(f"/tasks/{guard.pk}/").text
    page = as_hand.post(f"/tasks/promises/{promise.pk}/keep/", {"next": f"/tasks/{guard.pk}/"})
    assert page.url == f"/tasks/{guard.pk}/"
    as_owner.post(f"/tasks/promises/{promise.pk}/keep/", {"kept": "yes"})  # is ticked already
    promise.refresh_from_db()
    assert str(promise.kept_by) == "Harald"
    for _ in range(2):
        button = BeautifulSoup(as_hand.get(f"/tasks/{guard.pk}/").content, "html.parser").select_one("[name=kept]")
        assert button["value"] == ("no" if promise.kept_at else "yes")
        as_hand.post(f"/tasks/promises/{promise.pk}/keep/", {"kept": "no"})
        promise.refresh_from_db()
        assert promise.kept_at is None


def test_finishing_with_a_promise_nobody_ticked_says_so_and_leads_to_the_tick(as_hand, build):
    frame, guard = make_task("Weld frame", build=build), make_task("Guard", build=build)
    frame.provisions.create(words="Four holes", later=guard)
    for address in (f"/tasks/{frame.pk}/mark/finish/", f"/tonight/task/{frame.pk}/finish/"):
        page = as_hand.post(address, follow=True)
        flash = BeautifulSoup(page.content, "html.parser").select_one(".flash")
        assert "Promised, and not ticked yet: “Four holes” for “Guard”." in flash.get_text()
        assert flash.select_one("a")["href"] == f"/tasks/{frame.pk}/#promises"
        assert state(frame) == "done"
        actions.reopen(task=frame, by=None)
    assert BeautifulSoup(as_hand.get(f"/tasks/{frame.pk}/").content, "html.parser").select_one("#promises [name=kept]")
    frame.provisions.update(kept_at=timezone.now())
    assert "not ticked" not in as_hand.post(f"/tasks/{frame.pk}/mark/finish/", follow=True).text


def test_a_task_with_cautions_opens_on_them_with_their_source(as_hand, build):
    task = make_task("Weld sill", build=build, cautions=["tank", "dust"])
    soup = BeautifulSoup(as_hand.get(f"/tasks/{task.pk}/").content, "html.parser")
    assert [one.get_text(strip=True) for one in soup.select(".caution .signal")] == ["DANGER", "WARNING"]
    assert "29 CFR 1910.252(a)(3); AWS F4.1" in soup.select_one(".caution").get_text()
    assert "Follow local codes, and a licensed trade where one is required." in soup.get_text()


@pytest.mark.parametrize("count", [1, 12])
@pytest.mark.parametrize(("address", "most"), [("/plan/", 12), ("/tasks/{}/", 14)])
def test_the_number_of_queries_does_not_grow_with_the_plan(
    count, address, most, as_hand, build, django_assert_num_queries
):
    area, tub = build.areas.first(), make_place()
    for number in range(count):
        need = make_task(build=build, area=area)
        task = make_task(
            build=build, area=area, needs=[need], decisions=[make_decision(build)], words=["Strut"],
            uses={make_part(holds={tub: 1}): 2}, place=make_place("site", away=True, name=f"Mill {number}"),
        )  # fmt: skip
        need.provisions.create(later=task, words="Holes")
    path = address.format(task.pk)
    as_hand.get(path)
    with django_assert_num_queries(most):
        as_hand.get(path)


@pytest.mark.parametrize(
    ("name", "make"),
    [
        ("task_has_a_title", lambda task: Task.objects.filter(pk=task.pk).update(title="")),
        ("task_status_known", lambda task: Task.objects.filter(pk=task.pk).update(status="resting")),
        ("task_finished_has_a_time", lambda task: Task.objects.filter(pk=task.pk).update(status="done")),
        ("task_hours_rise", lambda task: Task.objects.filter(pk=task.pk).update(hours_low=3, hours_high=2)),
        ("need_is_another_task", lambda task: Need.objects.create(task=task, need=task)),
        ("provision_is_for_another_task", lambda task: task.provisions.create(later=task, words="Holes")),
        ("task_part_says_what", lambda task: TaskPart.objects.create(task=task)),
        ("task_part_quantity_positive", lambda task: TaskPart.objects.create(task=task, words="Bolt", quantity=0)),
    ],
)
def test_the_database_itself_refuses(name, make, build):
    task = make_task(build=build)
    with pytest.raises(IntegrityError, match=name), transaction.atomic():
        make(task)


def test_an_area_is_drawn_with_what_it_needs_from_other_areas(as_guest, build):
    area = build.areas.get(name="Side hatch")
    floor = make_task("Lay the floor", build=build, area=build.areas.get(name="Floor"))
    hang = make_task("Hang the hatch", build=build, area=area, needs=[floor], hours_likely=3)
    make_task("Wax the seal", build=build, area=area)
    soup = BeautifulSoup(as_guest.get("/plan/", {"area": area.pk}).content, "html.parser")
    cards = [(a["href"], [text.get_text() for text in a.select("text")]) for a in soup.select("svg.net a")]
    assert cards == [
        (f"/tasks/{floor.pk}/", ["Lay the floor", "▲ Ready", "F"]),
        (f"/tasks/{hang.pk}/", ["Hang the hatch", "✕ Held: 1 task"]),
    ]
    assert len(soup.select("svg.net path.arrow")) == 1
    assert soup.select_one("svg.net") is not None
    assert BeautifulSoup(as_guest.get("/plan/").content, "html.parser").select_one("svg.net") is None


def test_a_task_has_its_photos(as_hand, build):
    task = make_task(build=build)
    photo = SimpleUploadedFile("a.jpg", image(), "image/jpeg")
    answer = as_hand.post(f"/tasks/{task.pk}/photos/", {"uid": str(uuid.uuid4()), "photos": photo}, follow=True)
    assert "1 photo added." in answer.text
    kept = task.photos.get()
    assert kept.small_url in answer.text
    as_hand.post(f"/photos/{kept.pk}/delete/")
    assert kept.small_url not in as_hand.get(f"/tasks/{task.pk}/").text

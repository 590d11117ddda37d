"""What happens to a part is a move in the ledger and a line in the log: both or neither."""

import uuid

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse
from django.utils import timezone

from buildlog.tasks.models import TaskPart
from buildlog.worklog import actions_parts, picks
from buildlog.worklog.models import Entry
from inventory.parts import audit
from inventory.parts.actions import take_out
from inventory.parts.models import Batch, Holding, Move, Part
from inventory.parts.quantity import exact
from inventory.parts.queries import HELD
from tests.factories import make_build, make_part, make_place, make_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(owner):
    class Shop:
        build = make_build("HB-64")
        drawer = make_place("drawer", short="B3")
        bench = make_place("bench", short="W1", name="Workbench")
        bolt = make_part("M8×25 hex bolt", holds={drawer: 15})

        def holding(self, place):
            row = Holding.objects.filter(part=self.bolt, location=place).first()
            return row.quantity if row else 0

    return Shop()


def send(client, shop, *, value=None, place=None, **fields):
    row = Holding.objects.filter(part=shop.bolt, location=place or shop.drawer).first()
    form = {"uid": str(uuid.uuid4()), "kind": "part", "text": "", "quantity": "6", "happened": "took"}
    form["part"] = value or f"{HELD}{row.pk}"
    return client.post("/tonight/log/", form | fields)


def test_taking_bolts_moves_them_to_the_bench_and_says_what_is_left(as_owner, shop):
    assert send(as_owner, shop).status_code == 303
    entry = Entry.objects.get()
    assert entry.says == "Took 6 × M8×25 hex bolt from B3. 9 left."
    assert (shop.holding(shop.drawer), shop.holding(shop.bench)) == (9, 6)
    assert entry.batch.moves.get().by == entry.by
    assert audit.differences() == []


def test_sending_it_twice_takes_them_once(as_owner, shop):
    uid = str(uuid.uuid4())
    row = Holding.objects.get(part=shop.bolt)
    for _ in range(2):
        assert send(as_owner, shop, value=f"{HELD}{row.pk}", uid=uid).status_code == 303
    assert shop.holding(shop.drawer) == 9
    assert Entry.objects.count() == 1


@pytest.mark.parametrize(
    ("happened", "drawer", "vehicle", "reason"),
    [("fitted", 9, 6, "fitted"), ("used", 9, 0, "used"), ("broken", 9, 0, "scrapped")],
)
def test_each_word_is_its_own_move(as_owner, shop, happened, drawer, vehicle, reason):
    send(as_owner, shop, happened=happened)
    assert shop.holding(shop.drawer) == drawer
    assert shop.holding(shop.build.vehicle) == vehicle
    assert Move.objects.order_by("-pk").first().reason == reason
    assert Entry.objects.get().says.endswith("9 left.")


def test_put_back_goes_to_where_it_came_from(as_owner, shop):
    send(as_owner, shop)
    assert send(as_owner, shop, place=shop.bench, happened="back", quantity="2").status_code == 303
    assert (shop.holding(shop.drawer), shop.holding(shop.bench)) == (11, 4)
    assert Entry.objects.latest("pk").says == "Put back 2 × M8×25 hex bolt in B3. 4 left."


def test_what_was_made_is_new_and_lies_on_the_bench(as_owner, shop):
    assert send(as_owner, shop, value="new:Hinge block", happened="made", quantity="4").status_code == 303
    part = Part.objects.get(name="Hinge block")
    assert Holding.objects.get(part=part).location == shop.bench
    assert Entry.objects.get().says == "Made 4 × Hinge block in W1."


def test_more_than_there_are_is_said_and_neither_moved_nor_logged(as_owner, shop):
    answer = send(as_owner, shop, quantity="16")
    assert answer.status_code == 422
    assert "There are only 15 of “M8×25 hex bolt” at B3." in answer.text
    assert shop.holding(shop.drawer) == 15
    assert not Entry.objects.exists()


def test_a_part_nobody_has_any_of_can_not_be_taken_and_leaves_no_trace(as_owner, shop):
    answer = send(as_owner, shop, value="new:Unheard-of")
    assert answer.status_code == 422
    assert "There is no “Unheard-of” anywhere." in answer.text
    assert not Part.objects.filter(name="Unheard-of").exists()


def test_without_the_line_there_is_no_move(owner, shop, monkeypatch):
    def broken(**_):
        raise RuntimeError("the disk is full")

    monkeypatch.setattr(actions_parts.actions, "log", broken)
    before = Batch.objects.count()
    with pytest.raises(RuntimeError):
        actions_parts.log_part(
            build=shop.build, by=owner, part=shop.bolt, quantity=6, happened="took", source=shop.drawer
        )
    assert Batch.objects.count() == before
    assert shop.holding(shop.drawer) == 15


def test_what_is_fitted_for_a_task_is_no_longer_spoken_for_and_undo_gives_it_back(as_owner, shop):
    task = make_task("Hang the hatch", build=shop.build, uses={shop.bolt: 12})
    send(as_owner, shop, happened="fitted", task=task.pk)
    line = TaskPart.objects.get()
    assert (line.used, line.still_wanted) == (6, 6)
    entry = Entry.objects.get()
    assert as_owner.post(f"/log/{entry.pk}/take-back/").status_code == 303
    line.refresh_from_db()
    assert line.used == 0
    assert shop.holding(shop.drawer) == 15
    assert "(undone)" in as_owner.get("/tonight/").text
    assert audit.differences() == []


def test_undone_from_what_was_moved_lately_it_is_given_back_to_the_task_too_and_once(as_owner, shop):
    task = make_task("Hang the hatch", build=shop.build, uses={shop.bolt: 12})
    send(as_owner, shop, happened="used", task=task.pk)
    entry = Entry.objects.get()
    undo = reverse("inventory:parts_undo", args=[entry.batch_id])
    assert undo in as_owner.get("/move/lately/").text
    for _ in range(2):
        as_owner.post(undo)
    as_owner.post(f"/log/{entry.pk}/take-back/")
    line = TaskPart.objects.get()
    assert (line.used, line.still_wanted) == (0, 12)
    assert shop.holding(shop.drawer) == 15
    assert "(undone)" in as_owner.get("/tonight/").text


def test_a_scanned_label_comes_back_to_the_box_with_its_part_picked(as_owner, shop):
    from inventory.labels.actions import labels_for

    code = labels_for(things=[shop.bolt], by=None)[0].code
    assert "The page you came from" in as_owner.get("/scan/?back=/tonight/").text
    answer = as_owner.get(f"/scan/?code={code}", follow=True)
    assert answer.redirect_chain[-1][0] == f"/tonight/?scanned={code}"
    box = BeautifulSoup(answer.content, "html.parser").select_one("form.logbox")
    assert box.select_one("[name=kind][checked]")["value"] == "part"
    holding = Holding.objects.get(part=shop.bolt)
    assert box.select_one("[name=part][checked]")["value"] == f"{HELD}{holding.pk}"
    # and the next label leads to its own thing again
    assert as_owner.get(f"/scan/?code={code}", follow=True).redirect_chain[-1][0] == shop.bolt.get_absolute_url()


def test_a_scanned_drawer_offers_what_is_in_it(as_owner, shop):
    from inventory.labels.actions import labels_for

    make_part("Washer", holds={shop.drawer: 30})
    code = labels_for(things=[shop.drawer], by=None)[0].code
    page = as_owner.get(f"/tonight/?scanned={code}").text
    assert "15 there" in page
    assert "30 there" in page


def test_an_address_that_was_typed_comes_back_too(as_owner, shop):
    as_owner.get("/scan/?back=/tonight/")
    answer = as_owner.get("/scan/?code=b3", follow=True)
    assert answer.redirect_chain[-1][0] == "/tonight/?scanned=B3"
    assert "15 there" in answer.text


@pytest.mark.parametrize("back", ["//evil.example/", "https://evil.example/", "javascript:alert(1)", "/\\evil.example"])
def test_scanning_comes_back_to_this_site_only(as_owner, shop, back):
    from inventory.labels.actions import labels_for

    code = labels_for(things=[shop.bolt], by=None)[0].code
    as_owner.get("/scan/", {"back": back})
    assert as_owner.get(f"/scan/?code={code}", follow=True).redirect_chain[-1][0] == shop.bolt.get_absolute_url()


def test_it_can_not_be_taken_back_when_the_parts_have_gone_on(as_owner, shop):
    send(as_owner, shop)
    entry = Entry.objects.get()
    send(as_owner, shop, place=shop.bench, happened="used")
    answer = as_owner.post(f"/log/{entry.pk}/take-back/", follow=True)
    assert "can’t be undone any more" in answer.text
    assert shop.holding(shop.drawer) == 9


def test_typing_finds_it_by_name_place_and_label_code(as_owner, shop):
    from inventory.labels.actions import labels_for

    code = labels_for(things=[shop.drawer], by=None)[0].code
    for typed in ("m8×25", "b3", code):
        text = as_owner.get("/pick/log-part/", {"name": "part", "part_text": typed}).text
        assert "15 there" in text, typed
    assert as_owner.get("/pick/log-part/", {"name": "part", "part_text": ""}).text.strip() == ""


def test_the_first_choices_are_what_one_handled_last_but_not_what_was_sent_away(owner, shop):
    send_to, kept = make_place("site", name="Coater", away=True), make_part("Gas strut", holds={shop.bench: 2})
    take_out(part=shop.bolt, quantity=exact(3), source=shop.drawer, target=shop.bench, by=owner)
    take_out(part=kept, quantity=exact(2), source=shop.bench, target=send_to, by=owner)
    assert [(one.label, one.address) for one in picks.lately_handled(owner)] == [
        ("M8×25 hex bolt", str(shop.bench)), ("M8×25 hex bolt", str(shop.drawer)),
    ]  # fmt: skip


def test_what_was_refused_has_its_part_and_its_list_again(as_owner, shop):
    row = Holding.objects.get(part=shop.bolt)
    for typed in ("hex bolt", ""):  # by its name, or out of what was handled last
        page = BeautifulSoup(send(as_owner, shop, quantity="16", part_text=typed).content, "html.parser")
        assert page.select_one(f"[name=part][value='{HELD}{row.pk}']").has_attr("checked"), typed


def test_what_was_made_anew_is_of_our_own_making_and_what_was_found_is_not(as_owner, shop):
    send(as_owner, shop, value="new:Hinge block", happened="made")
    assert Part.objects.get(name="Hinge block").origin == "made"


def picks_for(client, typed):
    return BeautifulSoup(client.get("/pick/log-part/", {"name": "part", "part_text": typed}).content, "html.parser")


def test_nothing_is_ticked_where_several_may_be_meant_and_how_many_more_is_said(as_owner, shop):
    page = picks_for(as_owner, "M8×25")
    assert page.select_one("input[checked]")["value"].startswith(HELD)  # the only one
    for size in range(10):
        make_part(f"M8×{30 + size} hex bolt", holds={shop.drawer: 4})
    page = picks_for(as_owner, "hex bolt")
    assert not page.select("input[checked]")
    assert len(page.select(f"input[value^='{HELD}']")) == picks.MOST
    assert "3 more: type on." in page.get_text()
    page = picks_for(as_owner, "M8×25 hex bolt")  # called just so, by one of many
    assert page.select_one("input[checked]")["value"] == f"{HELD}{Holding.objects.get(part=shop.bolt).pk}"


def test_a_refused_line_offers_the_tasks_that_are_not_over_and_the_one_that_was_chosen(as_owner, shop):
    done = make_task("Weld", build=shop.build, status="done", finished_at=timezone.now())
    make_task("Hang", build=shop.build)
    make_task("Paint", build=shop.build, status="dropped", finished_at=timezone.now())
    make_task("Shim", build=shop.build, status="started", started_at=timezone.now())

    def offered(task):
        page = BeautifulSoup(send(as_owner, shop, quantity="16", task=task).content, "html.parser")
        return [option.get_text() for option in page.select("[name=task] option")]

    assert offered("") == ["No task", "● Shim", "Hang"]
    assert offered(done.pk) == ["No task", "● Shim", "Hang", "✓ Weld"]


def test_a_struck_part_line_says_that_the_move_stands_and_undoes_it_in_one_tap(as_owner, shop):
    send(as_owner, shop)
    entry = Entry.objects.get()
    page = as_owner.post(f"/log/{entry.pk}/strike/", follow=True)
    assert "What it did stands: Took 6 × M8×25 hex bolt from B3." in page.text
    form = BeautifulSoup(page.content, "html.parser").select_one(f".bar-note form[action='/log/{entry.pk}/take-back/']")
    assert form.button.get_text() == "Undo that too"
    again = as_owner.post(form["action"], follow=True)
    assert shop.holding(shop.drawer) == 15
    assert "What it did stands" not in as_owner.get(f"/log/{entry.pk}/").text
    assert again.status_code == 200


def test_what_is_found_broken_is_scrap_or_waits_to_be_repaired_as_the_person_says(as_owner, shop):
    send(as_owner, shop, happened="broken", quantity="1")
    assert Entry.objects.get().says == "Found broken 1 × M8×25 hex bolt from B3. Scrapped. 14 left."
    send(as_owner, shop, happened="broken", quantity="1", broken="repair")
    assert Entry.objects.latest("pk").says == "Found broken 1 × M8×25 hex bolt at B3. It can be repaired."
    assert (shop.holding(shop.drawer), Part.objects.get(pk=shop.bolt.pk).condition) == (14, "good")
    one = make_part("Carburettor", holds={shop.drawer: 1})
    value = f"{HELD}{Holding.objects.get(part=one).pk}"
    send(as_owner, shop, value=value, happened="broken", quantity="1", broken="repair")
    assert Entry.objects.latest("pk").says.endswith("It can be repaired, and is marked so.")
    assert (Holding.objects.get(part=one).quantity, Part.objects.get(pk=one.pk).condition) == (1, "repairable")
    answer = send(as_owner, shop, value=value, happened="broken", quantity="2", broken="repair")
    assert "There is only 1 of “Carburettor”" in answer.text

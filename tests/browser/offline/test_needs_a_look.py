"""What the shop could not take: seen, corrected, let go by hand, never dropped."""

import re
from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from buildlog.offline.models import Op
from buildlog.tasks import actions as tasks
from buildlog.tasks.models import Task
from buildlog.worklog.models import Entry
from inventory.parts import audit
from inventory.parts.actions import put_in, take_out
from inventory.parts.models import Part
from inventory.parts.quantity import exact
from tests.factories import make_part

from ..conftest import axe
from .test_outbox import arrived, held, log


def needs_a_look(page, signal, shop):
    """The last bolt is taken here without signal, after somebody else has taken it in the shop."""
    page.goto(shop.take_path)
    signal.cut()
    page.get_by_text("B1", exact=True).first.click()
    page.get_by_role("button", name="Take out").click()
    expect(page.get_by_text("✓ Saved on this phone").first).to_be_visible()
    take_out(part=shop.bolt, quantity=exact(1), source=shop.bin, target=shop.bench, by=None)
    signal.mend()
    page.goto("/phone/waiting/")
    expect(page.get_by_role("heading", name="Needs a look")).to_be_visible()


def test_of_the_last_one_the_second_sees_who_and_when_and_takes_it_from_elsewhere(phone, signal, shop):
    needs_a_look(phone, signal, shop)
    expect(phone.get_by_text("Somebody took 1 on")).to_be_visible()
    expect(phone.get_by_text("Where to: Bench B1")).to_be_visible()
    assert axe(phone) == []
    phone.get_by_role("button", name="Take it from 15 (6 there)").click()
    expect(phone.get_by_role("heading", name="Nothing waits: all of it is in the shop")).to_be_visible()
    assert (held(shop.bolt, shop.other), held(shop.bolt, shop.bench)) == (5, 2)
    assert audit.differences() == []


def test_what_needs_a_look_is_corrected_on_its_own_form(phone, signal, shop):
    needs_a_look(phone, signal, shop)
    put_in(part=shop.bolt, quantity=exact(2), target=shop.bin, by=None)
    phone.get_by_role("link", name="Correct it").click()
    expect(phone.get_by_text("There is none of “Hatch bolt” at 14.")).to_be_visible()
    phone.get_by_label("How many").fill("2")
    phone.get_by_role("button", name="Take out").click()
    expect(phone.get_by_text("Took 2 × Hatch bolt from 14 to B1.")).to_be_visible()
    expect(phone.locator(".outbox-strip")).to_have_count(0)
    assert held(shop.bolt, shop.bench) == 3


def test_where_none_is_left_the_form_says_so_and_leads_to_where_it_is(phone, signal, shop):
    needs_a_look(phone, signal, shop)
    phone.get_by_role("link", name="Correct it").click()
    expect(phone.get_by_text("None there now.")).to_be_visible()
    expect(phone.get_by_text("Somebody took 1 on")).to_be_visible()
    assert axe(phone) == []
    phone.get_by_role("link", name="Where it is").click()
    expect(phone.get_by_role("heading", name="Hatch bolt")).to_be_visible()


def test_where_its_page_is_gone_it_is_said_what_it_was_and_where_it_is_kept(phone, signal, shop):
    needs_a_look(phone, signal, shop)
    Part.objects.update(retired_at=timezone.now())
    phone.get_by_role("link", name="Correct it").click()
    expect(phone.get_by_text("There is nothing at this address.")).to_be_visible()
    expect(phone.locator(".mending")).to_contain_text("Take 1 × Hatch bolt out of 14 to Bench B1")
    phone.get_by_role("link", name="See what is kept here").click()
    expect(phone.get_by_role("heading", name="Needs a look")).to_be_visible()


def test_what_needs_a_look_is_let_go_only_by_hand_and_comes_back(phone, signal, shop):
    needs_a_look(phone, signal, shop)
    phone.get_by_role("button", name="Let it go").click()
    expect(phone.get_by_role("heading", name="Needs a look")).to_have_count(0)
    phone.get_by_role("button", name="Undo").click()
    expect(phone.get_by_role("heading", name="Needs a look")).to_be_visible()


def ages(page) -> None:
    """What waits was done a day ago."""
    page.evaluate(
        """async () => { const [op] = await Gusset.outbox.mine(), db = await Gusset.db.open();
             const t = db.transaction('outbox', 'readwrite');
             t.objectStore('outbox').put({...op, made: op.made - 24 * 3600 * 1000}); await Gusset.db.done(t); }"""
    )


@pytest.mark.parametrize("anew", [True, False])
def test_what_is_corrected_was_done_when_the_person_says(phone, signal, shop, anew):
    """Another bolt than the one that was gone is taken now; a slip of the pen is put right as of then."""
    needs_a_look(phone, signal, shop)
    ages(phone)
    put_in(part=shop.bolt, quantity=exact(2), target=shop.bin, by=None)
    phone.goto("/phone/waiting/")
    phone.get_by_role("link", name="Correct it").click()
    expect(phone.get_by_label("Done just now, not")).to_be_checked()
    phone.get_by_label("Done just now, not").set_checked(anew)
    phone.get_by_role("button", name="Take out").click()
    arrived(1, phone)
    age = timezone.now() - Op.objects.get().made_at
    assert (age < timedelta(minutes=5)) == anew


def test_a_line_that_is_corrected_was_done_when_it_was(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    phone.goto("/tonight/")
    phone.get_by_role("radio", name="Measure").check()
    log(phone, "no size in this")
    expect(phone.get_by_text("1 thing saved on this phone")).to_be_visible()
    ages(phone)
    signal.mend()
    phone.goto("/phone/waiting/")
    expect(phone.get_by_text("What it is: Measure")).to_be_visible()
    expect(phone.get_by_text("What just happened? There is no size in this.")).to_be_visible()
    expect(phone.locator("[data-fields] li", has_text="What just happened? no size in this")).to_be_visible()
    phone.get_by_role("link", name="Correct it").click()
    expect(phone.get_by_label("Done just now, not")).not_to_be_checked()
    log(phone, "43 5/16")
    arrived(1, phone)
    assert timezone.now() - Entry.objects.get().at > timedelta(hours=23)


def test_what_is_taken_from_elsewhere_instead_is_taken_now(phone, signal, shop):
    needs_a_look(phone, signal, shop)
    ages(phone)
    phone.goto("/phone/waiting/")
    phone.get_by_role("button", name="Take it from 15 (6 there)").click()
    arrived(1, phone)
    assert timezone.now() - Op.objects.get().made_at < timedelta(minutes=5)


def test_of_things_moved_together_each_is_named(phone, signal, shop):
    nut = make_part("Nut", holds={shop.bin: 7})
    phone.goto(f"/move/several/?place={shop.bin.pk}")
    signal.cut()
    for name in ("Hatch bolt", "Nut"):
        phone.get_by_role("checkbox", name=name).check()
    phone.get_by_text("B1", exact=True).first.click()
    phone.get_by_role("button", name="Move the ticked").click()
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    take_out(part=nut, quantity=exact(7), source=shop.bin, target=shop.other, by=None)
    signal.mend()
    phone.goto("/phone/waiting/")
    expect(phone.get_by_role("heading", name="Needs a look")).to_be_visible()
    for line in ("Hatch bolt 1: ✓", "Nut 7: ✓"):
        expect(phone.get_by_text(line)).to_be_visible()


def held_here_and_finished_there(page, signal, shop):
    """On this phone a task is put on hold without signal; in the shop it is finished meanwhile."""
    tasks.start(task=shop.task, by=None, at=timezone.now() - timedelta(days=2))
    page.goto("/tonight/")
    signal.cut()
    page.goto("/tonight/")
    page.get_by_text("It waits for something").click()
    page.get_by_label("What it waits for").fill("The gas")
    page.get_by_role("button", name="Put on hold").click()
    expect(page.get_by_text("✕ Put on hold on this phone at")).to_be_visible()
    tasks.finish(
        task=shop.task, by=None, at=timezone.now() - timedelta(days=1)
    )  # else the mark came late, and that is all
    signal.mend()
    page.goto("/phone/waiting/")
    expect(page.get_by_text("was finished")).to_be_visible()


def test_a_mark_whose_task_went_on_is_looked_at_on_its_page(phone, signal, shop):
    held_here_and_finished_there(phone, signal, shop)
    phone.get_by_role("link", name="Correct it").click()
    expect(phone).to_have_url(re.compile(rf"/tasks/{shop.task.pk}/$"))
    note = phone.locator("#main > .mending")
    expect(note).to_contain_text("On hold: Cut the floor, The gas")
    expect(note).to_contain_text("was finished")
    assert phone.locator("form[data-replaces]").count() == 0  # no other form stands for it
    assert axe(phone) == []


def test_once_it_can_be_said_again_its_form_is_open_with_the_words(phone, signal, shop):
    held_here_and_finished_there(phone, signal, shop)
    tasks.reopen(task=shop.task, by=None)
    phone.get_by_role("link", name="Correct it").click()
    expect(phone.get_by_label("What it waits for")).to_have_value("The gas")
    phone.get_by_role("button", name="Put on hold").click()
    expect(phone.get_by_text("Put on hold “Cut the floor”.")).to_be_visible()
    expect(phone.locator(".outbox-strip")).to_have_count(0)
    assert Task.objects.get().on_hold == "The gas"

"""Done on the phone first, in the shop once: real Chromium, the real server, and a wire between that can be cut."""

import io
import json
from datetime import timedelta

import pytest
from django.utils import timezone
from PIL import Image
from playwright.sync_api import expect

from buildlog.offline import shell
from buildlog.offline.models import Op
from buildlog.tasks.models import Status
from buildlog.worklog.actions import start
from buildlog.worklog.models import Entry, WorkSession
from inventory.parts.models import Holding
from tests.factories import make_task

from ..conftest import axe, signed_in
from .conftest import kept, until


def held(part, place) -> int:
    return int(sum(row.quantity for row in Holding.objects.filter(part=part, location=place)))


def arrived(count: int, page) -> None:
    """Wait until the shop has taken so many."""
    for _ in range(100):
        if Op.objects.count() >= count:
            break
        page.wait_for_timeout(100)
    assert Op.objects.count() == count


def log(page, text: str, photo: bytes | None = None):
    page.get_by_label("What just happened?").fill(text)
    if photo:
        page.locator("#log input[type=file]").set_input_files(
            {"name": "b.jpg", "mimeType": "image/jpeg", "buffer": photo}
        )
    page.get_by_role("button", name="Save to log").click()


def picture(colour: str = "red", size=(2400, 1800)) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "JPEG")
    return out.getvalue()


def test_with_signal_a_form_goes_by_way_of_the_outbox_and_ends_where_it_did(phone, shop):
    phone.goto(shop.take_path)
    phone.get_by_text("B1", exact=True).first.click()
    phone.get_by_role("button", name="Take out").click()
    expect(phone.get_by_text("Took 1 × Hatch bolt from 14 to B1.")).to_be_visible()
    expect(phone.get_by_role("button", name="Undo")).to_be_visible()
    assert Op.objects.count() == 1
    assert held(shop.bolt, shop.bench) == 1


def test_without_signal_a_line_with_a_photo_is_saved_here_and_arrives_once(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    phone.goto("/tonight/")
    log(phone, "Cut the floor out", picture())
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    expect(phone.get_by_text("1 thing saved on this phone, not in the shop yet")).to_be_visible()
    expect(phone.locator("#waiting-lines").get_by_text("Note: Cut the floor out")).to_be_visible()
    assert axe(phone) == []
    phone.goto("/tonight/")  # a page that is opened anew from what is kept has an empty form
    log(phone, "And the sill")
    expect(phone.get_by_text("2 things saved on this phone")).to_be_visible()
    assert Entry.objects.count() == 0
    signal.mend()
    phone.goto("/tonight/")
    arrived(2, phone)
    first, second = Entry.objects.order_by("at")
    assert (first.text, second.text) == ("Cut the floor out", "And the sill")
    assert first.photos.get().width == 1600
    expect(phone.locator(".outbox-strip")).to_have_count(0)
    assert WorkSession.objects.count() == 1


def test_a_line_that_waits_is_called_by_what_was_asked_for_its_kind(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    phone.get_by_role("radio", name="Part", exact=True).check()
    phone.locator("#log [name=part_text]").fill("Hatch bolt")
    phone.get_by_role("radio", name="Used up").check()
    phone.locator("#log [name=quantity]").fill("3")
    phone.get_by_role("radio", name="Note", exact=True).check()
    log(phone, "Swept")
    lines = phone.locator("#waiting-lines b")
    expect(lines).to_have_text(["Note: Swept"])
    phone.get_by_role("radio", name="Part", exact=True).check()
    phone.locator("#log [name=part_text]").fill("Hatch bolt")
    phone.get_by_role("radio", name="Used up").check()
    phone.locator("#log [name=quantity]").fill("3")
    log(phone, "for the hinge")
    expect(lines).to_have_text(["Part: Used up 3 × Hatch bolt, for the hinge", "Note: Swept"])


def test_photos_are_made_smaller_before_they_wait(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    log(phone, "Look", picture(size=(4000, 3000)))
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    size = phone.evaluate(
        """async () => { const [op] = await Gusset.outbox.mine();
             const one = await Gusset.outbox.photo(op.photos[0].uid);
             const bitmap = await createImageBitmap(new Blob([one.bytes]));
             return [one.bytes instanceof ArrayBuffer, Math.max(bitmap.width, bitmap.height)]; }"""
    )
    assert size == [True, 2048]


def test_it_survives_a_closed_page_and_a_shop_that_is_away(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    log(phone, "Cut it")
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    page = phone.context.new_page()
    phone.close()
    page.goto("/phone/waiting/")
    expect(page.get_by_text("Note: Cut it")).to_be_visible()
    signal.mend()
    page.get_by_role("button", name="Send now").click()
    arrived(1, page)
    expect(page.get_by_role("heading", name="Nothing waits: all of it is in the shop")).to_be_visible()
    expect(page.get_by_role("heading", name="In the shop, lately from here")).to_be_visible()


def test_what_is_started_and_finished_without_signal_is_so_in_the_shop(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    phone.goto("/tonight/")
    phone.get_by_role("button", name="Start the session").click()
    expect(phone.get_by_text("Start the session. Not in the shop yet")).to_be_visible()
    phone.get_by_role("button", name="Start Cut the floor").click()
    expect(phone.get_by_text("2 things saved on this phone")).to_be_visible()
    signal.mend()
    phone.goto("/tonight/")
    arrived(2, phone)
    shop.task.refresh_from_db()
    assert shop.task.status == Status.STARTED
    assert WorkSession.objects.get().is_running


def test_a_session_started_without_signal_is_stopped_there_too_and_arrives_in_order(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    phone.goto("/tonight/")
    expect(phone.get_by_role("button", name="Stop for the night")).to_have_count(0)
    phone.get_by_role("button", name="Start the session").click()
    expect(phone.get_by_text("● Started on this phone at")).to_be_visible()
    expect(phone.get_by_role("button", name="Start the session")).to_have_count(0)
    log(phone, "Cut it")
    expect(phone.get_by_text("2 things saved on this phone")).to_be_visible()
    phone.goto("/tonight/")
    phone.get_by_label("What first, next time?").fill("Grind it")
    assert axe(phone) == []
    phone.get_by_role("button", name="Stop for the night").click()
    expect(phone.get_by_text("Stop for the night. Not in the shop yet")).to_be_visible()
    expect(phone.get_by_role("button", name="Stop for the night")).to_have_count(0)
    expect(phone.get_by_role("button", name="Start the session")).to_be_visible()
    signal.mend()
    phone.goto("/phone/waiting/")
    arrived(3, phone)
    session = WorkSession.objects.get()
    assert (session.is_running, session.stopping_point, session.done) == (False, "Grind it", "Cut it.")
    assert session.started_at <= Entry.objects.get().at <= session.ended_at


def test_a_session_the_shop_knows_is_stopped_without_signal_at_the_moment_of_the_tap(phone, signal, shop, owner):
    session = start(build=shop.build, by=owner, at=timezone.now() - timedelta(hours=2))
    phone.goto("/tonight/")
    phone.evaluate("() => Gusset.outbox.keepForTheBench()")
    path = f"/sessions/{session.pk}/stop/"
    until(phone, "path => caches.match(path, {ignoreVary: true}).then(Boolean)", path)
    signal.cut()
    phone.get_by_role("link", name="Stop for the night").click()  # its page was kept: what it says is old by now
    phone.wait_for_url("**/tonight/#stop-here")
    expect(phone.get_by_role("link", name="Stop for the night")).to_have_count(0)
    phone.get_by_role("button", name="Stop for the night").click()
    expect(phone.get_by_text("Stop for the night. Not in the shop yet")).to_be_visible()
    signal.mend()
    phone.goto("/phone/waiting/")
    arrived(1, phone)
    session.refresh_from_db()
    assert timezone.now() - session.ended_at < timedelta(minutes=1)


def test_two_open_pages_send_each_thing_once(phone, signal, shop):
    phone.goto("/tonight/")
    other = phone.context.new_page()
    other.goto("/phone/waiting/")
    signal.cut()
    for text in ("One", "Two", "Three"):
        log(phone, text)
        expect(phone.locator("#waiting-lines").get_by_text(f"Note: {text}", exact=True)).to_be_visible()
    asked = []
    phone.context.on("request", lambda request: asked.append(request.url) if request.method == "POST" else None)
    signal.mend()
    for page in (phone, other):
        page.evaluate("() => { Gusset.outbox.flush(true); }")
    arrived(3, phone)
    phone.wait_for_timeout(300)
    assert len(asked) == 3


def test_the_oldest_thing_warns_after_a_day(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    log(phone, "Cut it")
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    phone.evaluate(
        """async () => { const [op] = await Gusset.outbox.mine(), db = await Gusset.db.open();
             const t = db.transaction('outbox', 'readwrite');
             t.objectStore('outbox').put({...op, made: op.made - 25 * 3600 * 1000}); await Gusset.db.done(t); }"""
    )
    phone.goto("/find/")
    expect(phone.get_by_text("Bring the phone to the shop’s Wi-Fi.")).to_be_visible()


def test_a_new_version_of_the_pages_loses_nothing_that_waits(phone, signal, shop, monkeypatch):
    phone.goto("/tonight/")
    signal.cut()
    log(phone, "Cut it", picture())
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    phone.context.route("**/sync/hello/", lambda route: route.abort())
    signal.mend()
    monkeypatch.setattr(shell, "build", lambda: "0123456789ab")
    phone.goto("/shop/")
    phone.evaluate("navigator.serviceWorker.getRegistration().then(one => one.update())")
    kept(phone, "0123456789ab")
    phone.context.unroute("**/sync/hello/")
    phone.goto("/find/")
    arrived(1, phone)
    assert Entry.objects.get().photos.count() == 1


def test_all_that_is_kept_can_be_exported_with_its_photos(phone, signal, shop):
    phone.goto("/tonight/")
    signal.cut()
    log(phone, "Cut it", picture())
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    phone.goto("/phone/waiting/")
    with phone.expect_download() as got:
        phone.get_by_role("button", name="Export all of it").click()
    (one,) = json.loads(got.value.path().read_text())
    assert one["what"] == "Note: Cut it"
    assert ["text", "Cut it"] in one["fields"]
    assert one["photos"][0]["data"].startswith("data:image/jpeg;base64,")


def test_what_the_shop_refuses_while_one_looks_is_said_at_the_field_and_mended_there(phone, shop):
    phone.goto("/tonight/")
    log(phone, "Swept")
    expect(phone.locator("#so-far li")).to_have_count(1)
    posted = []
    phone.on("request", lambda one: posted.append(one.url) if one.method == "POST" else None)
    phone.get_by_role("radio", name="Measure").check()
    log(phone, "no size in this")
    expect(phone.get_by_text("There is no size in this.")).to_have_count(1)
    expect(phone.get_by_label("What just happened?")).to_have_value("no size in this")
    expect(phone.locator(".outbox-strip")).to_have_count(0)  # it is on the page, once
    expect(phone.locator("#waiting-lines li")).to_have_count(0)
    phone.wait_for_timeout(1000)
    assert len(posted) == 2  # by the outbox, and by the form for its page; never once more by itself
    log(phone, "43 5/16")
    expect(phone.locator("#so-far li")).to_have_count(2)
    for _ in range(2):
        expect(phone.get_by_label("What just happened?")).to_have_value("")
        expect(phone.locator(".outbox-strip")).to_have_count(0)
        expect(phone.locator("#waiting-lines li")).to_have_count(0)
        phone.goto("/tonight/")
    assert (Entry.objects.count(), Op.objects.count()) == (2, 2)


def test_what_the_shop_refused_is_mended_once_also_after_a_look_elsewhere(phone, shop):
    phone.goto("/tonight/")
    phone.get_by_role("radio", name="Measure").check()
    log(phone, "no size in this")
    expect(phone.get_by_text("There is no size in this.")).to_be_visible()
    phone.goto("/tonight/")
    expect(phone.get_by_text("1 thing needs a look")).to_be_visible()
    phone.get_by_role("link", name="Needs a look: correct it").click()
    expect(phone.get_by_label("What just happened?")).to_have_value("no size in this")
    expect(phone.get_by_text("There is no size in this.")).to_have_count(1)
    expect(phone.locator("#waiting-lines li")).to_have_count(0)
    phone.get_by_label("What just happened?").fill("opening 43")
    phone.goto("/plan/")
    expect(phone.get_by_text("1 thing needs a look")).to_be_visible()
    phone.goto("/tonight/")  # what was typed is still the refused one, corrected
    expect(phone.get_by_label("What just happened?")).to_have_value("opening 43")
    expect(phone.locator("#waiting-lines li")).to_have_count(0)
    log(phone, "opening 43 5/16")
    expect(phone.locator("#so-far li")).to_have_count(1)
    expect(phone.locator(".outbox-strip")).to_have_count(0)
    assert (Entry.objects.count(), Op.objects.count()) == (1, 1)


def test_what_is_in_the_box_is_not_written_over_by_what_wants_mending(phone, shop):
    phone.goto("/tonight/")
    phone.get_by_role("radio", name="Measure").check()
    log(phone, "no size in this")
    expect(phone.get_by_text("There is no size in this.")).to_be_visible()
    phone.goto("/tonight/")
    phone.get_by_label("What just happened?").fill("Grinder is hot")
    phone.get_by_role("link", name="Needs a look: correct it").click()
    expect(phone.get_by_text("Save what is in the box first.")).to_be_visible()
    expect(phone.get_by_label("What just happened?")).to_have_value("Grinder is hot")


def test_starting_a_task_sets_the_box_to_it_unless_a_line_is_being_written(phone, shop):
    other = make_task("Hang the hatch", build=shop.build)
    phone.goto("/tonight/")
    task = phone.locator("#log [name=task]")
    log(phone, "Swept")
    expect(phone.locator("#so-far li")).to_have_count(1)
    expect(task).to_have_value("")
    phone.get_by_role("button", name="Start Hang the hatch").click()
    expect(task).to_have_value(str(other.pk))
    phone.get_by_label("What just happened?").fill("Hinge fits")
    phone.get_by_role("button", name="Start Cut the floor").click()
    expect(phone.locator("#so-far")).to_contain_text("Started “Cut the floor”")
    expect(task).to_have_value(str(other.pk))
    task.select_option(str(shop.task.pk))
    log(phone, "Hinge fits")
    expect(task).to_have_value(str(shop.task.pk))
    expect(phone.locator("#so-far")).to_contain_text("Hinge fits")
    expect(task).to_have_value(str(shop.task.pk))


def test_a_shop_that_breaks_is_asked_again_later_and_then_says_so(phone, shop, box):
    phone.goto("/tonight/")
    phone.context.route("**/tonight/log/", lambda route: route.fulfill(status=500, body="broken"))
    log(phone, "Cut it")
    expect(phone.get_by_text("✓ Saved on this phone").first).to_be_visible()
    for _ in range(6):
        phone.evaluate("() => Gusset.outbox.flush(true)")
    expect(phone.get_by_text("1 thing needs a look")).to_be_visible()
    phone.context.unroute("**/tonight/log/")
    phone.goto("/phone/waiting/")
    phone.get_by_role("button", name="Try again").click()
    arrived(1, phone)
    assert len(box.complaints) == 6  # the browser notes each 500
    box.complaints.clear()


@pytest.mark.parametrize(
    "broken",
    [
        "Object.defineProperty(window, 'indexedDB', {value: undefined})",
        "IDBFactory.prototype.open = () => { throw new DOMException('full', 'QuotaExceededError'); }",
    ],
)
def test_where_the_phone_can_keep_nothing_forms_are_sent_as_ever(box, shop, owner, broken):
    page = box.window("phone")
    page.add_init_script(broken)
    signed_in(page)
    page.goto("/tonight/")
    log(page, "Cut it")
    expect(page.locator("#so-far li")).to_have_count(1)
    assert (Entry.objects.count(), Op.objects.count()) == (1, 0)

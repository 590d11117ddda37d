"""From one version of the pages to the next: nobody is held at the older one, and nothing kept is lost."""

from threading import Event

import pytest
from django.contrib.sessions.models import Session
from playwright.sync_api import expect

from buildlog.offline import shell, views, views_sync
from inventory.parts import queries
from tests.factories import make_part, make_place

from ..conftest import signed_in
from .conftest import kept, until

NEW = "0123456789ab"
KEPT_BY = """async path => { const found = [];
  for (const name of await caches.keys())
    if (name.startsWith('gusset-pages-') && await (await caches.open(name)).match(path, {ignoreVary: true}))
      found.push(name.split('-').pop());
  return found; }"""
# Once the new worker is in charge and through with what it does first.
UPDATED = """async build => {
  const there = await navigator.serviceWorker.getRegistration();
  await there.update();
  while (!await caches.has(`gusset-files-${build}`) || there.installing || there.waiting
         || there.active.state !== 'activated')
    await new Promise(go => setTimeout(go, 50)); }"""


@pytest.fixture
def parts(transactional_db):
    bin_14 = make_place("bin", name="Bin 14", short="14")
    return [
        make_part("Hatch hinge", holds={bin_14: 3}),
        make_part("Hatch bolt", holds={bin_14: 3}),
        make_part("Hatch seal"),
    ]


def update(page, monkeypatch):
    monkeypatch.setattr(shell, "build", lambda: NEW)
    page.evaluate(UPDATED, NEW)


def by(page, path: str) -> list[str]:
    return page.evaluate(KEPT_BY, path)


def test_a_new_version_takes_over_at_once_and_brings_the_kept_pages_along(phone, signal, parts, monkeypatch):
    phone.goto(f"/parts/{parts[0].pk}/")
    monkeypatch.setattr(shell, "build", lambda: NEW)
    phone.goto("/shop/")
    phone.evaluate("navigator.serviceWorker.getRegistration().then(one => one.update())")
    kept(phone, NEW)
    signal.cut()
    phone.goto(f"/parts/{parts[0].pk}/")
    expect(phone.get_by_role("heading", name="Hatch hinge")).to_be_visible()


def test_a_page_of_the_older_version_stays_until_the_shop_says_what_is_there_now(phone, signal, parts, monkeypatch):
    """One comes anew, one breaks the shop just now, one is gone."""
    paths = [f"/parts/{part.pk}/" for part in parts]
    for path in paths:
        phone.goto(path)
    phone.goto("/find/")
    old, holdings, broken = shell.build(), queries.holdings_of, parts[1].pk
    monkeypatch.setattr(queries, "holdings_of", lambda part: 1 / 0 if part.pk == broken else holdings(part))
    parts[2].delete()
    update(phone, monkeypatch)
    assert [by(phone, path) for path in paths] == [[NEW], [old], []]
    monkeypatch.setattr(queries, "holdings_of", holdings)
    phone.goto("/find/")
    kept(phone, NEW)  # and nothing is left of the older one
    assert by(phone, paths[1]) == [NEW]
    signal.cut()
    phone.goto(paths[1])
    expect(phone.get_by_role("heading", name="Hatch bolt")).to_be_visible()


def test_signed_out_meanwhile_the_older_pages_stay_for_who_signs_in_again(phone, signal, parts, monkeypatch):
    path = f"/parts/{parts[0].pk}/"
    phone.goto(path)
    old = shell.build()
    Session.objects.all().delete()
    update(phone, monkeypatch)
    assert by(phone, path) == [old]
    signal.cut()
    phone.goto(path)
    expect(phone.get_by_role("heading", name="Hatch hinge")).to_be_visible()
    signal.mend()


def test_they_are_not_for_somebody_else_who_signs_in(phone, signal, parts, monkeypatch, hand):
    path = f"/parts/{parts[0].pk}/"
    phone.goto(path)
    Session.objects.all().delete()
    update(phone, monkeypatch)
    signed_in(phone, "Harald")
    kept(phone, NEW)
    assert by(phone, path) == []


def test_a_page_that_was_on_its_way_at_the_logout_is_not_kept(phone, parts, monkeypatch):
    began, go, page = Event(), Event(), views_sync.page

    def slowly(*args):
        began.set()
        go.wait(30)
        return page(*args)

    phone.goto("/shop/")
    monkeypatch.setattr(views_sync, "page", slowly)
    phone.evaluate("navigator.serviceWorker.controller.postMessage({keep: ['/phone/waiting/']})")
    assert began.wait(30)
    phone.get_by_role("button", name="Sign this device out").click()
    phone.wait_for_url("**/login/**")
    until(phone, "async () => !(await caches.keys()).some(name => name.startsWith('gusset-p'))")
    go.set()
    phone.wait_for_timeout(1000)
    assert by(phone, "/phone/waiting/") == []


def test_a_file_of_an_older_page_that_the_shop_has_no_more_comes_from_the_phone(phone):
    said = """async () => { const old = await caches.open('gusset-files-aaaaaaaaaaaa');
      await old.put('/static/js/gone.0a1b.js', new Response('of then'));
      return (await fetch('/static/js/gone.0a1b.js')).text(); }"""
    assert phone.evaluate(said) == "of then"


FILES = """async build => (await (await caches.open(`gusset-files-${build}`)).keys())
  .map(one => new URL(one.url).pathname)"""


def test_an_older_worker_lets_go_of_nothing_that_a_newer_one_is_fetching(phone, monkeypatch):
    began, go, page = Event(), Event(), views.page

    def slowly(*args):
        began.set()
        go.wait(30)
        return page(*args)

    phone.goto("/shop/")
    monkeypatch.setattr(views, "page", slowly)  # the page without signal is among what is fetched
    monkeypatch.setattr(shell, "build", lambda: NEW)
    phone.evaluate("() => { navigator.serviceWorker.getRegistration().then(one => one.update()); }")
    assert began.wait(30)
    until(phone, f"async () => (await ({FILES})('{NEW}')).length > 20")
    phone.evaluate("navigator.serviceWorker.controller.postMessage('tidy')")
    phone.wait_for_timeout(1500)  # time enough for all the older one has to do
    there = set(phone.evaluate(FILES, NEW))
    go.set()
    phone.evaluate(UPDATED, NEW)
    assert len(there) > 20
    assert there <= set(phone.evaluate(FILES, NEW))


def test_a_file_that_the_browser_let_go_of_comes_back_with_the_next_page(phone):
    build = shell.build()
    phone.evaluate(f"async () => caches.delete('gusset-files-{build}')")
    phone.goto("/find/")
    wanted = {*shell.plan()["files"], "/offline/"}
    until(
        phone,
        f"async wanted => {{ const has = await ({FILES})('{build}'); return wanted.every(one => has.includes(one)); }}",
        sorted(wanted),
    )

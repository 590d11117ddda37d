"""What a phone fetches to work without signal: the manifest, the icons, the worker."""

import gzip
import json
import math
import uuid

import pytest
from bs4 import BeautifulSoup
from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.management import call_command
from PIL import Image

from buildlog.config.settings import STORAGES as SERVED
from buildlog.offline import icons, shell
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


def test_the_manifest_says_what_a_home_screen_needs(as_hand):
    """Members: W3C Web Application Manifest. Sizes 192 and 512: what Chromium asks of an installable site."""
    said = json.loads(as_hand.get("/manifest.webmanifest").content)
    assert said["display"] == "standalone"
    assert said["scope"] == said["id"] == "/"
    assert as_hand.get(said["start_url"]).status_code == 200
    sizes = {(one["sizes"], one["purpose"]) for one in said["icons"]}
    assert {("192x192", "any"), ("512x512", "any"), ("512x512", "maskable")} <= sizes
    for one in said["icons"]:
        with Image.open(finders.find(one["src"].removeprefix(settings.STATIC_URL))) as picture:
            assert f"{picture.width}x{picture.height}" == one["sizes"]


def test_every_page_names_the_manifest(as_hand):
    soup = BeautifulSoup(as_hand.get("/find/").text, "html.parser")
    assert soup.find("link", rel="manifest")["href"] == "/manifest.webmanifest"


def test_the_icons_in_the_tree_are_the_drawing_they_say_they_are(tmp_path):
    for made in icons.make(tmp_path):
        with Image.open(made) as new, Image.open(icons.FOLDER / made.name) as old:
            assert new.tobytes() == old.tobytes(), f"{made.name}: run manage.py icons"


def test_a_maskable_icon_keeps_its_drawing_within_the_safe_zone():
    """W3C Web Application Manifest, icon masks: a circle about the middle, its radius 2/5 of the smaller side."""
    picture = icons.draw(256, maskable=True)
    ground = picture.getpixel((0, 0))
    far = [
        math.hypot(x + 0.5 - 128, y + 0.5 - 128)
        for x in range(256)
        for y in range(256)
        if max(abs(a - b) for a, b in zip(picture.getpixel((x, y)), ground, strict=True)) > 32
    ]
    assert 0.36 * 256 < max(far) <= 0.4 * 256  # large, and still inside


def test_the_worker_is_never_kept_by_the_browser_and_knows_every_file(as_hand, stranger):
    answer = as_hand.get("/sw.js")
    assert answer.headers["Cache-Control"] == "no-cache"
    assert answer.headers["Content-Type"].startswith("text/javascript")
    assert stranger.get("/sw.js").content == answer.content
    plan = json.loads(answer.text.partition("const PLAN = ")[2].partition(";\n")[0])
    assert plan["build"] == shell.build()
    assert {"/static/js/app.js", "/static/css/base.css"} <= set(plan["files"])
    for path in plan["files"] + plan["later"]:
        assert finders.find(path.removeprefix("/static/")), path
    for path in plan["pages"]:
        assert as_hand.get(path).status_code == 200, path


def test_another_file_makes_another_build(tmp_path, monkeypatch):
    (tmp_path / "a.css").write_text("a {}")
    monkeypatch.setattr(shell, "STATIC", tmp_path)
    first = shell.build.__wrapped__()
    assert first == shell.build.__wrapped__()
    (tmp_path / "a.css").write_text("b {}")
    assert first != shell.build.__wrapped__()


def test_all_scripts_but_the_scanners_weigh_at_most_60_kb_packed(tmp_path, settings):
    settings.STATIC_ROOT = tmp_path
    settings.STORAGES = SERVED
    call_command("collectstatic", interactive=False, verbosity=0)
    names = [*shell.files(("js/*.js",)), "js/sw.js", *shell.files(("vendor/htmx-*.js",))]
    assert len(names) > 5
    scripts = [(tmp_path / name).read_bytes() for name in names if not name.startswith("js/scan")]
    assert sum(len(gzip.compress(script)) for script in scripts) <= 60_000


def test_the_page_without_signal_is_the_same_whoever_fetches_it(as_owner, as_hand, stranger):
    """It outlives a logout on the phone: what was said to one person, or who that was, is on none of them."""
    part, place = make_part("Hatch bolt"), make_place("bin", short="14")
    as_owner.post(f"/move/put-in/?place={place.pk}&part={part.pk}", {"uid": uuid.uuid4(), "quantity": 1})
    pages = [client.get("/offline/").text for client in (as_owner, as_hand, stranger)]
    assert pages[0] == pages[1] == pages[2]
    assert 'data-person=""' in pages[0]
    assert "Put 1 × Hatch bolt" in as_owner.get("/shop/").text  # still to be said

"""What a page weighs on its way to a phone: pages packed, with every style, script and face they ask for."""

import gzip
import re
from datetime import timedelta
from pathlib import Path
from random import Random

import pytest
from bs4 import BeautifulSoup
from django.conf import settings
from django.contrib.staticfiles import finders
from django.utils import timezone
from fontTools.ttLib import TTFont

from buildlog.worklog import actions
from buildlog.worklog.models import Entry
from inventory.photos import actions as photos
from inventory.web.lean import lean
from tests.factories import make_build, make_task
from tests.inventory.photos.hostile import image

pytestmark = pytest.mark.django_db
COLD, WARM = 100_000, 12_000  # bytes: the first page ever, and every later one; pictures come as one scrolls
HEAD = 750  # bytes of what is said above each answer; most of it is the policy
FACES = ("400", "600")  # the weights the styles use, in the letters of English


def weight(path: Path) -> int:
    """Of a file of ours as it travels: packed where that is smaller, as the server keeps it ready."""
    data = path.read_bytes()
    if path.suffix == ".js" and path.parent.name == "js":
        data = lean(data.decode()).encode()  # as LeanStorage keeps it
    return min(len(data), len(gzip.compress(data, 9, mtime=0)))


def fetched(soup) -> dict[str, int]:
    """The files a page asks for before it is whole, each with its weight."""
    tags = [*soup.select("link[rel=stylesheet], link[rel=icon], link[rel=manifest]"), *soup.select("script[src]")]
    names = {tag.get("href") or tag["src"] for tag in tags}
    names |= {use["href"].partition("#")[0] for use in soup.select("use")}
    static = [name.removeprefix("/static/") for name in names if name.startswith("/static/")]
    static += [f"fonts/barlow-semi-condensed-latin-{face}-normal.woff2" for face in FACES]
    return {name: weight(Path(finders.find(name))) for name in static}


@pytest.fixture
def full_log(as_owner, owner):
    """More lines than a page shows, each of words that pack worse than any language, half of them with a picture."""
    build = make_build("HB-64", areas=("Side hatch",))
    tasks = [make_task(f"Weld the hinge of leaf {number}", build=build, area=build.areas.get()) for number in range(40)]
    began = timezone.now() - timedelta(hours=4)
    session = actions.start(build=build, by=owner, at=began)
    seen = photos.add(data=image(), by=owner)
    chance = Random(20)  # noqa: S311
    for number in range(120):
        text = " ".join(
            "".join(chance.choices("aabcdeeefghiiklmnoooprsttuvwy", k=chance.randint(2, 9))) for _ in range(16)
        )
        entry = actions.log(
            session=session, by=owner, text=text, task=tasks[number % 40], at=began + timedelta(minutes=number)
        )
        if number % 2:
            entry.photos.add(seen)
    return as_owner


@pytest.mark.parametrize("address", ["/tonight/", "/log/", "/sessions/", "/find/"])
def test_a_first_page_is_light_and_every_later_one_very_light(full_log, address):
    page = full_log.get(address, headers={"Accept-Encoding": "gzip"})
    assert page.headers["Content-Encoding"] == "gzip"
    soup = BeautifulSoup(gzip.decompress(page.content), "html.parser")
    files = fetched(soup)
    assert any("htmx" in name for name in files)
    assert sum(name.endswith(".css") for name in files) >= 3
    warm = len(page.content) + HEAD
    cold = warm + sum(files.values()) + HEAD * len(files)
    print(f"\n{address}: {warm:,} bytes warm, {cold:,} cold")
    assert warm <= WARM
    assert cold <= COLD, files
    assert all(img.get("loading") == "lazy" for img in soup.select("main .log img"))


def test_the_faces_are_kept_without_what_only_old_screens_read():
    # OpenType 1.9.1: 'fpgm' and 'prep' hold the instructions of hinting, a third of these files; no phone runs them.
    for face in FACES:
        with TTFont(finders.find(f"fonts/barlow-semi-condensed-latin-{face}-normal.woff2")) as font:
            assert not {"fpgm", "prep", "cvt "} & set(font.keys())
            features = {row.FeatureTag for row in font["GSUB"].table.FeatureList.FeatureRecord}
            assert "tnum" in features  # counts and addresses stand under each other
            assert {ord(letter) for letter in "·×±½°“”–’"} <= set(font.getBestCmap())


def test_the_styles_ask_for_no_other_face():
    styles = "".join(path.read_text() for path in Path(settings.BASE_DIR, "static", "css").glob("*.css"))
    asked = set(re.findall(r"fonts/[\w-]+-latin-(\d+)-normal\.woff2", styles))
    assert asked == set(FACES)


def test_pictures_and_files_are_not_packed_again(full_log):
    photo = Entry.objects.exclude(photos=None).first().photos.get()
    answer = full_log.get(photo.small_url, headers={"Accept-Encoding": "gzip"})
    assert "Content-Encoding" not in answer.headers


def test_the_log_is_told_apart_packed_and_not(full_log):
    assert "Accept-Encoding" in full_log.get("/log/").headers["Vary"]

"""What a phone needs to open pages without signal, and the one value that changes when any of it does."""

import hashlib
import json
from functools import cache
from pathlib import Path

from django.conf import settings
from django.templatetags.static import static
from django.urls import reverse

from inventory.web import nav
from inventory.web.lean import lean

STATIC = settings.BASE_DIR / "static"
TEMPLATES = settings.BASE_DIR / "templates"
AT_ONCE = ("css/*.css", "js/*.js", "vendor/htmx-*.js", "icons/*.svg", "fonts/*-400-*.woff2", "fonts/*-600-*.woff2")
LATER = ("vendor/barcode-detector-*.js", "vendor/zxing-*.wasm")  # large: fetched when there is time
NOT_HERE = {"js/sw.js"}
PAGES = ("inventory:find", "inventory:scan", "buildlog:phone", "buildlog:waiting", "buildlog:scan_run")
NEVER = (
    "/sync",
    "/login/",
    "/logout/",
    "/setup/",
    "/pair/",
    "/desk/",
    "/people/",
    "/shop/kept-safe/",
    "/export/",
    "/import/",
)
FORGETS = ("/login/", "/logout/", "/pair/")  # a form sent there may change who holds the phone


def files(patterns=AT_ONCE) -> list[str]:
    """Static files by their names below static/, sorted."""
    found = {path.relative_to(STATIC).as_posix() for pattern in patterns for path in STATIC.glob(pattern)}
    return sorted(found - NOT_HERE)


@cache
def build() -> str:
    """A short hash of every static file and template: another one means other pages."""
    said = hashlib.sha256()
    for folder in (STATIC, TEMPLATES):
        for path in sorted(folder.rglob("*")):
            if path.is_file():
                said.update(path.relative_to(folder).as_posix().encode() + b"\0" + path.read_bytes())
    return said.hexdigest()[:12]


def start() -> str:
    """The page the installed program opens on."""
    return reverse(nav.bar()[0].url_name)


def plan() -> dict:
    """All the worker in the phone has to know."""
    pages = list(dict.fromkeys([start(), *map(reverse, PAGES)]))
    return {
        "build": build(),
        "start": start(),
        "offline": reverse("buildlog:offline"),
        "static": settings.STATIC_URL if settings.STATIC_URL.startswith("/") else f"/{settings.STATIC_URL}",
        "files": [static(name) for name in files()],
        "later": [static(name) for name in files(LATER)],
        "pages": pages,
        "never": NEVER,
        "forgets": FORGETS,
    }


def worker() -> str:
    """The worker's own text, with the plan in front."""
    text = lean(Path(STATIC / "js" / "sw.js").read_text(encoding="utf-8"))
    return f"const PLAN = {json.dumps(plan())};\n{text}"

"""The record as a PDF, made beside the server's other work, with how far it is."""

import io
import logging
import resource
import tempfile
import threading
import time
import uuid
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.template.loader import render_to_string
from django.utils import timezone
from PIL import Image

from inventory.labels.pdf import FAMILIES, Missing, closed_fetcher, faces, weasyprint
from inventory.photos import files

from . import record
from .models import RecordRun

PIXELS, QUALITY = 620, 74  # a picture of 58 mm at 270 dots an inch; 800 of them stay under 80 MB
KEPT = timedelta(days=7)
TOLD_EVERY = 0.4  # seconds between two lines of progress
PAGE_STEPS = 2  # a page is laid out, and painted

_busy: set = set()
log = logging.getLogger(__name__)


def file_of(run: RecordRun) -> Path:
    return Path(settings.DATA_DIR) / "records" / f"{run.pk}.pdf"


def is_ready(run: RecordRun) -> bool:
    return run.finished_at is not None and file_of(run).exists()


def is_going(run: RecordRun) -> bool:
    """False for one that was being made when the server stopped."""
    return run.pk in _busy


class Progress:
    """Counts photos read, then pages laid out and painted; the number of pages is guessed until it is known."""

    def __init__(self, run: RecordRun, photos: int, guess: int):
        self.run, self.photos, self.guess = run, photos, max(guess, 1)
        self.told = self.seen = self.laid = self.painted = 0
        self.told_at = 0.0

    @property
    def steps(self) -> int:
        return self.photos + PAGE_STEPS * self.guess

    def photo(self) -> None:
        self.seen = min(self.seen + 1, self.photos)
        self._tell()

    def page(self, number: int) -> None:
        self.laid = min(max(self.laid, number), self.guess)
        self._tell()

    def paint(self) -> None:
        self.laid, self.painted = self.guess, min(self.painted + 1, self.guess)
        self._tell()

    def _tell(self) -> None:
        if time.monotonic() - self.told_at < TOLD_EVERY:
            return
        self.told_at = time.monotonic()
        done = max(self.told, min(self.seen + self.laid + self.painted, self.steps))
        self.told = done
        RecordRun.objects.filter(pk=self.run.pk).update(done=done, steps=self.steps)


class _Pages(logging.Handler):
    """Hears from the layout engine which page it is at; only of the thread that it was made in."""

    def __init__(self, told: Callable[[int], None]):
        super().__init__(logging.INFO)
        self.told, self.thread = told, threading.get_ident()

    def emit(self, entry):
        if entry.thread == self.thread and "layout" in str(entry.msg) and entry.args:
            self.told(int(entry.args[0]))


def picture(address: str, pixels: int = PIXELS) -> bytes | None:
    """photo:<number> as a JPEG of at most so many pixels; None for any other address."""
    kind, _, number = address.partition(":")
    if kind != "photo":
        return None
    try:
        with Image.open(files.path_of(uuid.UUID(number), "large")) as image:
            image = image.convert("RGB")
    except (ValueError, OSError):
        return None
    image.thumbnail((pixels, pixels), Image.Resampling.LANCZOS, reducing_gap=2)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def write(run: RecordRun, target: Path) -> int:
    """The PDF into a file; answers how many pages it has. Raises Missing where the libraries for it are not there."""
    engine = weasyprint()
    keeps = frozenset(run.keeps)
    facts = record.record(run.build, keeps)
    progress = Progress(run, len(facts.pictures), len(facts.nights) + len(facts.pictures) // 4 + 8)
    html = render_to_string("print/record.html", _context(run, facts, record.cover(run.build, keeps)))
    count = len(facts.pictures)
    del facts

    def fetched(address: str) -> bytes | None:
        progress.photo()
        return picture(address)

    pages, logger = _Pages(progress.page), logging.getLogger("weasyprint.progress")
    logger.addHandler(pages)
    logger.setLevel(logging.INFO)
    logger.propagate = False
    try:
        with tempfile.TemporaryDirectory(dir=target.parent) as cache:
            document = engine.HTML(string=html, url_fetcher=closed_fetcher(fetched)).render(cache=cache)
            progress.photos, progress.seen, progress.guess = count, count, len(document.pages)
            for page in document.pages:
                page.paint = _told(page.paint, progress.paint)
            document.write_pdf(target)
    finally:
        logger.removeHandler(pages)
    return len(document.pages)


def _told(paint, told: Callable[[], None]):
    def both(*args, **kwargs):
        paint(*args, **kwargs)
        told()

    return both


def _context(run: RecordRun, facts: record.Record, cover) -> dict:
    parts: dict[str, list[int]] = {}
    for part in facts.fitted:
        parts.setdefault(part.what, []).extend(part.nights)
    return {
        "record": facts,
        "cover": cover,
        "index": sorted(parts.items(), key=lambda row: row[0].casefold()),
        "donors": facts.donors,
        "keeps": run.keeps,
        "font_faces": faces(),
        "family": ", ".join(f"'{name}'" for name in FAMILIES.values()),
        "today": timezone.localtime(),
    }


def make(run: RecordRun) -> None:
    """Writes the file. What goes wrong is kept on the run, in words."""
    path = file_of(run)
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        _forget_old(path.parent)
        part = path.with_suffix(".part")
        pages = write(run, part)
        part.replace(path)
        RecordRun.objects.filter(pk=run.pk).update(failed="", pages=pages, finished_at=timezone.now())
        log.info("record of %s pages, %s MB at most", pages, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
    except Missing:
        _failed(run, "The libraries that make PDFs are missing on this machine.")
    except Exception:
        log.exception("the record could not be made")
        _failed(run, "The PDF could not be made. The server’s log says why.")


def _failed(run: RecordRun, words: str) -> None:
    RecordRun.objects.filter(pk=run.pk).update(failed=words)


def _forget_old(folder: Path) -> None:
    old = time.time() - KEPT.total_seconds()
    for other in folder.glob("*.p*"):
        if other.stat().st_mtime < old:
            other.unlink(missing_ok=True)


def start(run: RecordRun) -> None:
    """Make it in a thread of its own, whose progress a page asks for. One under way is left alone."""
    if run.pk in _busy:
        return
    _busy.add(run.pk)
    threading.Thread(target=_beside, args=(run,), daemon=True, name=f"record {run.pk}").start()


def _beside(run: RecordRun) -> None:
    try:
        make(run)
    finally:
        _busy.discard(run.pk)
        connection.close()

"""A run of labels from codes to a PDF on disk. Short runs are made at once, long ones beside the server's work."""

import logging
import threading
import time
from datetime import timedelta
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.utils import timezone

from . import actions, draw, pdf, queries
from .calc.face import Face, lay_out
from .calc.stock import pages, stock_of
from .models import Label, PrintRun
from .type import measure

AT_ONCE = 3  # pages made while the person waits: under a second
KEPT = timedelta(days=7)
TOLD_EVERY = 0.3  # seconds between two lines of progress

_busy: set = set()
log = logging.getLogger(__name__)


def file_of(run: PrintRun) -> Path:
    return Path(settings.DATA_DIR) / "prints" / f"{run.pk}.pdf"


def count_pages(run: PrintRun) -> int:
    return len(pages(len(run.codes), stock_of(run.stock), run.start))


def laid_out(run: PrintRun) -> list[tuple[Label, Face, str]]:
    """Each label of the run with its face and what its symbol holds."""
    found = {label.code: label for label in Label.objects.with_things().filter(code__in=run.codes)}
    labels = [found[code] for code in run.codes if code in found]
    stock = stock_of(run.stock)
    said = queries.contents(labels, run.base, placard=stock.kind == "placard")
    return [
        (label, lay_out(content, stock, measure), content.payload) for label, content in zip(labels, said, strict=True)
    ]


def page_drawings(run: PrintRun) -> list[pdf.Page]:
    """The run's pages, ready to be written."""
    stock, faces = stock_of(run.stock), iter(laid_out(run))
    drawings = []
    for cells in pages(len(run.codes), stock, run.start):
        placed = [(cell, draw.drawn(face, payload)) for cell, (_, face, payload) in zip(cells, faces, strict=False)]
        drawings.append(draw.page(stock, placed, nudge=(run.nudge_x, run.nudge_y), dark=run.dark))
    return drawings


def make(run: PrintRun) -> None:
    """Draw the run and write its PDF. What goes wrong is kept on the run, in words."""
    told = 0.0

    def tell(done: int) -> None:
        nonlocal told
        if time.monotonic() - told > TOLD_EVERY:
            told = time.monotonic()
            PrintRun.objects.filter(pk=run.pk).update(done=min(done, run.pages))

    try:
        data = pdf.write(page_drawings(run), tell)
        _keep(file_of(run), data)
        labels = list(Label.objects.filter(code__in=run.codes))
        actions.mark_printed(labels=labels, size=run.stock)
        PrintRun.objects.filter(pk=run.pk).update(done=run.pages, failed="", finished_at=timezone.now())
    except pdf.Missing:
        PrintRun.objects.filter(pk=run.pk).update(failed="The libraries that make PDFs are missing on this machine.")
    except Exception:
        log.exception("labels could not be printed")
        PrintRun.objects.filter(pk=run.pk).update(failed="The PDF could not be made. The server’s log says why.")


def _keep(path: Path, data: bytes) -> None:
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    old = time.time() - KEPT.total_seconds()
    for other in path.parent.glob("*.pdf"):
        if other.stat().st_mtime < old:
            other.unlink(missing_ok=True)
    part = path.with_suffix(".part")
    part.write_bytes(data)
    part.replace(path)


def start(run: PrintRun) -> None:
    """Make the run now if it is short, else in a thread that the run's page watches. A run under way is left alone."""
    if run.pages <= AT_ONCE:
        make(run)
        return
    if run.pk in _busy:
        return
    _busy.add(run.pk)
    threading.Thread(target=_beside, args=(run,), daemon=True, name=f"labels {run.pk}").start()


def _beside(run: PrintRun) -> None:
    try:
        make(run)
    finally:
        _busy.discard(run.pk)
        connection.close()


def is_ready(run: PrintRun) -> bool:
    return run.finished_at is not None and file_of(run).exists()

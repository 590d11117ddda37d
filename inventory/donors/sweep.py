"""PDF files of papers without a row, rows without their file, and papers that were taken off long ago."""

from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from inventory.photos.sweep import KEEP_DELETED, KEEP_STRAY

from .actions import paper_path
from .models import Paper


@dataclass(frozen=True, slots=True)
class State:
    stray: list[Path]  # files that no paper owns, among them what a power cut left half written
    missing: list[Paper]  # papers whose file is gone


def state() -> State:
    papers = {paper_path(paper.pk): paper for paper in Paper.objects.filter(photo=None)}
    files = set((Path(settings.MEDIA_ROOT) / "papers").glob("*/*"))
    young = timezone.now().timestamp() - KEEP_STRAY.total_seconds()
    stray = [path for path in sorted(files - papers.keys()) if path.stat().st_mtime < young]
    return State(stray, [paper for path, paper in papers.items() if path not in files])


def sweep() -> int:
    """Remove stray files, and PDFs taken off more than a month ago. Answers how many files went."""
    stray = state().stray
    for path in stray:
        path.unlink(missing_ok=True)
    old = list(Paper.objects.filter(photo=None, removed_at__lt=timezone.now() - KEEP_DELETED))
    for paper in old:
        path = paper_path(paper.pk)
        paper.delete()
        path.unlink(missing_ok=True)
    return len(stray) + len(old)

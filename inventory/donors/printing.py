"""A donor on paper, for the file: who it is, its papers, what came off with photos, and what it came to."""

import uuid

from django.template.loader import render_to_string
from django.utils import timezone

from inventory.labels.pdf import FAMILIES, Missing, available, closed_fetcher, faces, weasyprint
from inventory.photos import files

from . import queries, words
from .drawing import of_donor
from .models import Donor, DonorPhoto, PullPhoto

__all__ = ["Missing", "available", "donor_pdf"]
MOST_PICTURES = 400  # of pulls, the newest: more would keep the browser waiting for minutes


def donor_pdf(donor: Donor) -> bytes:
    """The PDF. Raises Missing where the libraries for it are not installed."""
    engine = weasyprint()
    html = render_to_string("print/donor.html", _facts(donor))
    return engine.HTML(string=html, url_fetcher=closed_fetcher(_picture)).write_pdf()


def _facts(donor: Donor) -> dict:
    pulls, off = list(queries.pulls_of(donor)), queries.tally(donor)
    shown: dict[int, list[PullPhoto]] = {}
    pictures = PullPhoto.objects.filter(pull__in=[one.pk for one in pulls[:MOST_PICTURES]], photo__deleted_at=None)
    for row in pictures.order_by("-when", "pk"):  # before, then after
        shown.setdefault(row.pull_id, []).append(row)
    return {
        "donor": donor,
        "number": words.of_number(donor.check_number),
        "working": queries.working(donor, off),
        "picture": of_donor(donor, queries.counts_by_zone(donor, off)),
        "pulls": pulls,
        "shown": shown,
        "fates": queries.fates({one.now for one in pulls}),
        "wants": donor.wants.still_on(),
        "faces_shown": DonorPhoto.objects.filter(donor=donor, photo__deleted_at=None).order_by("pk"),
        "papers": donor.papers.filter(removed_at=None).select_related("photo"),
        "font_faces": faces(),
        "family": ", ".join(f"'{name}'" for name in FAMILIES.values()),
        "today": timezone.localtime(),
    }


def _picture(address: str) -> bytes | None:
    """The small file of photo:<number>; None for anything else, or where the file is gone."""
    kind, _, number = address.partition(":")
    if kind != "photo":
        return None
    try:
        return files.path_of(uuid.UUID(number), "small").read_bytes()
    except (ValueError, OSError):
        return None

"""Everything in the shop to take along: CSV for a spreadsheet, JSON for a program."""

from collections.abc import Iterator
from itertools import islice

from django.http import Http404, StreamingHttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from inventory.web.http import page

from .exporting import EXPORTS, csv_lines, json_lines

SAYS = {
    "parts": ("Parts", "One row for each part in each place. The same file can be brought in again."),
    "places": ("Places", "The tree of places with their addresses."),
    "moves": ("Moves", "The whole ledger, oldest first."),
}


@require_safe
def export(request):
    kinds = [(what, *said) for what, said in SAYS.items()]
    return page(request, "inventory/importing/export.html", {"kinds": kinds, "here": "shop"})


def _stream(what: str, write, content_type: str, ending: str) -> StreamingHttpResponse:
    if what not in EXPORTS:
        raise Http404
    headings, rows = EXPORTS[what]
    answer = StreamingHttpResponse(_in_pieces(write(headings, rows())), content_type=content_type)
    name = f"gusset-{what}-{timezone.localdate():%Y-%m-%d}.{ending}"
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


def _in_pieces(lines: Iterator[str]) -> Iterator[str]:
    """Some hundred lines at a time: a write to the network for each line would be slow."""
    while piece := "".join(islice(lines, 500)):
        yield piece


@require_safe
def as_csv(request, what):
    return _stream(what, csv_lines, "text/csv; charset=utf-8; header=present", "csv")


@require_safe
def as_json(request, what):
    return _stream(what, json_lines, "application/json", "json")

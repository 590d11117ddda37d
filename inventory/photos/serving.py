"""A file with byte ranges: some browsers play or show nothing that can't be asked for in pieces (RFC 9110, 14)."""

import re
from pathlib import Path

from django.http import FileResponse, Http404, HttpRequest, HttpResponse

RANGE = re.compile(r"bytes=([0-9]{0,15})-([0-9]{0,15})$")


def serve(request: HttpRequest, path: Path, *, content_type: str, name: str) -> HttpResponse:
    """The file, or the piece that was asked for; 304 when the browser has it. Files never change under a name."""
    try:
        size = path.stat().st_size
    except OSError as error:
        raise Http404 from error
    tag = f'"{path.stem}-{size}"'
    if request.headers.get("If-None-Match") == tag:
        return _dressed(HttpResponse(status=304), tag, name)
    wanted = _range(request.headers.get("Range", ""), size)
    if wanted is None:
        response = FileResponse(path.open("rb"), content_type=content_type)
        response.headers["Content-Length"] = str(size)
        return _dressed(response, tag, name)
    first, last = wanted
    if first > last or first >= size:
        return HttpResponse(status=416, headers={"Content-Range": f"bytes */{size}"})
    with path.open("rb") as file:
        file.seek(first)
        body = file.read(last - first + 1)
    response = HttpResponse(body, status=206, content_type=content_type)
    response.headers["Content-Range"] = f"bytes {first}-{last}/{size}"
    return _dressed(response, tag, name)


def _range(text: str, size: int) -> tuple[int, int] | None:
    """First and last byte, or None for the whole file. Several ranges at once may be answered with the whole."""
    found = RANGE.match(text.strip())
    if not found or found.groups() == ("", ""):
        return None
    first, last = found.groups()
    if not first:
        return max(0, size - int(last)), size - 1
    return int(first), min(int(last), size - 1) if last else size - 1


def _dressed(response: HttpResponse, tag: str, name: str) -> HttpResponse:
    response.headers["ETag"] = tag
    response.headers["Accept-Ranges"] = "bytes"
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return response

"""/healthz for monitors: no login, no version, any Host."""

import os
import sqlite3
import tempfile
from pathlib import Path

from django.conf import settings
from django.db import DatabaseError, connection
from django.http import HttpResponse


class HealthMiddleware:
    """First of all: a monitor comes by address, without a cookie, and before any redirect."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        if request.path == "/healthz" and request.method in ("GET", "HEAD"):
            return health()
        return self.get_response(request)


def health() -> HttpResponse:
    """200 when the database answers and the data folder can be written to, else 503 with what is wrong."""
    wrong = [
        what for what, fine in (("database", _database()), ("data folder", _folder(settings.DATA_DIR))) if not fine
    ]
    text = "not well: " + ", ".join(wrong) if wrong else "ok"
    return HttpResponse(
        text + "\n",
        status=503 if wrong else 200,
        content_type="text/plain",
        headers={"Cache-Control": "no-store"},
    )


def _database() -> bool:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1 FROM django_migrations LIMIT 1")
            return cursor.fetchone() is not None
    except (DatabaseError, sqlite3.Error):
        return False


def _folder(folder: Path) -> bool:
    try:
        handle, name = tempfile.mkstemp(prefix=".health-", dir=folder)
        os.close(handle)
        Path(name).unlink()
    except OSError:
        return False
    return True

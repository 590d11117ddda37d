"""Bringing a list in beside the server's other work, and how far it is.

A short list is done before the answer; a long one in a thread of its own, whose progress a page asks for. How far it
is stands in memory: the write itself is one transaction that nobody else can see into. Where the server stopped
meanwhile nothing was written, and the list waits as before.
"""

import threading
from collections.abc import Callable, Iterable, Iterator

from django.core.exceptions import ValidationError
from django.db import DatabaseError, connection

from . import store
from .actions import ShopChanged, import_rows
from .models import Import, State

AT_ONCE = 500  # rows that are brought in before the answer

_percent: dict[str, int] = {}  # of the lists being brought in now
CHANGED = "The shop was changed while the list was brought in. Nothing was brought in: look at the rows again."
GONE = "The rows of this list were thrown away. Nothing was brought in: choose the file again."
BUSY = "The shop was busy with another long change. Nothing was brought in: try again."
ODD = "It stopped half way. Nothing was brought in: look at the rows and try again."


def start(source: Import, by) -> bool:
    """Begin bringing the list in, once: False when that has happened already."""
    if not Import.objects.filter(pk=source.pk, state=State.WAITING).update(state=State.WORKING, trouble=""):
        return False
    _percent[str(source.pk)] = 0
    if source.rows <= AT_ONCE:
        _run(source, by)
    else:
        threading.Thread(target=_run_beside, args=(source, by), name=f"import {source.pk}", daemon=True).start()
    return True


def percent(source: Import) -> int | None:
    """How far it is, from 0 to 100; None when it isn't being brought in."""
    return _percent.get(str(source.pk))


def put_back_if_stopped(source: Import) -> None:
    """A list that was being brought in when the server stopped waits again."""
    if source.state == State.WORKING and percent(source) is None:
        source.refresh_from_db()
        if source.state == State.WORKING:
            _waits_again(source, ODD)


def _run_beside(source: Import, by) -> None:
    try:
        _run(source, by)
    finally:
        connection.close()


def _run(source: Import, by) -> None:
    def progress(done: int, of: int) -> None:
        _percent[str(source.pk)] = 100 * done // of

    try:
        readings = _counted(store.readings_of(source), lambda done: progress(30 * done // source.rows, 100))
        import_rows(readings=readings, name=source.name, by=by, source=source, progress=progress)
        store.forget(source)
    except (ShopChanged, ValidationError):  # an address was taken meanwhile
        _waits_again(source, CHANGED)
    except store.Gone:
        _waits_again(source, GONE)
    except DatabaseError as error:
        _waits_again(source, BUSY if "locked" in str(error) else ODD)
    finally:
        _percent.pop(str(source.pk), None)


def _counted(rows: Iterable, told: Callable[[int], None]) -> Iterator:
    for number, row in enumerate(rows):
        if number % 500 == 0:
            told(number)
        yield row


def _waits_again(source: Import, trouble: str) -> None:
    source.state, source.trouble, source.batch = State.WAITING, trouble, None
    source.save(update_fields=["state", "trouble"])

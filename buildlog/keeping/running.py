"""One long work on backups at a time, in whichever process, and how far it is."""

import contextlib
import fcntl
import json
import os
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from django.db import close_old_connections

from . import actions


def progress_file() -> Path:
    return actions.folder() / "progress.json"


def tell(done: int, total: int, what: str = "Backing up") -> None:
    """Leave word of the progress, for whichever process shows the page."""
    actions.folder().mkdir(parents=True, exist_ok=True, mode=0o700)
    aside = progress_file().with_suffix(f".{os.getpid()}")
    aside.write_text(json.dumps({"done": done, "total": max(total, 1), "what": what}))
    aside.replace(progress_file())


def telling(what: str) -> Callable[[int, int], None]:
    return lambda done, total: tell(done, total, what)


def progress() -> dict | None:
    """How far the running work is; None when none runs, also when its process died."""
    if not progress_file().exists():
        return None
    with only_one() as free:
        if free:
            return None
    try:
        return json.loads(progress_file().read_text())
    except (OSError, ValueError):
        return None


@contextlib.contextmanager
def only_one(patience: float = 0.05) -> Iterator[bool]:
    """Whether this thread may work now, after waiting up to `patience` seconds for another one.

    The kernel takes the lock back from a process that died.
    """
    actions.folder().mkdir(parents=True, exist_ok=True, mode=0o700)
    descriptor = os.open(actions.folder() / "running", os.O_CREAT | os.O_WRONLY, 0o600)
    until = time.monotonic() + patience
    while not _locked(descriptor):
        if time.monotonic() > until:
            os.close(descriptor)
            yield False
            return
        time.sleep(0.01)
    try:
        yield True
    finally:
        progress_file().unlink(missing_ok=True)
        os.close(descriptor)


def _locked(descriptor: int) -> bool:
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def in_background(work: Callable[[], object], what: str, patience: float = 1.0) -> bool:
    """Begin the work in a thread, and wait a moment: short work is then done, and needs no page that waits.

    False, and nothing begun, while another one runs.
    """
    held = contextlib.ExitStack()
    if not held.enter_context(only_one()):
        return False
    tell(0, 1, what)

    def run():
        with held:
            close_old_connections()
            try:
                work()
            finally:
                close_old_connections()

    thread = threading.Thread(target=run, name="keeping", daemon=False)
    thread.start()
    thread.join(patience)
    return True

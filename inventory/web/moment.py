"""When something was done: now, or earlier, where a phone that had no signal sends it only now."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import datetime

from django.utils import timezone

_at: ContextVar[datetime | None] = ContextVar("done_at", default=None)


def done_at() -> datetime:
    """The moment of what this request does. Never in the future."""
    now = timezone.now()
    at = _at.get()
    return min(at, now) if at else now


@contextmanager
def as_of(at: datetime) -> Iterator[None]:
    """Within this, done_at() answers `at`."""
    token = _at.set(at)
    try:
        yield
    finally:
        _at.reset(token)

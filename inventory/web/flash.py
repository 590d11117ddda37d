"""What was just done, said on the next page, with its Undo."""

from django.contrib import messages
from django.http import HttpRequest


def done(request: HttpRequest, text: str, *, undo: str = "") -> None:
    """`undo` is the address that a POST to takes it back."""
    messages.success(request, text, extra_tags=f"undo={undo}" if undo else "")


def refused(request: HttpRequest, text: str) -> None:
    """Something could not be done: what, and what to do about it."""
    messages.error(request, text)

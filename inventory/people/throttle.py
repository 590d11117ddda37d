"""Guessing is slowed down: after a few wrong passwords a name must wait, at that address only, and ever longer.

Other addresses and devices that are signed in already are not held up, and the console can always set a new
password (`manage.py people --reset NAME`), so nobody can shut an owner out by typing wrong passwords.
"""

import hashlib
import ipaddress
from datetime import timedelta
from math import ceil

from django.db import transaction
from django.http import HttpRequest
from django.utils import timezone

from .models import LoginFailure

FREE = 5  # a cold thumb may slip this often
FIRST_WAIT = timedelta(seconds=30)
LONGEST_WAIT = timedelta(minutes=15)
FORGOTTEN_AFTER = timedelta(days=1)


class MustWait(Exception):
    """Too many wrong tries. `seconds` is how long until the next one is looked at."""

    def __init__(self, seconds: int):
        super().__init__(seconds)
        self.seconds = seconds


def key(request: HttpRequest, name: str) -> str:
    """What a try is counted under: the name, whatever its capitals, and where it comes from."""
    return hashlib.sha256(f"{name.strip().casefold()}\n{_network(request)}".encode()).hexdigest()


def take(counted_under: str) -> None:
    """Count a try before it is looked at, so that many at once are no way around. Raises MustWait."""
    now = timezone.now()
    with transaction.atomic():
        LoginFailure.objects.filter(last_at__lt=now - FORGOTTEN_AFTER).delete()
        row, _ = LoginFailure.objects.select_for_update().get_or_create(key=counted_under, defaults={"last_at": now})
        left = row.last_at + wait_after(row.count) - now
        if left > timedelta():
            raise MustWait(ceil(left.total_seconds()))
        row.count += 1
        row.last_at = now
        row.save()


def forgive(counted_under: str) -> None:
    """The password was right."""
    LoginFailure.objects.filter(key=counted_under).delete()


def forgive_all() -> None:
    """Somebody at the console of the machine says so."""
    LoginFailure.objects.all().delete()


def wait_after(wrong: int) -> timedelta:
    """How long to wait after so many wrong tries: none for the first few, then doubled each time up to the longest."""
    if wrong < FREE:
        return timedelta()
    return min(FIRST_WAIT * 2 ** min(wrong - FREE, 16), LONGEST_WAIT)


def in_words(seconds: int) -> str:
    """'40 seconds', '2 minutes': rounded up, never too short."""
    if seconds < 90:
        return f"{seconds} second{'' if seconds == 1 else 's'}"
    return f"{ceil(seconds / 60)} minutes"


def _network(request: HttpRequest) -> str:
    """The address, or for IPv6 its /64: a single machine has all of that to choose from (RFC 4291, 2.5.4)."""
    try:
        number = ipaddress.ip_address(request.META.get("REMOTE_ADDR", ""))
    except ValueError:
        return "unknown"
    return str(ipaddress.ip_network((number, 64), strict=False)) if number.version == 6 else str(number)

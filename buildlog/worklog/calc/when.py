"""From the time on a wall clock to the instant it was, also in the nights when the clocks change.

In autumn an hour comes twice: of the two instants the one is meant that lies nearer to what is known (`near`). In
spring an hour is left out: a time in it is taken as if the clock had not been changed yet, so 02:30 becomes 03:30.
PEP 495 has the fold; the dates of the changes are the IANA time zone database's.
"""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo


def instant(wall: datetime, zone: ZoneInfo, near: datetime) -> datetime:
    """`wall` without a zone, `near` with one. Answers in UTC."""
    first = wall.replace(tzinfo=zone, fold=0).astimezone(UTC)
    second = wall.replace(tzinfo=zone, fold=1).astimezone(UTC)
    if second < first:  # the hour left out: fold 0 reads it by the clock before the change
        return first
    return min((first, second), key=lambda one: abs(one - near))


def guess_end(start: datetime, last_entry: datetime | None) -> datetime:
    """When a session ended that nobody stopped: with its last entry, or at once when it has none."""
    return max(start, last_entry) if last_entry else start


def is_stale(last_sign: datetime, now: datetime, after: timedelta = timedelta(hours=8)) -> bool:
    """Whether somebody has forgotten to stop: nothing was logged for longer than anybody works without a word."""
    return now - last_sign > after


def hours_minutes(minutes: int) -> str:
    """'1:45'."""
    return f"{minutes // 60}:{minutes % 60:02}"


def to_minutes(text: str) -> int:
    """'1:45', '1.75', '1,75' or '2' (hours) in minutes. Raises ValueError."""
    text = text.strip().replace(",", ".")
    if ":" in text:
        hours, _, rest = text.partition(":")
        minutes = int(rest)
        if not 0 <= minutes < 60:
            raise ValueError(text)
        value = int(hours or 0) * 60 + minutes
    else:
        value = round(float(text or 0) * 60)
    if not 0 <= value <= 60 * 48:
        raise ValueError(text)
    return value

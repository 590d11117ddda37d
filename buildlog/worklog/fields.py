"""Fields: many words, an instant on the shop's clock, hours with minutes, a time in a clip."""

import re

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from .calc.when import hours_minutes, instant, to_minutes
from .models import WorkSession

WALL = "%Y-%m-%dT%H:%M"


class LongText(forms.CharField):
    """Many words. The page cuts none of them off: too many are refused, and stay in the box."""

    def __init__(self, *, rows: int, most: int = 20_000, **attrs_and_more):
        attrs = attrs_and_more.pop("attrs", {})
        self.most = most
        super().__init__(widget=forms.Textarea(attrs={"rows": rows, **attrs}), **attrs_and_more)

    def to_python(self, value):
        text = super().to_python(value).replace("\r\n", "\n")  # a line end is one letter
        if len(text) > self.most:
            raise ValidationError(f"That is {len(text):,} letters; {self.most:,} fit. Put the rest in another line.")
        return text


class WhenField(forms.Field):
    """A day and time on the shop's clock; cleans to the instant, in an hour that comes twice the one nearer `near`."""

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format=WALL)
    near = None

    def prepare_value(self, value):
        return timezone.localtime(value).strftime(WALL) if hasattr(value, "tzinfo") else value

    def has_changed(self, initial, data) -> bool:
        return (data or "") != (self.prepare_value(initial) or "")

    def clean(self, value):
        super().clean(value)
        if not value:
            return None
        try:
            found = parse_datetime(str(value))
        except ValueError:
            found = None
        if found is None or not 1970 < found.year < 9000:
            raise ValidationError("Write the day and the time, like 2026-11-24 22:45.")
        wall = found.replace(tzinfo=None)
        return instant(wall, timezone.get_current_timezone(), self.near or timezone.now())


class MinutesField(forms.CharField):
    """Hours and minutes: 1:45."""

    def prepare_value(self, value):
        return hours_minutes(value) if isinstance(value, int) else value

    def clean(self, value):
        text = super().clean(value)
        try:
            return to_minutes(text)
        except ValueError as error:
            raise ValidationError("Write it like 1:45.") from error


def runs_into(form: forms.Form, field: str, other: WorkSession) -> None:
    """Says at the field that another session was on then; `form.elsewhere` leads to it."""
    start = timezone.localtime(other.started_at)
    until = f"to {timezone.localtime(other.ended_at):%H:%M}" if other.ended_at else "on"
    form.add_error(field, f"{other} was from {start:%-d %b %H:%M} {until}. Add lines to that one, or say other times.")
    form.elsewhere = f"Open {other}", other.get_absolute_url()


def clip_time(typed: str) -> str:
    """A time in a clip: 1:10 or 0:01:10, or with frames 00:01:10:12."""
    typed = typed.strip()
    if typed and not re.fullmatch(r"\d{1,3}([:.]\d{1,2}){1,3}", typed):
        raise ValidationError("Write it like 1:10.")
    if typed and any(int(number) > 59 for number in re.split("[:.]", typed)[1:3]):
        raise ValidationError("A minute has 60 seconds. Write it like 1:10.")
    return typed


def clip_clock(typed: str) -> list[int]:
    """Hours, minutes, seconds and frames."""
    numbers = [int(number) for number in re.split("[:.]", typed)]
    return [0] * (len(numbers) == 2) + numbers + [0] * (4 - max(len(numbers), 3))

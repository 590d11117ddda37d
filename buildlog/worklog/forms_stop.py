"""What is asked for at the end of a session, and for one that is written down afterwards."""

import uuid
from collections.abc import Callable
from datetime import datetime, timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from buildlog.builds.models import Build
from buildlog.pictures.fields import ManyPictures, PicturesField
from buildlog.tasks.models import Task
from inventory.people.models import Person
from inventory.web.forms import ManyChoiceField

from . import queries
from .calc.when import hours_minutes, instant, to_minutes
from .drafts import Draft
from .forms import LogForm, TaskChoice, seen
from .models import WorkSession

LONGEST = timedelta(hours=36)
WALL = "%Y-%m-%dT%H:%M"


class WhenField(forms.Field):
    """A day and time on the shop's clock; cleans to the instant, in an hour that comes twice the one nearer `near`."""

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format=WALL)
    near = None

    def prepare_value(self, value):
        return timezone.localtime(value).strftime(WALL) if hasattr(value, "tzinfo") else value

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


class StopForm(forms.Form):
    """The end of a session. One field of minutes for each task that was worked on. `uid`: so its photo comes once."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    stopping_point = forms.CharField(
        label="What first, next time?", required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 3})
    )
    done = forms.CharField(
        label="What was done", required=False, max_length=8000, widget=forms.Textarea(attrs={"rows": 4})
    )
    ended_at = WhenField(label="Stopped at")
    saw = forms.CharField(required=False, widget=forms.HiddenInput)
    offered = forms.CharField(required=False, widget=forms.HiddenInput)
    photos = PicturesField(required=False, label="Bench")

    def __init__(self, *args, session: WorkSession, draft_at: Callable[[datetime], Draft], **kwargs):
        """`draft_at`: what the log says for an end at that moment."""
        super().__init__(*args, **kwargs)
        self.session, self.draft_at, ended_at = session, draft_at, self.initial["ended_at"]
        self.known = {time.task: time.minutes for time in session.times.select_related("task")}
        offer = draft_at(ended_at)
        self.tasks = tasks = list(dict.fromkeys([*offer.tasks, *self.known]))
        hours = {task: self.known.get(task, offer.minutes.get(task.pk, 0)) for task in tasks}
        drafted = [f"{task.pk}:{count}" for task, count in hours.items() if offer.minutes.get(task.pk) == count]
        self.initial |= {f"task-{task.pk}": count for task, count in hours.items()}
        self.initial["offered"] = " ".join([timezone.localtime(ended_at).strftime(WALL), *drafted])
        self.fields["uid"].initial = uuid.uuid4
        self.initial["saw"] = seen(session.done, session.stopping_point)
        self.fields["ended_at"].near = session.ended_at or timezone.now()
        for task in tasks:
            self.fields[f"task-{task.pk}"] = MinutesField(
                label=task.title, required=False,
                widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "data-hours": True}),
            )  # fmt: skip

    def clean_ended_at(self):
        ended = self.cleaned_data["ended_at"]
        if ended is None:
            raise ValidationError("Say when it stopped.")
        if ended < self.session.started_at - timedelta(minutes=1):
            began = timezone.localtime(self.session.started_at)
            raise ValidationError(f"It began at {began:%H:%M} on {began:%-d %b}. It can’t have stopped before.")
        if ended > timezone.now() + timedelta(minutes=5):
            raise ValidationError("That is still to come.")
        return max(ended, self.session.started_at)

    def clean(self):
        data, session = super().clean(), self.session
        said = (data.get("done"), data.get("stopping_point"))
        if data.get("saw") not in ("", self.initial["saw"]) and said != (session.done, session.stopping_point):
            words = "; ".join(filter(None, (session.done, session.stopping_point)))
            self.add_error(None, f"Somebody has put down the end of it meanwhile: “{words}”. Keep what holds of both.")
        if not self.errors:
            self._clean_hours(data)
        return data

    def _clean_hours(self, data):
        """Hours that stand as they were offered follow the end and the log; a task the page did not show keeps its own,
        or has what is left for it."""
        end, *drafted = data["offered"].split() or [""]
        end_stands = end == self.data.get("ended_at")
        if end_stands and self.session.is_running:  # lines came while the page was open
            data["ended_at"] = max(data["ended_at"], queries.last_sign(self.session))
        length = -int((self.session.started_at - data["ended_at"]).total_seconds() // 60)
        most = -(-length // 15) * 15
        shown = {task: data[f"task-{task.pk}"] for task in self.tasks if f"task-{task.pk}" in self.data}
        new = [task for task in self.tasks if task not in shown and task not in self.known]
        offer = self.draft_at(data["ended_at"])
        self.hours = {
            task: offer.minutes[task.pk]
            if (new or not end_stands) and task.pk in offer.minutes and f"{task.pk}:{count}" in drafted
            else count
            for task, count in shown.items()
        }
        for task, count in self.hours.items():
            if count > most:
                self.add_error(f"task-{task.pk}", f"The night was {hours_minutes(length)} long.")
        kept = sum(count for task, count in self.known.items() if task not in shown)
        left = most * max(1, self.session.people.count()) - kept - sum(self.hours.values())
        if left < 0 and not self.errors and any(self.hours.values()):
            last = next(task for task in reversed(self.hours) if self.hours[task])
            self.add_error(
                f"task-{last.pk}", f"Together that is more than the night, {hours_minutes(length)}, was long."
            )
        for task in new:
            self.hours[task] = min(offer.minutes[task.pk], max(left, 0))
            left -= self.hours[task]

    def time_fields(self):
        """[(task, its field)]."""
        return [(task, self[f"task-{task.pk}"]) for task in self.tasks]

    def minutes(self) -> dict[Task, int]:
        """Of each task whose hours were said or follow from the log; the others keep theirs."""
        return self.hours


class StopHereForm(forms.Form):
    """The end of a session on a phone without signal, which knows nothing of its log: the shop does when it arrives."""

    words = forms.CharField(
        label="What first, next time?", required=False, max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3, "id": "stop-here-words"}),
        help_text="Left empty, it is what your log says.",
    )  # fmt: skip


class LateForm(LogForm):
    """A line for a session that is over, or for an earlier hour of one that runs."""

    at = WhenField(label="When it was")

    def __init__(self, *args, session: WorkSession, **kwargs):
        super().__init__(*args, build=session.build, session=session, **kwargs)
        self.session = session
        self.fields["at"].near = self.initial["at"] = session.ended_at or timezone.now()
        self.order_fields(["uid", "text", "kind", "at"])

    def clean_at(self):
        at, end = self.cleaned_data["at"], self.session.ended_at or timezone.now()
        if at and not self.session.started_at - timedelta(minutes=1) <= at <= end + timedelta(minutes=1):
            began, ended = timezone.localtime(self.session.started_at), timezone.localtime(end)
            raise ValidationError(f"The session went from {began:%H:%M} to {ended:%H:%M}.")
        return at


class TimesForm(forms.Form):
    """When a session began and ended, and who was there, put right afterwards."""

    started_at = WhenField(label="Began at")
    ended_at = WhenField(label="Stopped at", required=False)
    people = ManyChoiceField(
        queryset=Person.objects.filter(is_active=True).order_by("name"), widget=forms.CheckboxSelectMultiple,
        label="Who was there", required=False,
    )  # fmt: skip

    def __init__(self, *args, session: WorkSession, **kwargs):
        super().__init__(*args, **kwargs)
        self.session = session
        self.fields["started_at"].near = session.started_at
        self.fields["ended_at"].near = session.ended_at or timezone.now()
        self.fields["ended_at"].required = not session.is_running
        if session.is_running:
            del self.fields["ended_at"]

    def clean(self):
        data = check_span(self, super().clean())
        if {"started_at", "ended_at"} & set(self.changed_data):
            check_alone(self, self.session.build, data, but=self.session)
        return data


def check_span(form: forms.Form, data: dict) -> dict:
    """Began before it stopped, within a night and a day, and not in the future."""
    began, ended = data.get("started_at"), data.get("ended_at")
    now = timezone.now()
    if began and began > now:
        form.add_error("started_at", "That is still to come.")
    if ended and ended > now + timedelta(minutes=5):
        form.add_error("ended_at", "That is still to come.")
    if began and ended and ended < began:
        form.add_error("ended_at", "It stopped before it began.")
    elif began and ended and ended - began > LONGEST:
        form.add_error("ended_at", "That is longer than a night and a day. Make it two sessions.")
    return data


def check_alone(form: forms.Form, build: Build, data: dict, but: WorkSession | None = None) -> None:
    """No other session of the build was on then: its hours would count twice."""
    began, ended = data.get("started_at"), data.get("ended_at") or timezone.now()
    if form.errors or not began:
        return
    if other := queries.overlapping(build, began, ended, but):
        start = timezone.localtime(other.started_at)
        until = f"to {timezone.localtime(other.ended_at):%H:%M}" if other.ended_at else "on"
        form.add_error(
            "started_at", f"{other} was from {start:%-d %b %H:%M} {until}. Add lines to that one, or say other times."
        )


class RememberForm(forms.Form):
    """A session from memory."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    started_at = WhenField(label="Began at")
    ended_at = WhenField(label="Stopped at")
    text = forms.CharField(
        label="What was done, one line a thing", max_length=8000, widget=forms.Textarea(attrs={"rows": 6})
    )
    task = TaskChoice(queryset=None, required=False, empty_label="No task", label="Task")
    stopping_point = forms.CharField(
        label="What first, next time?", required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2})
    )
    people = ManyChoiceField(
        queryset=Person.objects.filter(is_active=True).order_by("name"), widget=forms.CheckboxSelectMultiple,
        label="Who was there", required=False,
    )  # fmt: skip
    photos = PicturesField(
        label="Photos", required=False,
        widget=ManyPictures(attrs={"accept": "image/*", "multiple": True, "data-shrink": True}),
    )  # fmt: skip

    def __init__(self, *args, build: Build, **kwargs):
        super().__init__(*args, **kwargs)
        self.build = build
        self.fields["uid"].initial = uuid.uuid4
        self.fields["task"].queryset = Task.objects.of(build).order_by("-started_at", "title")

    def clean(self):
        data = check_span(self, super().clean())
        if data.get("uid") and (earlier := queries.arrived(str(uuid.uuid5(data["uid"], "0")))):
            check_alone(self, self.build, data, but=earlier.session)
        else:
            check_alone(self, self.build, data)
        return data

"""What is asked for afterwards: a forgotten line, times put right, a night from memory."""

import uuid
from datetime import timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from buildlog.builds.models import Build
from buildlog.pictures.fields import ManyPictures, PicturesField
from inventory.people.models import Person
from inventory.web.forms import ManyChoiceField

from . import queries
from .fields import LongText, WhenField, runs_into
from .forms import LogForm, TaskChoice
from .models import WorkSession

LONGEST = timedelta(hours=36)


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
        label="Who was there", error_messages={"required": "Say who was there."},
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
        at_its_end = other.started_at > began and "ended_at" in form.changed_data
        runs_into(form, "ended_at" if at_its_end else "started_at", other)


class RememberForm(forms.Form):
    """A session from memory."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    started_at = WhenField(label="Began at")
    ended_at = WhenField(label="Stopped at")
    text = LongText(label="What was done, one line a thing", rows=6)
    task = TaskChoice(queryset=None, required=False, empty_label="No task", label="Task")
    stopping_point = LongText(label="What first, next time?", required=False, rows=2)
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
        self.fields["task"].queryset = queries.choosable_tasks(build)

    def clean(self):
        data = check_span(self, super().clean())
        if data.get("uid") and (earlier := queries.arrived(str(uuid.uuid5(data["uid"], "0")))):
            check_alone(self, self.build, data, but=earlier.session)
        else:
            check_alone(self, self.build, data)
        return data

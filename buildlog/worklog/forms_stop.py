"""What is asked for at the end of a session."""

import uuid
from collections.abc import Callable
from datetime import datetime, timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from buildlog.pictures.actions import came_before
from buildlog.pictures.fields import PicturesField
from buildlog.tasks.models import Task

from . import queries
from .calc.when import hours_minutes
from .drafts import Draft
from .fields import WALL, LongText, MinutesField, WhenField, runs_into
from .forms import seen
from .models import WorkSession


class StopForm(forms.Form):
    """The end of a session. One field of minutes for each task that was worked on. `uid`: so its photo comes once.

    `saw` sums up what of the end was put down when the form was made, its words, photo, and times; `offered` says what
    the form showed: the end, and the minutes of each task, 7:60 as the log says and 7=60 as a person did.
    """

    uid = forms.UUIDField(widget=forms.HiddenInput)
    stopping_point = LongText(label="What first, next time?", required=False, rows=3)
    done = LongText(label="What was done", required=False, rows=4)
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
        self.initial |= {_name(task): count for task, count in hours.items()}
        marks = {task: ":" if offer.minutes.get(task.pk) == count else "=" for task, count in hours.items()}
        offered = [f"{task.pk}{marks[task]}{count}" for task, count in hours.items()]
        self.initial["offered"] = " ".join([_wall(ended_at), *offered])
        times = seen(str(session.ended_at), *sorted(f"{task.pk}:{count}" for task, count in self.known.items()))
        self.initial["saw"] = f"{seen(session.done, session.stopping_point)} {session.bench_photo_id} {times}"
        self.fields["uid"].initial = uuid.uuid4
        self.fields["ended_at"].near = session.ended_at or timezone.now()
        for task in tasks:
            self.fields[_name(task)] = MinutesField(
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

    def _check_alone(self, data):
        """An end that a person says is not in another night; one that was offered is as the nights were joined."""
        ended, stood = data["ended_at"], self.initial["ended_at"]
        if self._end_stands() or _wall(ended) == _wall(stood):
            return
        if other := queries.overlapping(self.session.build, self.session.started_at, ended, but=self.session):
            runs_into(self, "ended_at", other)

    def clean(self):
        data, session = super().clean(), self.session
        words, photo, times = (
            was not in ("", now)
            for was, now in zip([*data.get("saw", "").split(), "", "", ""], self.initial["saw"].split(), strict=False)
        )
        if self.errors:
            self._show_all()
            return data
        self._check_alone(data)
        if words and (data["done"], data["stopping_point"]) != (session.done, session.stopping_point):
            said = "; ".join(filter(None, (session.done, session.stopping_point)))
            self.add_error(None, f"Somebody has put down the end of it meanwhile: “{said}”. Keep what holds of both.")
        self.photo_stays = bool(photo and session.bench_photo_id and data["photos"])
        if self.photo_stays and not came_before(data["uid"]):
            self.add_error("photos", "There is another photo of the bench meanwhile. Add yours to a line of the log.")
        put_right = times and not session.is_running and not session.end_guessed
        if put_right:
            self._leave_times(data)
        elif not self.errors:
            self._clean_hours(data)
        if self.errors:
            self._show_all(now=words or photo or put_right)
        return data

    def _end_stands(self) -> bool:
        """Whether the end is as it was offered."""
        return self.data.get("ended_at") == (self.data.get("offered") or " ").split(" ")[0]

    def _shown(self) -> dict[Task, int]:
        return {task: self.cleaned_data[_name(task)] for task in self.tasks if _name(task) in self.data}

    def _leave_times(self, data):
        """The end or the hours were put right since: what is as it was offered gives way, what was said is refused."""
        offered = data["offered"].split()
        if not self._end_stands() and _wall(data["ended_at"]) != _wall(self.session.ended_at):
            self.add_error("ended_at", f"Somebody has put {_said(self.session.ended_at)} meanwhile. Say which holds.")
        for task, count in self._shown().items():
            now = self.known.get(task, 0)
            if count != now and not {f"{task.pk}:{count}", f"{task.pk}={count}"} & set(offered):
                self.add_error(_name(task), f"Somebody has put {hours_minutes(now)} meanwhile. Say which holds.")
        data["ended_at"], self.hours = self.session.ended_at, {}

    def _show_all(self, now: bool = False):
        """A page that comes back shows every task. `now`: and stands on what is put down by now."""
        self.data = self.data.copy()
        old = self.data.get("offered", "").split()
        for task in self.tasks:
            name, count = _name(task), self.cleaned_data.get(_name(task))
            if name not in self.data or now and {f"{task.pk}:{count}", f"{task.pk}={count}"} & set(old):
                self.data[name] = hours_minutes(self.initial[name])
        if now and self._end_stands():
            self.data["ended_at"] = _wall(self.initial["ended_at"])
        if now:
            self.data["saw"], self.data["offered"] = self.initial["saw"], self.initial["offered"]

    def _clean_hours(self, data):
        """Hours that stand as they were offered follow the end and the log; a task the page did not show keeps its own,
        or has what is left for it."""
        end_stands, offered = self._end_stands(), data["offered"].split()
        if end_stands and self.session.is_running:  # lines came while the page was open
            data["ended_at"] = max(data["ended_at"], queries.last_sign(self.session))
        length = -int((self.session.started_at - data["ended_at"]).total_seconds() // 60)
        most = -(-length // 15) * 15
        shown = self._shown()
        new = [task for task in self.tasks if task not in shown and task not in self.known]
        offer = self.draft_at(data["ended_at"])
        self.hours = {
            task: offer.minutes[task.pk]
            if (new or not end_stands) and task.pk in offer.minutes and f"{task.pk}:{count}" in offered
            else count
            for task, count in shown.items()
        }
        for task, count in self.hours.items():
            if count > most:
                self.add_error(_name(task), f"The night was {hours_minutes(length)} long.")
        kept = sum(count for task, count in self.known.items() if task not in shown)
        left = most * max(1, self.session.people.count()) - kept - sum(self.hours.values())
        if left < 0 and not self.errors and any(self.hours.values()):
            last = next(task for task in reversed(self.hours) if self.hours[task])
            self.add_error(_name(last), f"Together that is more than the night, {hours_minutes(length)}, was long.")
        for task in new:
            self.hours[task] = min(offer.minutes[task.pk], max(left, 0))
            left -= self.hours[task]

    def time_fields(self):
        """[(task, its field)]."""
        return [(task, self[_name(task)]) for task in self.tasks]

    def minutes(self) -> dict[Task, int]:
        """Of each task whose hours were said or follow from the log; the others keep theirs."""
        return self.hours


def _name(task: Task) -> str:
    return f"task-{task.pk}"


def _wall(at: datetime) -> str:
    return timezone.localtime(at).strftime(WALL)


def _said(at: datetime) -> str:
    return f"{timezone.localtime(at):%-d %b %H:%M}"


class StopHereForm(forms.Form):
    """The end of a session on a phone without signal, which knows nothing of its log: the shop does when it arrives."""

    words = LongText(
        label="What first, next time?", required=False, rows=3, attrs={"id": "stop-here-words"},
        help_text="Left empty, it is what your log says.",
    )  # fmt: skip

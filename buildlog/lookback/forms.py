"""What one looks for in the log."""

from django import forms
from django.urls import reverse_lazy

from buildlog.builds.models import Build
from buildlog.tasks.models import Task
from buildlog.tasks.picks import pick_tasks
from buildlog.worklog.models import Kind
from inventory.parts.models import Part
from inventory.parts.queries import pick_parts
from inventory.people.models import Person
from inventory.web.picker import Choice, PickField

from .queries import Asked

PEOPLE = 2  # from so many on it is worth asking whose lines


class LogForm(forms.Form):
    """Everything may be left out; what means nothing is passed over."""

    q = forms.CharField(
        label="Words in the log",
        required=False,
        max_length=120,
        widget=forms.TextInput(attrs={"type": "search"}),
        error_messages={"max_length": "Look for fewer words: 120 letters at the most."},
    )
    day = forms.DateField(
        label="The night of", required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    area = forms.ModelChoiceField(queryset=None, required=False, empty_label="Any area")
    kind = forms.ChoiceField(label="Kind of line", required=False, choices=[("", "Any kind"), *Kind.choices])
    by = forms.ModelChoiceField(queryset=None, required=False, empty_label="Anybody", label="Written by")
    pictures = forms.BooleanField(label="Only with a picture", required=False)

    def __init__(self, data, *, build: Build):
        super().__init__(data)
        self.fields["area"].queryset = build.areas.all()
        people = Person.objects.order_by("name")
        self.fields["by"].queryset = people
        self.fields["task"] = PickField(
            search=lambda text: pick_tasks(build, text), get=lambda value: _task(build, value), label="Task",
            required=False, suggest_url=reverse_lazy("buildlog:tasks_pick", query={"build": build.pk}),
        )  # fmt: skip
        self.fields["part"] = PickField(
            search=_known_parts, get=_part, label="Part", required=False,
            suggest_url=reverse_lazy("inventory:parts_pick_part", query={"but": 0}),
        )  # fmt: skip
        if not build.areas.exists():
            del self.fields["area"]
        self.alone = people.count() < PEOPLE
        if self.alone:
            del self.fields["by"]

    def asked(self) -> Asked:
        """What was asked for. A task or part that was picked stays to be seen as picked."""
        self.is_valid()
        given = {name: value for name, value in self.cleaned_data.items() if value}
        for name in ("task", "part"):
            if thing := given.get(name):
                self.fields[name].offer([Choice(str(thing.pk), str(thing))])
        return Asked(words=given.pop("q", ""), **given)


def _task(build: Build, value: str) -> Task | None:
    return Task.objects.of(build).filter(pk=value).first() if value.isdecimal() else None


def _part(value: str) -> Part | None:
    """Also one that is out of the list by now: it is in the log still."""
    return Part.objects.filter(pk=value).first() if value.isdecimal() else None


def _known_parts(text: str) -> list[Choice]:
    """Parts of the list, without the offer to add one."""
    return [choice for choice in pick_parts(text) if choice.value.isdecimal()]

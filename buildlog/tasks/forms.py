"""What is asked for when tasks are added, changed and tied together."""

import uuid

from django import forms
from django.db.models import Q
from django.urls import reverse

from buildlog.builds.models import Build
from inventory.cautions.table import CAUTIONS
from inventory.parts.models import Part
from inventory.parts.quantity import QuantityFormField, exact
from inventory.parts.queries import get_part
from inventory.places.models import Location
from inventory.web.forms import NumberField
from inventory.web.picker import PickField

from .actions import check_title
from .calc.typed import LONGEST_TITLE, Typed, falling, key, parse, with_hours
from .models import Task
from .picks import pick_part_or_words, pick_tasks
from .queries import known_titles
from .words import spelled

HOURS = ("hours_low", "hours_likely", "hours_high")


class OtherTaskField(PickField):
    """Another task of the same build."""

    def __init__(self, *, task: Task, label: str):
        build, self.task = task.build, task
        super().__init__(
            search=lambda text: pick_tasks(build, text, task.pk),
            get=lambda value: Task.objects.of(build).filter(pk=value).first() if value.isdecimal() else None,
            label=label,
            suggest_url=reverse("buildlog:tasks_pick", query={"build": build.pk, "but": task.pk}),
            placeholder="Some of its title",
            missing="No other task of this build has that in its title.",
        )

    def clean(self, value):
        picked, text = value
        itself = not self.search(text) and key(self.task.title) == key(text) if text else picked == str(self.task.pk)
        if itself:
            raise forms.ValidationError("That is this task itself. Pick another.")
        return super().clean(value)


class TypedForm(forms.Form):
    """Tasks one a line. `typed` holds what was read once it is valid."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    text = forms.CharField(
        label="Tasks, one a line",
        strip=False,
        widget=forms.Textarea(attrs={"rows": 10, "autocapitalize": "sentences", "spellcheck": "true"}),
    )
    area = forms.ModelChoiceField(queryset=None, required=False, empty_label="None", label="Area")

    def __init__(self, *args, build: Build, **kwargs):
        super().__init__(*args, **kwargs)
        self.build = build
        self.fields["uid"].initial = uuid.uuid4
        self.fields["area"].queryset = build.areas.all()
        self.typed: Typed | None = None

    def clean_text(self):
        text = self.cleaned_data["text"]
        self.typed = parse(text, known_titles(self.build))
        if self.typed.problems:
            raise forms.ValidationError([problem_words(problem) for problem in self.typed.problems])
        if not self.typed.lines:
            raise forms.ValidationError("There is no task in this yet.")
        return text


def problem_words(problem) -> str:
    what = problem.words[0] if problem.words else ""
    says = {
        "unknown": f"there is no task called “{what}” here or in the plan.",
        "ambiguous": f"several tasks are called “{what}”. Type more of the title.",
        "circle": f"these go round in a circle: {spelled(problem.words)}" if problem.words else "",
        "long": "this title is longer than 120 letters. Put the rest in the task’s detail.",
        "area": f"the area “{what}” is longer than 60 letters.",
        "below": f"the hours of “{what}” are below 0. Leave the minus out.",
        "hours": f"the hours of “{what}” must rise, as in 1-2-4h.",
    }[problem.kind]
    return f"Line {problem.line}: {says}"


class TaskForm(forms.ModelForm):
    UNITS = [("1", "hours"), ("24", "days")]
    wait = forms.IntegerField(
        min_value=0, max_value=9999, required=False, label="Wait after it",
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        help_text="Paint cures, glue sets: what needs it waits so long.",
    )  # fmt: skip
    wait_unit = forms.ChoiceField(choices=UNITS, required=False, label="Hours or days", widget=forms.RadioSelect)
    cautions = forms.MultipleChoiceField(
        choices=[(one.key, f"{one.hazard} ({one.word})") for one in CAUTIONS.values()],
        required=False, widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip

    class Meta:
        model = Task
        fields = [
            "title", "detail", "area", "place", "hours_low", "hours_likely", "hours_high", "wait", "wait_unit",
            "decisions", "cautions",
        ]  # fmt: skip
        labels = {"decisions": "Waits for a decision"}
        field_classes = dict.fromkeys(HOURS, NumberField)
        widgets = {
            "detail": forms.Textarea(attrs={"rows": 4}),
            "decisions": forms.CheckboxSelectMultiple,
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        task = self.instance
        self.fields["area"].queryset = task.build.areas.all()
        self.fields["area"].empty_label = "None"
        self.fields["place"].queryset = Location.objects.current().filter(away=True).in_order()
        self.fields["place"].label_from_instance = lambda place: place.title
        self.fields["place"].empty_label = "Here"
        mine = task.decisions.values("pk")
        for name in ("decisions", "cautions"):
            self.fields[name].template_name = "ui/ticks.html"
        for name in HOURS:
            value = getattr(task, name)
            self.initial[name] = None if value is None else f"{value.normalize():f}"
        self.fields["decisions"].queryset = task.build.decisions.filter(Q(chosen=None) | Q(pk__in=mine))
        if not self.fields["decisions"].queryset.exists():
            del self.fields["decisions"]
        days = task.wait_hours and task.wait_hours % 24 == 0
        self.fields["wait"].initial = task.wait_hours // 24 if days else task.wait_hours or None
        self.fields["wait_unit"].initial = "24" if days or not task.wait_hours else "1"

    def clean_title(self):
        return check_title(self.cleaned_data["title"])

    def clean(self):
        """Hours rise; said at the first that does not, where the form would say it above all fields."""
        data, least = super().clean(), None
        for name in HOURS:
            hours = data.get(name)
            if hours is not None and least is not None and hours < least:
                self.add_error(name, "Hours must rise from best to most likely to worst.")
                break
            least = least if hours is None else hours
        return data

    def save(self, commit=True):
        unit = int(self.cleaned_data.get("wait_unit") or 1)
        self.instance.wait_hours = (self.cleaned_data.get("wait") or 0) * unit
        return super().save(commit)


class NeedForm(forms.Form):
    def __init__(self, *args, task: Task, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["need"] = OtherTaskField(task=task, label="What must be done before it")


class PartLineForm(forms.Form):
    """A part of the shop, or words."""

    quantity = QuantityFormField(label="How many", initial=1, min_value=exact("0.001"))

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["part"] = PickField(
            search=pick_part_or_words,
            get=get_part,
            label="What it uses",
            suggest_url=reverse("buildlog:tasks_pick_part"),
            placeholder="Name or part number, or what you will look for",
        )
        self.order_fields(["part", "quantity"])

    def clean(self):
        data = super().clean()
        part: Part | None = data.get("part")
        quantity = data.get("quantity")
        if part and part.pk and part.whole and quantity is not None and quantity != int(quantity):
            self.add_error("quantity", f"“{part}” is counted in whole pieces.")
        return data


class ProvisionForm(forms.Form):
    words = forms.CharField(
        max_length=200,
        label="What it must leave ready",
        widget=forms.TextInput(attrs={"placeholder": "Four holes for the guard"}),
    )

    def __init__(self, *args, task: Task, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["later"] = OtherTaskField(task=task, label="For which later task")


class SplitForm(forms.Form):
    """The pieces; `hours` of each comes with them."""

    uid = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    titles = forms.CharField(
        label="The pieces, one a line", widget=forms.Textarea(attrs={"rows": 5}),
        help_text="Hours at the end, if you know: 2h, or 1-3h, or 1-2-4h.",
    )  # fmt: skip
    in_turn = forms.BooleanField(required=False, label="One after the other")

    def clean_titles(self):
        lines = [with_hours(line) for line in self.cleaned_data["titles"].splitlines() if line.strip()]
        if len(lines) < 2:
            raise forms.ValidationError("Type at least two lines: the first is what this task becomes.")
        titles, self.cleaned_data["hours"] = [title for title, _ in lines], [hours for _, hours in lines]
        for title, hours in lines:
            if len(title) > LONGEST_TITLE:
                raise forms.ValidationError(f"“{title}” is longer than a title can be, {LONGEST_TITLE} letters.")
            if falling(hours):
                raise forms.ValidationError(f"The hours of “{title}” must rise, as in 1-2-4h.")
        return titles


class JoinForm(forms.Form):
    uid = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)

    def __init__(self, *args, task: Task, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["other"] = OtherTaskField(task=task, label="Which task becomes part of this one")


class MarkForm(forms.Form):
    """A button that says how a task stands now; its errors say why it can't."""

    def __init__(self, *args, task: Task, **kwargs):
        super().__init__(*args, **kwargs)
        self.task = task


class HoldForm(MarkForm):
    words = forms.CharField(
        max_length=200, label="What it waits for", error_messages={"required": "Say what the task waits for."}
    )

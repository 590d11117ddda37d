"""What is asked for when a line is logged or changed."""

import hashlib
import re
import uuid
from collections.abc import Sequence

from django import forms
from django.forms.utils import flatatt
from django.urls import reverse_lazy
from django.utils.html import format_html, format_html_join
from django.utils.safestring import mark_safe

from buildlog.builds.models import Build
from buildlog.measures.calc.reading import Found, find
from buildlog.measures.forms import clean_plus_minus
from buildlog.measures.queries import usual
from buildlog.pictures.fields import ManyPictures, PicturesField
from buildlog.tasks.models import Status, Task
from inventory.parts.quantity import QuantityFormField, exact
from inventory.places.queries import get_place, pick_places
from inventory.web.picker import Choice, PickField

from . import queries
from .fields import LongText, clip_clock, clip_time
from .models import Entry, Happened, Kind, WorkSession
from .picks import Picked, get_held, lately_handled, pick_held
from .readings import HOW, PARTS_OF_AN_INCH

KINDS = [(kind, kind.label) for kind in (Kind.NOTE, Kind.MEASURE, Kind.SNAG, Kind.PART)]
BROKEN = [("scrap", "Scrap: out of the shop"), ("repair", "It can be repaired")]
UNITS = [("mm", "mm"), ("in", "inch")]
SELECTED = mark_safe(" selected")  # noqa: S308, a constant
THOUSANDS = re.compile(r"(?<![\w.,])[1-9]\d{0,2},\d{3}(?![\d.,]*\d)")
AND_A_BIT = re.compile(r"\d[\"”″]?\s*[+]\s*(?:x|×|\*|by\b)\s*\d", re.IGNORECASE)
ROUNDED = "Of a size in mm by caliper or micrometer the inches are decimals instead."
MOST_SIZES = Entry._meta.get_field("measured").max_length
NO_MEASURE = "There is no size in this. Write it like 43 5/16, 1100 mm, 62,5 or 3ft 2 1/4."


def seen(*texts: str) -> str:
    """A short sum of texts as they were when a form was made: another one says that somebody changed them since."""
    return hashlib.sha256("\0".join(texts).encode()).hexdigest()[:16]


class LongSelect(forms.Select):
    """A choice of many, written out at once: Django's own renders a template for each option, a third of Tonight."""

    def render(self, name, value, attrs=None, renderer=None):
        attrs = self.build_attrs(self.attrs, {**(attrs or {}), "name": name})
        chosen = "" if value is None else str(value)
        rows = ((key, SELECTED if str(key) == chosen else "", label) for key, label in self.choices)
        return format_html(
            "<select{}>{}</select>", flatatt(attrs), format_html_join("", '<option value="{}"{}>{}</option>', rows)
        )


class QuickRadios(forms.RadioSelect):
    """Its options written out: Django's own renders three templates for each of them."""

    def _render(self, template_name, context, renderer=None):
        if template_name != self.option_template_name:
            return super()._render(template_name, context, renderer)
        one = context["widget"]
        return format_html(
            '<input type="radio" name="{}" value="{}"{}>', one["name"], one["value"], flatatt(one["attrs"])
        )


class TaskChoice(forms.ModelChoiceField):
    widget = LongSelect

    def label_from_instance(self, task: Task) -> str:
        match task.status:
            case Status.STARTED:
                return f"● {task.title}"
            case Status.DONE:
                return f"✓ {task.title}"
            case Status.DROPPED:
                return f"{task.title} (dropped)"
        return task.title


def check_measure(form: forms.Form, text: str, unit: str) -> Found | None:
    """The sizes in the text; says at the field when there are none."""
    found, unclear = find(text, unit or "mm"), THOUSANDS.search(text)
    if unclear and (found is None or not any(c.isalpha() or c == "/" for c in found.typed)):
        number = unclear.group()
        whole, point = number.replace(",", ""), number.replace(",", ".").rstrip("0").rstrip(".")
        form.add_error("text", f"The comma in {number} is unclear. Write {whole} or {point}.")
    elif found is None:
        form.add_error("text", NO_MEASURE)
    elif any(length.mm < 0 for length in found.lengths):
        form.add_error("text", "A size is not below nothing. Write it without the minus.")
    elif AND_A_BIT.search(text):
        form.add_error("text", "A + before the × can’t be read. Write the size without it, to a finer part of an inch.")
    elif len(found.typed) > MOST_SIZES:
        form.add_error("text", "That is more sizes than one line holds. Make it two lines.")
    return found


class LogForm(forms.Form):
    """One line. `uid` is made with the form, so that sending it twice logs it once."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    text = LongText(
        label="What just happened?", required=False, rows=3,
        attrs={"placeholder": "What just happened?", "autocapitalize": "sentences"},
    )  # fmt: skip
    kind = forms.ChoiceField(choices=KINDS, initial=Kind.NOTE, widget=QuickRadios, label="What it is")
    task = TaskChoice(queryset=None, required=False, empty_label="No task", label="Task")
    photos = PicturesField(required=False, label="Photo")
    how = forms.ChoiceField(choices=HOW, required=False, widget=QuickRadios, label="Measured with")
    unit = forms.ChoiceField(choices=UNITS, required=False, widget=QuickRadios, label="A bare number is in")
    round_to = forms.TypedChoiceField(
        choices=PARTS_OF_AN_INCH, coerce=int, empty_value=32, required=False, widget=QuickRadios,
        label="Inches to the nearest", help_text=ROUNDED,
    )  # fmt: skip
    happened = forms.ChoiceField(
        choices=Happened.choices, required=False, initial=Happened.TOOK, widget=QuickRadios,
        label="What happened to it",
    )  # fmt: skip
    broken = forms.ChoiceField(
        choices=BROKEN, required=False, initial="scrap", widget=QuickRadios, label="What becomes of it"
    )
    quantity = QuantityFormField(label="How many", initial=1, min_value=exact("0.001"), required=False)

    def __init__(
        self, *args, build: Build, person, session: WorkSession | None = None, tasks: Sequence[Task] = (), **kwargs
    ):
        """`tasks`: the unfinished ones, where they are known already."""
        super().__init__(*args, **kwargs)
        self.person = person
        self.fields["uid"].initial = uuid.uuid4
        task = self.fields["task"]
        # A line may come late, about a task that was finished meanwhile.
        task.queryset = queries.choosable_tasks(build) if self.is_bound else queries.pickable_tasks(build)
        task.widget.attrs["data-fresh"] = True
        if not self.is_bound:
            tasks = tasks or list(task.queryset)
            task.choices = [("", task.empty_label), *((one.pk, task.label_from_instance(one)) for one in tasks)]
        self.fields["part"] = PickField(
            search=pick_held, get=get_held, label="Part", required=False,
            suggest_url=reverse_lazy("buildlog:worklog_pick"), placeholder="Name, number, place or label code",
        )  # fmt: skip
        self.fields["place"] = PickField(
            search=pick_places, get=get_place, label="Where to", required=False,
            suggest_url=reverse_lazy("inventory:parts_pick_place"), placeholder="Only if it isn’t the usual place",
            missing="No place has that address or name. Make it first, under Places.",
        )  # fmt: skip
        if not self.is_bound:
            self.fields["part"].offer(lately_handled(person))
            self.initial |= queries.last_measure(person) | {"task": queries.likely_task(session, person, tasks)}

    def stand_again(self) -> None:
        """What it offers where it comes back refused: tasks that are not over, and the part that was picked."""
        task, chosen = self.fields["task"], self.data.get("task", "")
        rows = [one for one in task.queryset if one.is_open or str(one.pk) == chosen]
        task.choices = [("", task.empty_label), *((one.pk, task.label_from_instance(one)) for one in rows)]
        picked = self.cleaned_data.get("part") or get_held(self.data.get("part", ""))
        part = self.fields["part"]
        if not part.widget.choices:
            lately = lately_handled(self.person)
            known = any(choice.value == self.data.get("part") for choice in lately)
            part.offer(lately if known or picked is None else [_again(self.data["part"], picked), *lately])

    def take(self, choices: Sequence[Choice]) -> None:
        """The line is about one of these parts; the only one is picked."""
        self.initial["kind"] = Kind.PART
        self.fields["part"].offer(choices)
        if len(choices) == 1:
            self.initial["part"] = choices[0].value

    def clean(self):
        data = super().clean()
        text, kind = data.get("text", "").strip(), data.get("kind", Kind.NOTE)
        data["text"] = text
        if kind == Kind.MEASURE:
            data["unit"], data["how"] = data.get("unit") or "mm", data.get("how") or "tape"
            if found := check_measure(self, text, data["unit"]):
                data["measured"] = found.typed
                data["plus_minus"] = usual(data["how"], found.lengths[0].system)
        elif kind == Kind.PART:
            self._clean_part(data)
        elif not text and not data.get("photos") and "photos" not in self.errors:
            self.add_error("text", "Write a word or two, or add a photo.")
        return data

    def _clean_part(self, data):
        picked, quantity = data.get("part"), data.get("quantity")
        data["happened"] = data.get("happened") or Happened.TOOK
        if "part" not in self.errors and picked is None:
            self.add_error("part", "Pick the part, or type its name.")
        if "quantity" not in self.errors and quantity is None:
            self.add_error("quantity", "Say how many.")
        elif picked and quantity is not None and picked.part.whole and quantity != int(quantity):
            self.add_error("quantity", f"“{picked.part}” is counted in whole pieces.")


def _again(value: str, picked: Picked) -> Choice:
    return Choice(value, str(picked.part), address=str(picked.place or ""))


class EntryForm(forms.ModelForm):
    """A line, changed later. `uid` is made with the form, so that its photos come once."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    photos = PicturesField(required=False, label="More photos")
    how = forms.ChoiceField(choices=HOW, required=False, widget=forms.RadioSelect, label="Measured with")
    saw = forms.CharField(required=False, widget=forms.HiddenInput)

    class Meta:
        model = Entry
        fields = ["text", "task", "unit", "how", "round_to", "plus_minus", "clip", "clip_in", "clip_out", "private"]
        field_classes = {"task": TaskChoice}
        labels = {
            "text": "The line",
            "unit": "A bare number is in",
            "round_to": "Inches to the nearest",
            "plus_minus": "Good to ±, if not as usual",
        }
        help_texts = {
            "round_to": ROUNDED,
            "clip": "The camera’s file name or number.",
            "plus_minus": "Like 1/16 or 0,2 mm.",
        }
        widgets = {"text": forms.Textarea(attrs={"rows": 4}), "unit": forms.RadioSelect, "round_to": forms.RadioSelect}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        entry = self.instance
        self.fields["uid"].initial = uuid.uuid4
        self.initial["saw"] = seen(entry.text)
        self.fields["task"].queryset = queries.choosable_tasks(entry.session.build)
        self.fields["task"].empty_label = "No task"
        self.fields["photos"].widget = ManyPictures(attrs={"accept": "image/*", "multiple": True, "data-shrink": True})
        if entry.kind == Kind.MEASURE:
            self.fields["unit"].choices = UNITS
            self.fields["round_to"].required = False
        else:
            for name in ("unit", "how", "round_to", "plus_minus"):
                del self.fields[name]
        if entry.kind in (Kind.PART, Kind.TASK):
            del self.fields["task"]  # the claim and the change belong to it
        self.fields["text"].required = entry.kind in (Kind.NOTE, Kind.SNAG) and not entry.photos.exists()

    def clean_text(self):
        """Only line ends that are written another way are no change."""
        text, stood = self.cleaned_data["text"].replace("\r\n", "\n"), Entry.objects.get(pk=self.instance.pk).text
        return stood if text == stood.replace("\r\n", "\n") else text

    def clean_plus_minus(self):
        return clean_plus_minus(self.cleaned_data["plus_minus"], self.data.get("unit") or "mm")

    def clean_clip_in(self):
        return clip_time(self.cleaned_data["clip_in"])

    def clean_clip_out(self):
        return clip_time(self.cleaned_data["clip_out"])

    def clean(self):
        data = super().clean()
        text = Entry.objects.get(pk=self.instance.pk).text
        if data.get("saw") not in ("", self.initial["saw"]) and data.get("text") != text:
            self.add_error("text", f"Somebody has changed the line meanwhile to: “{text}”. Keep what holds of both.")
            self.data = self.data.copy()
            self.data["saw"] = self.initial["saw"]  # the page that comes back says so
        if self.instance.kind == Kind.MEASURE and "text" not in self.errors:
            self._clean_measure(data)
        begins, ends = data.get("clip_in"), data.get("clip_out")
        if begins and ends and clip_clock(ends) < clip_clock(begins):
            self.add_error("clip_out", f"That is before {begins}, where it begins.")
        return data

    def _clean_measure(self, data):
        found = check_measure(self, data.get("text", ""), data.get("unit") or "mm")
        if found is None:
            return
        data["measured"] = found.typed
        if "how" in self.changed_data and "plus_minus" not in self.changed_data:
            data["plus_minus"] = usual(data["how"], found.lengths[0].system)  # of the other instrument

    def changes(self) -> dict:
        """The fields as keywords for actions_entries.change."""
        given = {name: value for name, value in self.cleaned_data.items() if name not in ("uid", "photos", "saw")}
        if "round_to" in given:
            given["round_to"] = given["round_to"] or self.instance.round_to or 32
        return given

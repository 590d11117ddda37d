"""What is asked for when a story is made or changed."""

from textwrap import shorten

from django import forms
from django.utils import timezone
from django.utils.formats import date_format

from buildlog.builds.models import Build
from buildlog.tasks.models import Task
from inventory.donors.models import Donor
from inventory.web.forms import ManyChoiceField

from .calc.timeline import Unreadable, read_time
from .models import Piece, Story, Takes
from .record import CHOSEN_PHOTOS, NO_PHOTOS

NIGHTS_OFFERED = 30


class NightChoice(ManyChoiceField):
    widget = forms.CheckboxSelectMultiple

    def label_from_instance(self, session) -> str:
        day = date_format(timezone.localtime(session.started_at), "D j M")
        words = shorten(session.done or session.stopping_point, 70, placeholder=" …")
        return f"{session.number}. {day}" + (f": {words}" if words else "")


def day_field(label: str) -> forms.DateField:
    return forms.DateField(
        label=label, required=False, widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"invalid": "Write the day like 2026-11-24."},
    )  # fmt: skip


class NewForm(forms.Form):
    """What the story is of. Only the field that goes with `takes` counts."""

    takes = forms.ChoiceField(label="Told from", choices=Takes.choices, widget=forms.RadioSelect, initial=Takes.NIGHTS)
    sessions = NightChoice(label="Nights", queryset=None, required=False)
    since = day_field("From")
    until = day_field("To")
    area = forms.ModelChoiceField(label="Area", queryset=None, required=False, empty_label="Which?")
    task = forms.ModelChoiceField(label="Task", queryset=None, required=False, empty_label="Which?")
    donor = forms.ModelChoiceField(
        label="Donor", queryset=Donor.objects.with_place(), required=False, empty_label="Which?"
    )
    title = forms.CharField(label="Title", max_length=160, required=False)

    def __init__(self, *args, build: Build, night: str = "", **kwargs):
        super().__init__(*args, **kwargs)
        nights = build.sessions.newest_first()
        wanted = nights.filter(pk=night).first() if night.isdecimal() and len(night) < 18 else None
        offered = list(nights[:NIGHTS_OFFERED])
        if wanted:
            self.initial["sessions"] = [wanted.pk]
            offered += [] if wanted in offered else [wanted]
        # A night further back than those offered counts as well.
        self.fields["sessions"].queryset = nights
        self.fields["sessions"].choices = [
            (one.pk, self.fields["sessions"].label_from_instance(one)) for one in offered
        ]
        self.fields["area"].queryset = build.areas.all()
        self.fields["task"].queryset = Task.objects.of(build).exclude(status="dropped").in_order()

    def clean(self):
        data = super().clean()
        takes = data.get("takes")
        wanted = {"nights": "sessions", "area": "area", "task": "task", "donor": "donor"}.get(takes)
        if wanted and not data.get(wanted) and wanted not in self.errors:
            self.add_error(wanted, "Tick at least one night." if wanted == "sessions" else "Pick one.")
        since, until = data.get("since"), data.get("until")
        if takes == Takes.DATES and not (since or until) and not {"since", "until"} & set(self.errors):
            self.add_error("since", "Give the first day, the last day, or both.")
        if takes == Takes.DATES and since and until and since > until:
            self.add_error("until", "The last day is before the first.")
        return data

    def chosen(self) -> dict:
        """The keywords of actions.make."""
        data = self.cleaned_data
        by_kind = {
            Takes.NIGHTS: ("sessions",), Takes.DATES: ("since", "until"), Takes.AREA: ("area",),
            Takes.TASK: ("task",), Takes.DONOR: ("donor",),
        }  # fmt: skip
        chosen = {name: data[name] for name in by_kind[data["takes"]]}
        return {"takes": data["takes"], "title": data["title"].strip(), **chosen}


class TitleForm(forms.ModelForm):
    class Meta:
        model = Story
        fields = ["title"]


class TicksForm(forms.ModelForm):
    """What may be told of what else stays out."""

    class Meta:
        model = Story
        fields = ["with_private", "with_numbers", "with_addresses", "with_prices", "with_people"]


class WordsForm(forms.Form):
    text = forms.CharField(required=False, max_length=20_000, strip=False)


class ShotForm(forms.ModelForm):
    """A time that can't be read is kept and said beside the clip: it may be half typed."""

    class Meta:
        model = Piece
        fields = ["clip", "clip_in", "clip_out", "said"]


class StartsForm(forms.Form):
    """Cleans to whole seconds; None: where its first clip starts."""

    starts = forms.CharField(required=False, max_length=12)

    def clean_starts(self):
        try:
            ms = read_time(self.cleaned_data["starts"])
        except Unreadable as error:
            raise forms.ValidationError("Write where it starts like 1:10.") from error
        return None if ms is None else ms // 1000


class SiteForm(forms.Form):
    """Which stories go to a web host, and where they will be found there: a feed's links must be whole."""

    stories = ManyChoiceField(
        label="Stories", queryset=Story.objects.none(), widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Tick at least one story."},
    )  # fmt: skip
    base = forms.URLField(
        label="Where the folder will be", max_length=300, assume_scheme="https",
        help_text="The address under which people will read it: https://example.org/van/. The feed needs it.",
    )  # fmt: skip

    def __init__(self, *args, build: Build | None, **kwargs):
        super().__init__(*args, **kwargs)
        if build:
            self.fields["stories"].queryset = build.stories.newest_first()

    def clean_base(self):
        base = self.cleaned_data["base"]
        if not base.startswith(("http://", "https://")):
            raise forms.ValidationError("It begins with https:// or http://.")
        return base


class RecordForm(forms.Form):
    """What the record tells. An insurer or an inspector will want numbers and prices; a buyer may not need names."""

    number = forms.BooleanField(label="Identification numbers", required=False)
    price = forms.BooleanField(label="Prices and receipts", required=False)
    papers = forms.BooleanField(label="Pictures of the donors’ papers", required=False)
    person = forms.BooleanField(label="Names of people", required=False)
    address = forms.BooleanField(label="Addresses of places", required=False)
    private = forms.BooleanField(label="Lines and photos kept out of public", required=False)
    photos = forms.ChoiceField(
        label="Photos of the nights", required=False, widget=forms.RadioSelect, initial="",
        choices=[("", "All"), (CHOSEN_PHOTOS, "Those told in a story"), (NO_PHOTOS, "None")],
    )  # fmt: skip

    @property
    def ticks(self) -> list:
        return [field for field in self if field.name != "photos"]

    def kept(self) -> list[str]:
        ticked = [name for name, on in self.cleaned_data.items() if on is True]
        return [*ticked, *filter(None, [self.cleaned_data["photos"]])]

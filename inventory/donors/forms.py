"""What is asked for about a donor: itself, its costs, papers and photos, and what is wanted off it."""

import uuid
from decimal import Decimal

from django import forms

from inventory.parts.forms import place_field
from inventory.photos.forms import ManyFiles, PhotosField
from inventory.places.models import Kind, Location
from inventory.places.queries import choices_for, next_short
from inventory.web.forms import NumberField
from inventory.web.picker import PickField

from .calc.bagged import read_bag
from .models import Cost, Donor, Face, Pull, Shape, Zone
from .starter import AREAS, things


class DayInput(forms.DateInput):
    input_type = "date"

    def __init__(self, attrs=None):
        super().__init__(attrs, format="%Y-%m-%d")


class DonorForm(forms.ModelForm):
    name = forms.CharField(
        label="What it is", max_length=80, widget=forms.TextInput({"placeholder": "Make, model, year"})
    )
    short = forms.CharField(label="Short name", max_length=12, help_text="Its piece of the address: D1.")

    class Meta:
        model = Donor
        fields = ["shape", "number", "price", "bought_on", "seller", "paperwork", "note", "weight", "scrap_rate"]
        field_classes = dict.fromkeys(("price", "weight", "scrap_rate"), NumberField)
        widgets = {
            "shape": forms.RadioSelect,
            "number": forms.TextInput({"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}),
            "bought_on": DayInput,
            "paperwork": forms.Textarea({"rows": 2}),
            "note": forms.Textarea({"rows": 2}),
        }
        help_texts = {"number": "As it stands on the plate, of any length and age."}

    def __init__(self, *args, person, place: Location | None = None, **kwargs):
        super().__init__(*args, **kwargs)
        self.place = place
        self.fields["shape"].choices = Shape.choices
        self.fields["stands"] = place_field("Where it stands", person, but=place, required=False)
        self.fields["stands"].offer(choices_for(standing_room(place)))
        self.order_fields(["name", "short", "shape", "number", "price", "bought_on", "seller", "stands", "paperwork"])
        if place:
            self.initial |= {"name": place.name, "short": place.short, "stands": place.parent_id or ""}
        else:
            vehicles = Location.objects.current().filter(kind=Kind.VEHICLE).values_list("short", flat=True)
            self.fields["short"].initial = next_short(None, "D", but=set(vehicles))

    def clean_stands(self):
        stands = self.cleaned_data["stands"]
        if stands and self.place and stands.path.startswith(self.place.path):
            raise forms.ValidationError("That is the donor itself. Pick where it stands.")
        if stands and stands.kind == Kind.VEHICLE:
            raise forms.ValidationError("A vehicle can’t stand in another one. Pick a yard or a bay.")
        return stands

    def where(self) -> dict:
        """What belongs to the place: its name, short name and parent. It stays where it is when nothing was picked."""
        data = self.cleaned_data
        parent = data["stands"] or (self.place.parent if self.place else None)
        return {"name": data["name"], "short": data["short"].strip().upper(), "parent": parent}


def standing_room(place: Location | None, limit: int = 5) -> list[Location]:
    """Where a vehicle may stand: where it does now, then the sites and what else has room for one."""
    room = Location.objects.current().filter(kind__in=(Kind.SITE, Kind.CONTAINER)).order_by("-kind", "order", "pk")
    now = place.parent if place else None
    return [*([now] if now else []), *[other for other in room[:limit] if other != now]][:limit]


class WantForm(forms.Form):
    """Typed by hand, a line each, or ticked from the starter list."""

    lines = forms.CharField(
        label="Wanted",
        required=False,
        max_length=4000,
        widget=forms.Textarea({"rows": 4, "placeholder": "2 Door check strap\nBrake pedal box"}),
        help_text="A line each, the number first if it is more than one.",
    )
    why = forms.CharField(label="What for", required=False, max_length=160)

    def __init__(self, *args, known=(), **kwargs):
        super().__init__(*args, **kwargs)
        self.areas = []
        for number, (area, names) in enumerate(AREAS.items()):
            some = [name for name in names if not {(n.casefold(), s) for n, s in things(name)} <= set(known)]
            if some:
                field = forms.MultipleChoiceField(
                    label=area,
                    required=False,
                    choices=[(name, name) for name in some],
                    widget=forms.CheckboxSelectMultiple,
                )
                self.fields[f"area-{number}"] = field
                self.areas.append(self[f"area-{number}"])

    def clean(self):
        data = super().clean()
        if not data.get("lines") and not any(data.get(one.name) for one in self.areas):
            self.add_error("lines", "Write at least one thing, or tick some below.")
        return data

    def wanted(self) -> list[dict]:
        data = self.cleaned_data
        typed = [{"what": one.what[:120], "quantity": one.quantity} for one in read_bag(data["lines"])]
        ticked = [name for one in self.areas for name in data.get(one.name, [])]
        listed = [{"what": what, "side": side} for name in ticked for what, side in things(name)]
        return [thing | ({"why": data["why"]} if data["why"] else {}) for thing in [*typed, *listed]]


class FacePhotosForm(forms.Form):
    face = forms.ChoiceField(label="Which side", choices=Face.choices, widget=forms.RadioSelect, initial=Face.LEFT)
    photos = PhotosField(label="Photos", error_messages={"required": "Pick or take at least one photo."})
    uid = forms.UUIDField(required=False, widget=forms.HiddenInput)

    def numbers(self) -> list[uuid.UUID]:
        first = self.cleaned_data.get("uid") or uuid.uuid4()
        return [first if n == 0 else uuid.uuid5(first, str(n)) for n in range(len(self.cleaned_data["photos"]))]


class PapersField(PhotosField):
    widget = ManyFiles(attrs={"accept": "image/*,application/pdf", "multiple": True})


class PaperForm(forms.Form):
    what = forms.CharField(
        label="What it is", required=False, max_length=120, help_text="Bill of sale, title, receipt."
    )
    files = PapersField(label="Pictures or PDFs", error_messages={"required": "Pick at least one file."})
    uid = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["uid"].initial = uuid.uuid4


class CostForm(forms.ModelForm):
    amount = NumberField(label="How much", min_value=Decimal("0.01"), max_digits=12, decimal_places=2)

    class Meta:
        model = Cost
        fields = ["what", "amount", "on"]
        labels = {"what": "What for", "on": "Paid on"}
        widgets = {"on": DayInput}


class BackForm(forms.ModelForm):
    class Meta:
        model = Pull
        fields = ["back", "zone"]
        labels = {"back": "For putting it back"}
        widgets = {"back": forms.Textarea({"rows": 3}), "zone": forms.RadioSelect}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["zone"].choices = [("", "Not said"), *Zone.choices]


class MadeAfterForm(forms.Form):
    """What was made after a pattern: a part in the list, or a new one."""

    def __init__(self, *args, search, get, url, **kwargs):

        super().__init__(*args, **kwargs)
        self.fields["part"] = PickField(
            search=search, get=get, label="What was made", suggest_url=url, placeholder="Name or part number"
        )

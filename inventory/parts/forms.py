"""What is asked for when parts move. One screen a verb."""

import uuid
from collections.abc import Iterable

from django import forms
from django.core.exceptions import ValidationError
from django.urls import reverse_lazy

from inventory.places.models import Location
from inventory.places.queries import choices_for, get_place, pick_places
from inventory.web.forms import NumberField
from inventory.web.picker import PickField

from .hardware import key_of
from .ledger import NotEnough, OtherContents, Refused
from .models import Batch, Condition, Origin, Part, PartSide, Reason
from .quantity import QuantityFormField, exact
from .queries import get_known_part, get_to_put_in, holdings_of, last_places, on_benches, pick_parts, pick_to_put_in


def place_field(label: str, person, *, but: Location | None = None, required: bool = True) -> PickField:
    """A place: the last used ones first, any other by its address or name."""
    places = last_places(person, but=but)
    return PickField(
        search=pick_places,
        get=get_place,
        label=label,
        # Taking out mostly goes where the last thing went: that one is ticked, and one tap less is needed.
        initial=str(places[0].pk) if but and places else None,
        required=required,
        suggest_url=reverse_lazy("inventory:parts_pick_place"),
        placeholder="C1·L2·14, or a name",
        first=choices_for(places),
        missing="No place has that address or name. Make it first, under Places.",
    )


def elsewhere(place: Location, source: Location) -> Location:
    """The place things go to, which is not the one they lie in."""
    if place == source:
        raise ValidationError("It is there already. Pick another place.")
    return place


def refuse(form: forms.Form, error: Refused) -> None:
    """Say at the form why the ledger did not take it. One that was sent before gets a new number, to be sent anew."""
    if isinstance(error, OtherContents):
        form.data = form.data.copy()
        form.data["uid"] = str(uuid.uuid4())
    elif isinstance(error, NotEnough):
        form.short = error
    form.add_error("quantity" if isinstance(error, NotEnough) and "quantity" in form.fields else None, str(error))


def sent_before(form: forms.Form) -> Batch | None:
    """What a form that comes again has done already: the things it ticked are not where they were, and only that."""
    if not form.is_bound or not form.errors.keys() <= {"part", "source"} or form.data.get("part_text"):
        return None
    return Batch.objects.filter(pk=form.cleaned_data.get("uid")).first()


class MoveForm(forms.Form):
    """The ground of every verb: how many, a note, and the number that makes a repeat harmless."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    quantity = QuantityFormField(label="How many", initial=1, min_value=exact("0.001"))
    note = forms.CharField(required=False, max_length=500, widget=forms.TextInput)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["uid"].initial = uuid.uuid4

    def check_whole(self, part: Part | None, quantity) -> None:
        if part and quantity is not None and part.whole and quantity != int(quantity):
            self.add_error("quantity", f"“{part}” is counted in whole pieces.")


class PutInForm(MoveForm):
    """Into a place: something from a bench, more of a part that is known, or a part that is new."""

    origin = forms.ChoiceField(
        label="Where the new part is from",
        choices=Origin.choices,
        initial=Origin.FOUND,
        widget=forms.RadioSelect,
        required=False,
    )
    condition = forms.ChoiceField(
        label="Its condition",
        choices=Condition.choices,
        initial=Condition.GOOD,
        widget=forms.RadioSelect,
        required=False,
    )

    def __init__(self, *args, person, place: Location | None = None, part: Part | None = None, **kwargs):
        super().__init__(*args, **kwargs)
        self.part, self.place = part, place
        if part is None:
            self.fields["part"] = PickField(
                search=pick_to_put_in,
                get=get_to_put_in,
                label="What",
                suggest_url=reverse_lazy("inventory:parts_pick_to_put_in"),
                placeholder="Name or part number",
                first=on_benches(),
            )
        else:
            del self.fields["origin"], self.fields["condition"]
            rows = [row for row in holdings_of(part) if row.location != place]
            if rows:
                there = [(str(row.location_id), f"From {row.location} ({row.quantity:f} there)") for row in rows[:6]]
                self.fields["source"] = forms.ChoiceField(
                    label="Where it comes from",
                    choices=[("", "New to the shop"), *there],
                    required=False,
                    widget=forms.RadioSelect,
                )
        if place is None:
            self.fields["place"] = place_field("Where", person)

    def clean(self):
        data = super().clean()
        part, source = (self.part, None) if self.part else data.get("part") or (None, None)
        if number := data.get("source"):
            source = get_place(number)
        self.check_whole(part, data.get("quantity"))
        if part and part.pk is None:
            part.origin = data.get("origin") or Origin.FOUND
            part.condition = data.get("condition") or Condition.GOOD
        target = self.place or data.get("place")
        if source and source == target:
            self.add_error("place" if "place" in self.fields else None, "It is there already.")
        return data | {"part": part, "source": source, "place": target}


class TakeOutForm(MoveForm):
    def __init__(self, *args, person, part: Part, source: Location, **kwargs):
        super().__init__(*args, **kwargs)
        self.part = part
        self.source = source
        self.fields["place"] = place_field("Where to", person, but=source)
        self.order_fields(["quantity", "place", "note"])

    def clean_place(self):
        return elsewhere(self.cleaned_data["place"], self.source)

    def clean(self):
        data = super().clean()
        self.check_whole(self.part, data.get("quantity"))
        return data


class LeaveForm(MoveForm):
    WAYS = [(Reason.USED, "Used up"), (Reason.SCRAPPED, "Scrapped"), (Reason.SOLD, "Sold")]
    reason = forms.ChoiceField(label="What became of it", choices=WAYS, initial=Reason.USED, widget=forms.RadioSelect)
    cost = NumberField(label="Sold for", required=False, max_digits=12, decimal_places=2)

    def __init__(self, *args, part: Part, **kwargs):
        super().__init__(*args, **kwargs)
        self.part = part
        self.order_fields(["reason", "quantity", "cost", "note"])

    def clean(self):
        data = super().clean()
        self.check_whole(self.part, data.get("quantity"))
        return data


class CorrectForm(forms.Form):
    """There are really so many."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    quantity = QuantityFormField(label="How many are really there", min_value=0)

    def __init__(self, *args, part: Part, **kwargs):
        super().__init__(*args, **kwargs)
        self.part = part
        self.fields["uid"].initial = uuid.uuid4

    def clean_quantity(self):
        quantity = self.cleaned_data["quantity"]
        if self.part.whole and quantity != int(quantity):
            raise ValidationError(f"“{self.part}” is counted in whole pieces.")
        return quantity


class CountForm(forms.Form):
    """A number for each part at a place. One that is sent is about the parts its page had, whatever lies there now."""

    uid = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args, holdings, also: Iterable[Part] = (), **kwargs):
        """`also`: parts that were found there, whether the shop believes it or not."""
        super().__init__(*args, **kwargs)
        self.fields["uid"].initial = uuid.uuid4
        believed = dict.fromkeys(also, exact(0)) | {row.part: row.quantity for row in holdings}
        self.parts = self._asked_about() if self.is_bound else list(believed)
        for part in self.parts:
            self.fields[f"part-{part.pk}"] = QuantityFormField(label=str(part), initial=believed.get(part), min_value=0)

    def _asked_about(self) -> list[Part]:
        names = [name.removeprefix("part-") for name in self.data if name.startswith("part-")]
        numbers = [int(name) for name in names if name.isdecimal() and len(name) < 12]
        found = Part.objects.in_bulk(numbers)
        self.unknown = len(names) - len(found)
        return [found[number] for number in numbers if number in found]

    def clean(self):
        data = super().clean()
        if self.unknown:
            self.add_error(None, "Something that was counted is not in the list any more. Count the place again.")
        for part in self.parts:
            name = f"part-{part.pk}"
            quantity = data.get(name)
            if part.retired_at:
                now = f"is “{part.merged_into}” now" if part.merged_into else "is off the lists"
                self.add_error(name, f"“{part}” {now}. Count the place again.")
            elif quantity is not None and part.whole and quantity != int(quantity):
                self.add_error(name, "This is counted in whole pieces.")
        return data

    def counted(self) -> dict:
        return {part: self.cleaned_data[f"part-{part.pk}"] for part in self.parts}


class SeenField(forms.Field):
    """What a person had before them at a place: each part with how many there were, as '12:5'. Cleans to such pairs."""

    widget = forms.CheckboxSelectMultiple
    default_error_messages = {
        "required": "Tick at least one thing.",
        "gone": "Something ticked is not in the list any more. Look again at what is here.",
    }

    def clean(self, value):
        super().clean(value)
        pairs = [text.partition(":")[::2] for text in value or ()]
        numbers = [number for number, _ in pairs]
        if not all(number.isdecimal() and len(number) < 12 for number in numbers) or len(set(numbers)) < len(numbers):
            raise ValidationError(self.error_messages["gone"])
        found = Part.objects.current().in_bulk([int(number) for number, _ in pairs])
        how_many = QuantityFormField(min_value=exact("0.001"))
        try:
            return [(found[int(number)], how_many.clean(quantity)) for number, quantity in pairs]
        except KeyError:
            raise ValidationError(self.error_messages["gone"]) from None


class MoveManyForm(forms.Form):
    """Several of the things at a place, as many of each as the page showed, to another place.

    `things` are those ticked, `seen` is all of it: what came since the page was looked at is not meant.
    """

    uid = forms.UUIDField(widget=forms.HiddenInput)
    things = SeenField()
    seen = SeenField()

    def __init__(self, *args, person, source: Location, all_of_it: bool = False, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["uid"].initial = uuid.uuid4
        self.source = source
        self.fields["things" if all_of_it else "seen"].required = False
        self.fields["place"] = place_field("Where to", person, but=source)

    def clean_place(self):
        return elsewhere(self.cleaned_data["place"], self.source)


class PartForm(forms.ModelForm):
    class Meta:
        model = Part
        fields = [
            "name",
            "side",
            "condition",
            "origin",
            "donor",
            "part_numbers",
            "other_names",
            "unit",
            "keep_at_least",
            "note",
        ]
        widgets = {
            "side": forms.RadioSelect,
            "condition": forms.RadioSelect,
            "origin": forms.RadioSelect,
            "unit": forms.RadioSelect,
            "part_numbers": forms.Textarea(attrs={"rows": 2, "autocapitalize": "none"}),
            "other_names": forms.Textarea(attrs={"rows": 2}),
            "note": forms.Textarea(attrs={"rows": 3}),
        }
        help_texts = {"keep_at_least": "Fewer than this, and it shows as low. 0 for things you don’t keep in stock."}

    same: list[Part] = []  # what the shop has that is the same fastener, when a new one is added

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["donor"].empty_label = "None"
        self.fields["side"].choices = PartSide.choices
        for name in ("condition", "origin", "unit"):
            self.fields[name].choices = [choice for choice in self.fields[name].choices if choice[0]]

    def clean_name(self):
        name = self.cleaned_data["name"]
        if self.instance.pk is None and not self.data.get("another"):
            self.same = list(Part.objects.same_fastener(key_of(name)).with_on_hand()[:5])
            if self.same:
                raise ValidationError("The shop has this already.")
        return name


class MergeForm(forms.Form):
    def __init__(self, *args, drop: Part, **kwargs):
        super().__init__(*args, **kwargs)
        self.drop = drop
        self.fields["keep"] = PickField(
            search=lambda text: [
                choice for choice in pick_parts(text) if choice.value.isdecimal() and choice.value != str(drop.pk)
            ],
            get=get_known_part,
            label="It is the same as",
            suggest_url=f"{reverse_lazy('inventory:parts_pick_part')}?but={drop.pk}",
            placeholder="Name or part number",
        )

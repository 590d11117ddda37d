"""What is asked for when labels are printed, stuck on and scanned."""

import uuid

from django import forms
from django.urls import reverse_lazy

from inventory.parts.forms import MoveForm, place_field
from inventory.parts.models import Condition, Origin, Part
from inventory.parts.queries import get_known_part, get_part, holdings_of, last_places, pick_parts
from inventory.photos.forms import OptionalPhotos
from inventory.places.models import Kind, Location
from inventory.places.queries import choices_for, get_place
from inventory.web.picker import PickField

from . import bases, queries, sizes
from .calc.stock import Stock, stock_of


def part_field(label: str, *, new: bool = False, required: bool = True) -> PickField:
    """A part by its name or number; `new` lets a name that is not in the list become a new part."""
    return PickField(
        search=pick_parts if new else lambda text: [one for one in pick_parts(text) if one.value.isdecimal()],
        get=get_part if new else get_known_part,
        label=label,
        required=required,
        suggest_url=reverse_lazy("inventory:parts_pick_part"),
        placeholder="Name or part number",
        missing="No part is called that.",
    )


class SheetForm(forms.Form):
    """On what, and from where. Read from the page's address, so that a reload or a link shows the same sheet."""

    stock = forms.ChoiceField(label="Sheet, tape or tag", choices=sizes.choices, initial=sizes.USUAL)
    start = forms.IntegerField(
        label="First free label on the sheet", min_value=1, max_value=100, initial=1, required=False
    )
    nudge_x = forms.FloatField(label="Move right, mm", min_value=-10, max_value=10, initial=0, required=False)
    nudge_y = forms.FloatField(label="Move down, mm", min_value=-10, max_value=10, initial=0, required=False)
    dark = forms.BooleanField(label="Light ink on dark stock", required=False)
    code_only = forms.BooleanField(label="Put the code alone in the symbol, without the address", required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        asked = self.data.get("stock", "") if self.is_bound else ""
        if asked.startswith("cut-") and sizes.name(asked):  # a drawer's own size is no size that is bought
            self.fields["stock"].choices = [("Drawers", [(asked, sizes.name(asked))]), *sizes.choices()]
        for name in ("nudge_x", "nudge_y"):
            self.fields[name].widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        self.fields["start"].widget = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})

    def clean(self):
        data = super().clean()
        stock = stock_of(data.get("stock") or "")
        if stock and (data.get("start") or 1) > stock.cells:
            self.add_error("start", f"That sheet has {stock.cells} labels.")
        for name in ("nudge_x", "nudge_y"):
            value = data.get(name) or 0.0
            data[name] = value if abs(value) <= 10 else 0.0
        return data | {"start": data.get("start") or 1}

    @property
    def chosen(self) -> Stock:
        return stock_of(self.cleaned_data.get("stock") or "") or stock_of(sizes.USUAL)


class AddForm(forms.Form):
    """One more thing to print a label for."""

    more = forms.IntegerField(
        label="Blank labels",
        required=False,
        min_value=1,
        max_value=500,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    whole = forms.BooleanField(label="and everything in it", required=False)

    def __init__(self, *args, person, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["add_place"] = place_field("A place", person, required=False)
        self.fields["add_place"].offer([])
        self.fields["add_part"] = part_field("A part", required=False)


class BaseForm(forms.Form):
    address = forms.CharField(
        label="Address of the shop",
        max_length=100,
        widget=forms.TextInput(
            attrs={"inputmode": "url", "autocapitalize": "none", "placeholder": "https://gusset.local:8443"}
        ),
    )

    def clean_address(self):
        return bases.tidy(self.cleaned_data["address"])


def _where_bins_stand(person) -> list[Location]:
    """The shelves and benches of the places used last: a bin stands beside another, seldom in it."""
    places = last_places(person)
    beside = [place.parent if place.kind in (Kind.BIN, Kind.DRAWER) else place for place in places]
    return list(dict.fromkeys(place for place in beside if place and not place.is_vehicle))


class StickForm(forms.Form):
    """What is this? A place there is, a new bin here, or a part."""

    what = forms.ChoiceField(
        label="It is stuck on",
        choices=[("place", "A place"), ("bin", "A new bin"), ("part", "A part")],
        widget=forms.RadioSelect,
        initial="bin",
    )
    short = forms.CharField(
        label="Its number or short name",
        max_length=12,
        error_messages={"required": "Give the bin a number or a short name. It is the last piece of its address."},
    )
    name = forms.CharField(label="What is kept in it", max_length=80, required=False)

    def __init__(self, *args, person, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["place"] = place_field("Which place", person)
        self.fields["parent"] = place_field("Where the bin stands", person, required=False)
        self.fields["parent"].offer(choices_for(_where_bins_stand(person)))
        self.fields["part"] = part_field("Which part", new=True)
        self.fields["short"].widget.attrs |= {"autocapitalize": "characters", "autocomplete": "off"}

    use_required_attribute = False  # what is not asked for is hidden; the browser must not insist on it

    def full_clean(self):
        """Only what the chosen answer needs is required."""
        answers = {"bin": "short", "place": "place", "part": "part"}
        for what, name in answers.items():
            self.fields[name].required = not self.is_bound or self.data.get("what") == what
        super().full_clean()
        for name in answers.values():
            self.fields[name].required = True


class PutHereForm(MoveForm):
    """One thing after another into one place: by its label, its name or its number."""

    source = forms.ChoiceField(label="Where it comes from", required=False, widget=forms.RadioSelect)
    photos = OptionalPhotos(label="Photos of it")

    def __init__(self, *args, place: Location, part: Part | None = None, **kwargs):
        super().__init__(*args, **kwargs)
        self.place = place
        del self.fields["note"]
        self.fields["part"] = PickField(
            search=queries.pick_scanned,
            get=queries.get_scanned,
            label="What",
            suggest_url=reverse_lazy("inventory:labels_pick"),
            placeholder="Code, name or part number",
            missing="Nothing is called that.",
        )
        self.fields["source"].choices = [("", "New to the shop")]
        picked = self.data.get("part", "") if self.is_bound else f"label:{part.pk}" if part else ""
        found = queries.get_scanned(picked) if picked else None
        if found and found[0].pk:
            self.offer_sources(found[0])
            if part and not self.is_bound:
                self.initial["part"] = picked
                self.fields["part"].offer(queries.choice_of(part))
        self.order_fields(["part", "quantity", "source", "photos"])

    def offer_sources(self, part: Part) -> list:
        rows = [row for row in holdings_of(part) if row.location_id != self.place.pk][:6]
        there = [(str(row.location_id), f"{row.location} ({row.quantity:f} there)") for row in rows]
        self.fields["source"].choices = [*there, ("new", "New to the shop")] if there else [("", "New to the shop")]
        return rows

    def clean(self):
        data = super().clean()
        part, source, scanned = data.get("part") or (None, None, False)
        self.check_whole(part, data.get("quantity"))
        if part is None:
            return data
        if part.pk and source is None:
            source = self._source(part, data.get("source"), scanned)
        if source == self.place:
            self.add_error("part", "It is here already.")
        if part.pk is None:
            part.origin, part.condition = Origin.FOUND, Condition.GOOD
        return data | {"part": part, "source": source}

    def _source(self, part: Part, chosen: str, scanned: bool) -> Location | None:
        """Where it comes from: what was chosen; the one place it is in when its own label was scanned; else ask."""
        rows = self.offer_sources(part)
        if chosen and chosen != "new":
            return get_place(chosen)
        if not rows or chosen == "new":
            return None
        if scanned and len(rows) == 1:
            return rows[0].location
        self.add_error("source", f"{part} is in {len(rows)} other place{'s' if len(rows) > 1 else ''}. From where?")
        return None


class RunForm(SheetForm):
    """As shown: makes the PDF. The number makes a second tap harmless."""

    uid = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)

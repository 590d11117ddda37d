"""What is asked for when places are set up, changed and moved. Every field has a sensible answer already."""

import re

from django import forms
from django.core.exceptions import ValidationError
from django.urls import reverse_lazy

from inventory.web.picker import PickField

from . import actions_grid
from .calc.grid import MOST_COLS, MOST_ROWS, Numbering
from .models import Kind, Location, Side
from .queries import CELLS, choices_for, get_place, next_short, pick_places

SHORT = re.compile(r"[^\W_]*")
ENDS = [
    ("top-left", "Top left"),
    ("top-right", "Top right"),
    ("bottom-left", "Bottom left"),
    ("bottom-right", "Bottom right"),
]
STANDS = [("", "Free"), ("left", "Left"), ("right", "Right"), ("back", "Back"), ("front", "By the door")]
FROM_DOOR = [
    ("door-top", "By the door, top"),
    ("door-bottom", "By the door, bottom"),
    ("top-left", "Top left"),
    ("bottom-left", "Bottom left"),
]
RUNS = [("on", "Run on through the rack: 1 to 24"), ("restart", "Begin again on each shelf: 1 to 8")]
RUNS_ORGANIZER = [
    ("letters", "Letter and number: B3"),
    ("row", "Numbers along the rows"),
    ("column", "Numbers down the columns"),
]


class StepField(forms.IntegerField):
    """A whole number with − and + beside it."""

    def __init__(self, *, low: int, high: int, **kwargs):
        widget = forms.TextInput(
            {"inputmode": "numeric", "autocomplete": "off", "class": "quantity", "data-low": low, "data-high": high}
        )
        super().__init__(min_value=low, max_value=high, widget=widget, **kwargs)

    def widget_attrs(self, widget):
        return {}


class ShortField(forms.CharField):
    """A piece of an address."""

    def __init__(self, **kwargs):
        widget = forms.TextInput(
            {"autocapitalize": "characters", "autocomplete": "off", "class": "short", "spellcheck": "false"}
        )
        super().__init__(**{"label": "Short name", "max_length": 12, "widget": widget, **kwargs})

    def clean(self, value):
        value = super().clean(value).upper()
        if not SHORT.fullmatch(value):
            raise ValidationError("Letters and figures only, such as C1 or L or 14.")
        return value


def mm_field(label: str) -> forms.IntegerField:
    """The size of a drawer's face, measured: it is drawn to scale, and its label is printed in that size."""
    widget = forms.TextInput({"inputmode": "numeric", "autocomplete": "off"})
    return forms.IntegerField(label=label, min_value=10, max_value=1000, required=False, widget=widget)


def check_rack_short(kind: str, short: str) -> None:
    if kind == Kind.RACK and short and short[-1].isdecimal():
        raise ValidationError("End it in a letter: its shelves are numbered after it, as L then L2.")


def place_field(label: str, *, first=(), required: bool = True, help_text: str = "") -> PickField:
    return PickField(
        search=pick_places, get=get_place, label=label, required=required, help_text=help_text,
        suggest_url=reverse_lazy("inventory:parts_pick_place"), placeholder="Its address or name",
        first=choices_for(first), missing="No place has that address or name.",
    )  # fmt: skip


class SetUpForm(forms.Form):
    """The ground of every set-up: where it stands, its name and its piece of the address."""

    kind = Kind.CONTAINER
    letter = "C"
    parent = forms.ModelChoiceField(
        Location.objects.none(), label="Stands in", required=False, empty_label="Nothing: it is the outermost"
    )
    name = forms.CharField(max_length=80)
    short = ShortField()

    def __init__(self, *args, parent: Location | None = None, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["parent"].queryset = (
            Location.objects.current().exclude(kind__in=(*CELLS, Kind.RACK, Kind.ORGANIZER)).in_order()
        )
        self.fields["parent"].label_from_instance = lambda place: place.title
        parent = parent or Location.objects.current().filter(kind=Kind.SITE).in_order().first()
        self.fields["parent"].initial = parent
        self.suggest(parent)

    def suggest(self, parent: Location | None) -> None:
        short = next_short(parent, self.letter)
        self.fields["short"].initial = short
        self.fields["name"].initial = f"{Kind(self.kind).label} {short.removeprefix(self.letter)}"

    FURTHER = ("runs", "corner", "digits")  # asked for last, and seldom changed

    @property
    def first_fields(self):
        return [field for field in self.visible_fields() if field.name not in self.FURTHER]

    @property
    def further_fields(self):
        return [field for field in self.visible_fields() if field.name in self.FURTHER]

    @property
    def further_wrong(self) -> bool:
        return any(field.errors for field in self.further_fields)

    def places(self) -> list[Location]:
        """The places it would make, not yet written. Raises ValidationError."""
        raise NotImplementedError

    def as_drawn(self) -> list[Location]:
        """For the preview: what there is so far, with defaults for what is missing."""
        self.is_valid()
        given = getattr(self, "cleaned_data", {})
        self.cleaned_data = {name: given.get(name, field.initial) for name, field in self.fields.items()}
        return self.places()


class ContainerForm(SetUpForm):
    left = StepField(label="Racks along the left wall", low=0, high=5, initial=1)
    right = StepField(label="Racks along the right wall", low=0, high=5, initial=1)
    back = StepField(label="Racks at the back", low=0, high=5, initial=0)
    shelves = StepField(label="Shelves in each rack", low=1, high=12, initial=3)
    bins = StepField(
        label="Bins on each shelf",
        low=0,
        high=40,
        initial=8,
        help_text="0 where things stand on the shelf as they are.",
    )
    runs = forms.ChoiceField(label="Bin numbers", choices=RUNS, initial="on", widget=forms.RadioSelect)
    corner = forms.ChoiceField(label="Number 1 is", choices=FROM_DOOR, initial="door-top", widget=forms.RadioSelect)

    def places(self) -> list[Location]:
        data = self.cleaned_data
        up = "bottom" if "bottom" in data["corner"] else "top"
        numbering = Numbering(corner=f"{up}-left", restart=data["runs"] == "restart")
        racks = actions_grid.racks_along(
            {Side.LEFT: data["left"], Side.RIGHT: data["right"], Side.BACK: data["back"]},
            shelves=data["shelves"],
            bins=data["bins"],
            numbering=numbering,
            from_door=data["corner"].startswith("door"),
        )
        return actions_grid.container_places(parent=data["parent"], name=data["name"], short=data["short"], racks=racks)


class RackForm(SetUpForm):
    kind = Kind.RACK
    side = forms.ChoiceField(label="It stands", choices=STANDS, required=False, widget=forms.RadioSelect)
    shelves = StepField(label="Shelves", low=1, high=MOST_ROWS, initial=3)
    bins = ContainerForm.base_fields["bins"]
    runs = ContainerForm.base_fields["runs"]
    corner = forms.ChoiceField(label="Number 1 is", choices=ENDS, initial="top-left", widget=forms.RadioSelect)
    digits = StepField(label="Figures in a number", low=1, high=3, initial=1, help_text="2 writes 03.")

    def suggest(self, parent):
        used = set(Location.objects.current().filter(parent=parent).values_list("short", flat=True))
        letters = "".join(actions_grid.RACK_LETTERS.values())
        self.fields["short"].initial = next((letter for letter in letters if letter not in used), "")
        self.fields["name"].initial = f"Rack {self.fields['short'].initial}".strip()

    def clean_short(self):
        check_rack_short(Kind.RACK, self.cleaned_data["short"])
        return self.cleaned_data["short"]

    def places(self) -> list[Location]:
        data = self.cleaned_data
        numbering = Numbering(corner=data["corner"], restart=data["runs"] == "restart", digits=data["digits"])
        plan = actions_grid.RackPlan(
            data["side"] or "", data["short"], data["name"], data["shelves"], data["bins"], numbering
        )
        return actions_grid.rack_places(plan, data["parent"])


class OrganizerForm(SetUpForm):
    kind = Kind.ORGANIZER
    letter = "H"
    rows = StepField(label="Rows of drawers", low=1, high=MOST_ROWS, initial=6)
    cols = StepField(label="Drawers in a row", low=1, high=MOST_COLS, initial=5)
    runs = forms.ChoiceField(
        label="Drawers are called", choices=RUNS_ORGANIZER, initial="letters", widget=forms.RadioSelect
    )
    corner = forms.ChoiceField(label="The first one is", choices=ENDS, initial="top-left", widget=forms.RadioSelect)
    cell_width = mm_field("Width of a drawer, mm")
    cell_height = mm_field("Height of a drawer, mm")

    def places(self) -> list[Location]:
        data = self.cleaned_data
        numbering = numbering_from(data["runs"], data["corner"])
        return actions_grid.organizer_places(
            parent=data["parent"],
            name=data["name"],
            short=data["short"],
            rows=data["rows"],
            cols=data["cols"],
            numbering=numbering,
            cell_width=data["cell_width"],
            cell_height=data["cell_height"],
        )


def numbering_from(runs: str, corner: str, digits: int = 1) -> Numbering:
    along = "column" if runs == "column" else "row"
    style = "letters" if runs == "letters" else "numbers"
    return Numbering(corner=corner, along=along, restart=runs == "restart", style=style, digits=digits)


class OtherForm(SetUpForm):
    """A place of any kind, without anything in it yet."""

    kind = Kind.BENCH
    LETTERS = {Kind.SITE: "", Kind.CONTAINER: "C", Kind.BENCH: "W", Kind.BIN: "K", Kind.VEHICLE: "D", Kind.SHELF: "S"}
    what = forms.ChoiceField(
        label="What it is", widget=forms.RadioSelect, choices=[(kind.value, kind.label) for kind in LETTERS]
    )
    short = ShortField(label="Short", required=False)
    away = forms.BooleanField(label="It is away from the shop: a coater, a machinist", required=False)
    field_order = ["what", "parent", "name", "short", "away"]

    def __init__(self, *args, what: str = Kind.BENCH, **kwargs):
        self.kind = what if what in self.LETTERS else Kind.BENCH
        self.letter = self.LETTERS[self.kind]
        super().__init__(*args, **kwargs)
        self.fields["what"].initial = self.kind
        if self.kind == Kind.SITE:
            self.fields["parent"].initial = None

    def suggest(self, parent):
        if self.letter:
            super().suggest(parent)

    def places(self) -> list[Location]:
        data = self.cleaned_data
        return [
            Location(
                parent=data["parent"], kind=data["what"], name=data["name"], short=data["short"], away=data["away"]
            )
        ]

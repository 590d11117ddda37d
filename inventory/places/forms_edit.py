"""What is asked for when a place that is there is renamed, moved or laid out anew."""

import re

from django import forms
from django.core.exceptions import ValidationError

from .calc.grid import MOST_COLS, MOST_ROWS, Row
from .forms import (
    ENDS,
    RUNS_ORGANIZER,
    STANDS,
    ShortField,
    StepField,
    check_rack_short,
    mm_field,
    numbering_from,
    place_field,
)
from .grids import Grid
from .models import Kind, Location
from .queries import choices_for


class EditForm(forms.ModelForm):
    """What a place is called and says."""

    short = ShortField(
        required=False,
        help_text="Its piece of the address. The addresses in it change with it; old ones still lead there.",
    )

    class Meta:
        model = Location
        fields = ["name", "short", "cell_width", "cell_height", "side", "away", "note"]
        labels = {"side": "On the plan"}
        widgets = {"note": forms.Textarea({"rows": 3})}

    cell_width, cell_height = mm_field("Width of a drawer, mm"), mm_field("Height of a drawer, mm")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.kind != Kind.ORGANIZER:
            del self.fields["cell_width"], self.fields["cell_height"]

    def clean_short(self):
        check_rack_short(self.instance.kind, self.cleaned_data["short"])
        return self.cleaned_data["short"]

    def _post_clean(self):
        """The action writes, not the form: the place stays as it is until then."""


class MovePlaceForm(forms.Form):
    to = place_field("Where to", required=False)
    outermost = forms.BooleanField(label="It stands in nothing: it is the outermost", required=False)
    side = forms.ChoiceField(label="It stands there", choices=STANDS, required=False, widget=forms.RadioSelect)
    short = ShortField(required=False, help_text="Another one where its own is taken there.")

    def __init__(self, *args, place: Location, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["short"].initial = place.short
        self.fields["to"].required = "outermost" not in self.data
        kinds = (Kind.RACK,) if place.kind == Kind.SHELF else (Kind.SITE, Kind.CONTAINER, Kind.BENCH)
        near = Location.objects.current().filter(kind__in=kinds).exclude(path__within=place.path)
        self.fields["to"].offer(choices_for(near.exclude(pk=place.parent_id).in_order()[:4]))


class LayoutForm(forms.Form):
    """Other rows and columns, or another numbering, for a rack, an organizer or a shelf."""

    rows = StepField(label="Shelves", low=1, high=MOST_ROWS)
    cols = StepField(label="Bins on each shelf", low=0, high=MOST_COLS)
    uneven = forms.CharField(
        label="Where rows differ: cells in each, from the top",
        required=False,
        max_length=200,
        help_text="As 8 8 6. Leave it empty when all are alike.",
    )
    runs = forms.ChoiceField(label="Numbers", widget=forms.RadioSelect)
    corner = forms.ChoiceField(label="The first one is", choices=ENDS, widget=forms.RadioSelect)
    digits = StepField(label="Figures in a number", low=1, high=4, help_text="2 writes 03.")
    own = forms.CharField(
        label="Rows that begin with a number of their own",
        required=False,
        max_length=200,
        help_text="Row and first number, as 2:21 3:31. A − after it counts the other way: 2:21-.",
    )
    anew = forms.BooleanField(
        label="Number all cells anew", required=False, help_text="Else cells that are there keep what is stuck on them."
    )

    def __init__(self, *args, grid: Grid, **kwargs):
        super().__init__(*args, **kwargs)
        self.grid = grid
        kind, cols, numbering = grid.holder.kind, grid.row_cols, grid.numbering
        self.fields["rows"].initial = len(cols)
        self.fields["cols"].initial = max(cols, default=1)
        self.fields["uneven"].initial = " ".join(map(str, cols)) if len(set(cols)) > 1 else ""
        self.fields["runs"].choices = [
            ("on", "Run on"),
            ("restart", "Begin again on each shelf"),
            ("column", "Down the columns"),
        ]
        if kind == Kind.ORGANIZER:
            self.fields["runs"].choices = RUNS_ORGANIZER
            self.fields["rows"].label, self.fields["cols"].label = "Rows of drawers", "Drawers in a row"
            del self.fields["uneven"]
        if kind == Kind.SHELF:
            del self.fields["rows"], self.fields["uneven"]
        first = "row" if kind == Kind.ORGANIZER else "on"
        runs = (
            "letters"
            if numbering.style == "letters"
            else "restart"
            if numbering.restart
            else "column"
            if numbering.along == "column"
            else first
        )
        self.fields["runs"].initial = runs
        self.fields["corner"].initial, self.fields["digits"].initial = numbering.corner, numbering.digits
        own = grid.holder.numbering.get("rows", {})
        said = (
            f"{int(row) + 1}:{one.get('first', '')}{'-' if one.get('backwards') else ''}" for row, one in own.items()
        )
        self.fields["own"].initial = " ".join(said)

    def clean_uneven(self):
        text = self.cleaned_data["uneven"].replace(",", " ")
        if not all(piece.isdecimal() and int(piece) <= MOST_COLS for piece in text.split()):
            raise ValidationError(f"Numbers up to {MOST_COLS} with spaces between, as 8 8 6.")
        return [int(piece) for piece in text.split()]

    def clean_own(self):
        own = {}
        for piece in self.cleaned_data["own"].replace("−", "-").split():
            found = re.fullmatch(r"(\d{1,2}):(\d{0,4})(-?)", piece)
            if not found or int(found[1]) < 1:
                raise ValidationError("Row, colon, first number, as 2:21.")
            own[int(found[1]) - 1] = Row(1, int(found[2]) if found[2] else None, bool(found[3]))
        return own

    def clean(self):
        data = super().clean()
        if (uneven := data.get("uneven")) and "rows" in data and len(uneven) != data["rows"]:
            self.add_error("uneven", f"{len(uneven)} numbers for {data['rows']} rows. Give one for each.")
        return data

    def arrangement(self) -> dict:
        """What the layout action is called with."""
        data = self.cleaned_data
        rows = data.get("rows", 1)
        return {
            "row_cols": data.get("uneven") or [data["cols"]] * rows,
            "numbering": numbering_from(data["runs"], data["corner"], data["digits"]),
            "own": data["own"],
            "anew": data["anew"],
        }

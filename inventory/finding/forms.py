from django import forms

from inventory.parts.models import Condition, Origin
from inventory.places.models import Kind

from . import queries
from .models import SameWords


def _donors() -> list[tuple[str, str]]:
    return [("", "Any donor"), *((str(place.pk), str(place)) for place in queries.donors())]


class FilterForm(forms.Form):
    """What an answer must also be; everything may be left out."""

    kind = forms.ChoiceField(label="Kind of place", required=False)
    condition = forms.ChoiceField(required=False)
    origin = forms.ChoiceField(required=False)
    donor = forms.ChoiceField(choices=_donors, required=False)  # read when shown or given, not at each letter
    since = forms.DateField(
        label="Not counted since",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    low = forms.BooleanField(label="Only what is running low", required=False)

    def __init__(self, data):
        super().__init__(data)
        self.fields["kind"].choices = [("", "Any place"), *Kind.choices]
        self.fields["condition"].choices = [("", "Any condition"), *Condition.choices]
        self.fields["origin"].choices = [("", "Any origin"), *Origin.choices]

    def filters(self) -> queries.Filters:
        """What was asked for; a value that means nothing is passed over."""
        self.is_valid()
        given = self.cleaned_data
        return queries.Filters(
            place_kind=given.get("kind", ""),
            condition=given.get("condition", ""),
            origin=given.get("origin", ""),
            donor=int(given["donor"]) if given.get("donor") else None,
            low=given.get("low", False),
            not_counted_since=given.get("since"),
        )


class SameWordsForm(forms.ModelForm):
    class Meta:
        model = SameWords
        fields = ("words",)
        labels = {"words": "Words for the same thing"}

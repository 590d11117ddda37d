"""What is asked for when pieces are counted on a scale."""

from django import forms

from .forms_find import number_field

MOST_GRAMS = 100_000


class WeighForm(forms.Form):
    sample = forms.IntegerField(
        label="Pieces weighed first",
        min_value=1,
        max_value=1000,
        initial=10,
        widget=forms.TextInput({"inputmode": "numeric", "autocomplete": "off"}),
    )
    sample_weight = number_field("They weigh, g", required=True, help_text="Without the box.", most=MOST_GRAMS)
    total_weight = number_field(
        "All of them weigh, g",
        required=True,
        help_text="The first ones among them, without the box.",
        most=MOST_GRAMS,
    )
    division = number_field("The scale shows steps of, g", required=True, help_text="The smallest change it can show.")

    def readings(self) -> dict:
        """What count_by_weight is called with."""
        data = self.cleaned_data
        return {
            "sample_pieces": data["sample"],
            "sample_weight": float(data["sample_weight"]),
            "total_weight": float(data["total_weight"]),
            "division": float(data["division"]),
        }

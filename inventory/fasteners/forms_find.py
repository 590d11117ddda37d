"""What is asked for when a thread is measured, and when a bolt is wanted."""

import re

from django import forms
from django.core.exceptions import ValidationError

from inventory.web.forms import NumberField

from .calc.strength import METRIC_CLASSES, STAINLESS


def number_field(label: str, *, required: bool = False, help_text: str = "", most: int = 1000) -> NumberField:
    return NumberField(label=label, required=required, min_value=0.001, max_value=most, help_text=help_text)


LINES = {"grade 5": "3 lines", "grade 8": "6 lines"}  # SAE J429
MARKS = [
    ("", "Not looked"),
    ("none", "Nothing"),
    ("A number", [(name, name) for name in METRIC_CLASSES]),
    ("Lines from the middle outwards", list(LINES.items())),
    ("Letters and a number", [(name, name) for name in STAINLESS]),
]


# A whole line as it is read off the tools: '7.9 mm, 1.25', '0.245 in, 20 tpi', '9.8 mm'.
_NUMBER = r"\d{0,4}[.,]?\d{1,6}"
_AS_TYPED = re.compile(
    rf"(?P<across>{_NUMBER})\s*(?P<unit>mm|in\b|inch(?:es)?|\"|″)?"
    rf"(?:(?:\s*[,;x×/]\s+|\s+|\s*[x×]\s*)(?:pitch\s*)?(?P<pitch>{_NUMBER})\s*(?P<by>mm|tpi)?)?",
    re.IGNORECASE,
)


def as_typed(data):
    """The fields' values with the unit and the pitch that stand in the first field put into their own."""
    match = _AS_TYPED.fullmatch(data.get("across", "").strip())
    if not match or not (match["unit"] or match["pitch"]):
        return data
    data = data.copy()
    data["across"] = match["across"].replace(",", ".")
    if match["unit"]:
        data["unit"] = "mm" if match["unit"].lower() == "mm" else "in"
    if match["pitch"]:
        inch = (match["by"] or "").lower() == "tpi" or (not match["by"] and data.get("unit") == "in")
        data["tpi" if inch else "pitch"] = match["pitch"].replace(",", ".")
    return data


class MeasureForm(forms.Form):
    """A caliper's reading, in any one way the pitch, and what the head says."""

    across = number_field(
        "Across the thread",
        required=True,
        help_text="With the caliper, over the crests. Or all at once, as 7.9 mm, 1.25.",
    )
    unit = forms.ChoiceField(label="Read in", choices=[("mm", "mm"), ("in", "inches")], widget=forms.RadioSelect)
    inside = forms.BooleanField(label="It is a nut or a tapped hole: measured inside", required=False)
    pitch = number_field("Pitch by a metric gauge, mm")
    tpi = number_field("Threads per inch by an inch gauge")
    span = number_field("From mark to mark", help_text="In the unit above.")
    threads = number_field("over so many threads")
    flats = number_field("Across the flats", help_text="Of its hexagon head, or of the nut. In the unit above.")
    mark = forms.ChoiceField(label="On its head stands", choices=MARKS, required=False)

    def clean(self):
        data = super().clean()
        ways = [name for name in ("pitch", "tpi", "span") if data.get(name)]
        if len(ways) > 1:
            self.add_error(ways[1], "Give the pitch in one way only.")
        if data.get("span") and not data.get("threads"):
            self.add_error("threads", "Over how many threads was that?")
        if data.get("threads") and data["threads"] != int(data["threads"]):
            raise ValidationError({"threads": "A whole number of threads."})
        return data

    @property
    def grade(self) -> str:
        """The class or grade the mark stands for; '' where there is none."""
        mark = self.cleaned_data["mark"]
        return "" if mark == "none" else mark

    def readings(self) -> dict:
        """What identify is called with."""
        data = self.cleaned_data
        scale = 25.4 if data["unit"] == "in" else 1.0
        asked = {"diameter_mm": float(data["across"]) * scale, "inside": data["inside"], "grade": self.grade}
        if data.get("flats"):
            asked["flats_mm"] = float(data["flats"]) * scale
        if data.get("pitch"):
            return asked | {"pitch_mm": float(data["pitch"])}
        if data.get("tpi"):
            return asked | {"tpi": float(data["tpi"])}
        if data.get("span"):
            return asked | {"span_mm": (float(data["span"]) * scale, int(data["threads"]))}
        return asked

"""What is asked for when a fastener is put right, field by field."""

from fractions import Fraction

from django import forms
from django.core.exceptions import ValidationError

from . import words
from .calc.fastener import DRIVES, EXTENTS, FINISHES, FORMS, LOCKING, MATERIALS, Fastener
from .calc.threads import METRIC, system_of
from .calc.units import number_text
from .calc.writing import length_text

REFUSED = {
    "size": "As M8, 1/4 or #10; 4.2mm for what has no machine thread.",
    "pitch": "The pitch in mm for an M size, else the threads per inch.",
    "grade": "As 8.8, 10.9, class 8, grade 5 or A2-70.",
    "length": "A length above nought.",
    "form": "This kind of thing doesn’t come in that form.",
    "locking": "This kind of thing doesn’t lock that way.",
    "standard": "That standard is for another kind of thing.",
}


def _choices(words_, empty: str = "Not said") -> list[tuple[str, str]]:
    return [("", empty), *((word, word[:1].upper() + word[1:]) for word in words_)]


def _text(label: str, *, required: bool = False, **more) -> forms.CharField:
    attrs = {"autocapitalize": "none", "autocomplete": "off", "spellcheck": "false"}
    return forms.CharField(label=label, max_length=30, required=required, widget=forms.TextInput(attrs), **more)


class FastenerForm(forms.Form):
    """Every field of a fastener; `fastener` is what they make. A field left open is left open."""

    kind = forms.ChoiceField(label="What it is", choices=_choices(FORMS)[1:])
    size = _text("Size", required=True, help_text=REFUSED["size"])
    pitch = _text("Pitch", help_text="Leave it empty for coarse. " + REFUSED["pitch"])
    length = _text("Length", help_text="In mm for an M size, else in inches, as 3/4. Of a washer: how wide it is.")
    form = forms.ChoiceField(
        label="Head or form",
        required=False,
        choices=[
            ("", "Not said"),
            *((kind.capitalize(), [(form, form) for form in some]) for kind, some in FORMS.items() if some),
        ],
    )
    drive = forms.ChoiceField(label="Drive", required=False, choices=_choices(DRIVES))
    drive_size = _text("Drive size", help_text="The number alone: 30 for a T30.")
    grade = _text("Class or grade", help_text=REFUSED["grade"])
    material = forms.ChoiceField(label="Material", required=False, choices=_choices(MATERIALS, "Steel, or not said"))
    finish = forms.ChoiceField(label="Finish", required=False, choices=_choices(FINISHES))
    locking = forms.ChoiceField(
        label="Locking",
        required=False,
        choices=_choices(dict.fromkeys(w for some in LOCKING.values() for w in some), "No"),
    )
    extent = forms.ChoiceField(label="Thread along it", required=False, choices=_choices(EXTENTS))
    standard = _text("Standard", help_text="As ISO 4017 or DIN 933.")
    left_hand = forms.BooleanField(label="Left-hand thread", required=False)

    @staticmethod
    def values_of(f: Fastener) -> dict:
        """What the form begins with for this fastener."""
        values = {name: getattr(f, name) for name in words.FIELDS}
        length = length_text(f)
        return values | {"pitch": number_text(f.pitch) if f.pitch else "", "length": length.rstrip('"')}

    def clean(self):
        data = super().clean()
        if not self.errors:
            try:
                self.fastener = Fastener(**{**data, **_measures(data)})
            except ValueError as error:
                name = str(error).partition(":")[0]
                name = name if name in self.fields else "size"
                self.add_error(name, REFUSED.get(name, "That can’t be."))
        return data


def _measures(data: dict) -> dict:
    """Pitch and length as numbers; raises ValidationError at what is none."""
    found = {"pitch": None, "length": None}
    try:
        if data["pitch"]:
            found["pitch"] = float(data["pitch"].replace(",", "."))
    except ValueError as error:
        raise ValidationError({"pitch": REFUSED["pitch"]}) from error
    text = data["length"].replace(",", ".").strip()
    try:
        if text.endswith("mm") and data["size"] and system_of(data["size"]) != METRIC:
            found["length"] = Fraction(text.removesuffix("mm").strip()) / Fraction("25.4")
        elif text:
            whole, _, rest = text.removesuffix("mm").strip().rpartition("-")
            found["length"] = Fraction(rest) + (int(whole) if whole else 0)
    except (ValueError, ZeroDivisionError) as error:
        raise ValidationError({"length": REFUSED["length"]}) from error
    return found

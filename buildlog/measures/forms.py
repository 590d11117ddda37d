"""What is asked about the shop's instruments, and how a typed plus-or-minus is read."""

from fractions import Fraction

from django import forms
from django.core.exceptions import ValidationError

from .calc.instruments import half_width_text
from .calc.lengths import INCH, MM, Length
from .calc.reading import read
from .models import How, Usual

LONGEST = 20
NO_LENGTH = "That is no length. Write it like 1/16 or 0,2 mm."
SYSTEMS = ((MM, "For sizes in mm"), (INCH, "For sizes in inches"))


def clean_plus_minus(typed: str, system: str) -> str:
    """As it was typed, a bare number with its unit; raises ValidationError when it is no length above nothing."""
    typed = typed.strip().removeprefix("±").strip()
    if not typed:
        return ""
    try:
        (length,), (other,) = read(typed, system), read(typed, INCH if system == MM else MM)
    except ValueError as error:
        raise ValidationError(NO_LENGTH) from error
    if length.mm <= 0:
        raise ValidationError(NO_LENGTH)
    said = typed if length.mm == other.mm else f"{typed} {system}"
    if len(said) > LONGEST:
        raise ValidationError("That is more exact than anything here is measured.")
    return said


class UsualForm(forms.Form):
    """Two fields an instrument: `tape-mm`, `tape-in`."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        set_now = {row.how: row for row in Usual.objects.all()}
        for how in How:
            for system, label in SYSTEMS:
                common = half_width_text(Length(Fraction(0), system, "0"), how)
                field = forms.CharField(
                    label=label, required=False, max_length=LONGEST, help_text=f"Common: {common}",
                    widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}),
                )  # fmt: skip
                self.fields[f"{how}-{system}"] = field
                row = set_now.get(how)
                self.initial[f"{how}-{system}"] = (row.inch if system == INCH else row.mm) if row else ""

    def clean(self):
        data = super().clean()
        for name, typed in list(data.items()):
            try:
                data[name] = clean_plus_minus(typed, name.partition("-")[2])
            except ValidationError as error:
                self.add_error(name, error)
        return data

    def rows(self) -> list[tuple]:
        """[(instrument, its two fields)]."""
        return [(how.label, [self[f"{how}-{system}"] for system, _ in SYSTEMS]) for how in How]

    def typed(self) -> dict[str, tuple[str, str]]:
        return {how.value: tuple(self.cleaned_data[f"{how}-{system}"] for system, _ in SYSTEMS) for how in How}

"""Choosing a list, and saying what its columns hold."""

from django import forms
from django.core.exceptions import ValidationError

from .calc.columns import Column
from .calc.headings import MANY, PLACE_KINDS
from .reading import LARGEST, Read, Unreadable, read_file, read_pasted

LABELS = {
    "": "Leave out",
    "name": "Name of the part",
    "quantity": "How many",
    "place": "Place, in words or as an address",
    "numbers": "Part number",
    "condition": "Condition",
    "origin": "Where it came from",
    "donor": "Off which vehicle",
    "side": "Left, right, front, rear",
    "unit": "Counted in",
    "keep_at_least": "Keep at least",
    "other_names": "Other names",
    "note": "Note",
}
PLACE_LABELS = {
    "site": "Site",
    "container": "Container",
    "rack": "Rack",
    "shelf": "Shelf",
    "bench": "Bench",
    "organizer": "Organizer",
    "drawer": "Drawer",
    "bin": "Bin or box",
}
CHOICES = [*LABELS.items(), ("Its place, a column each", list(PLACE_LABELS.items()))]
NAMED = LABELS | PLACE_LABELS


class ListForm(forms.Form):
    """Cleans to `read` (a Read) and `name`."""

    file = forms.FileField(
        label="Your list",
        required=False,
        allow_empty_file=True,
        help_text="CSV or XLSX, up to 30 MB and 200,000 rows.",
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx,text/csv"}),
    )
    text = forms.CharField(
        label="Or paste it",
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 5, "spellcheck": "false", "autocapitalize": "none"}),
        help_text="Cells copied from a spreadsheet, or lines typed with ; between.",
    )

    def clean(self):
        data = super().clean()
        file, text = data.get("file"), data.get("text", "")
        if "file" in self.errors:
            return data
        if file is None and not text.strip():
            self.add_error("file", "Choose a file, or paste the list below.")
            return data
        try:
            data["read"] = self._read(file, text)
        except Unreadable as error:
            self.add_error("file" if file else "text", str(error))
        data["name"] = file.name if file else "Pasted list"
        return data

    @staticmethod
    def _read(file, text: str) -> Read:
        if file is None:
            return read_pasted(text)
        if file.size > LARGEST:
            raise Unreadable("The file is larger than 30 MB. Split it into several and bring them one by one.")
        return read_file(file.read())


class ColumnsForm(forms.Form):
    """One choice a column. `columns` gives them in the order of the list."""

    def __init__(self, *args, columns: tuple[Column, ...], **kwargs):
        super().__init__(*args, **kwargs)
        self.names = [f"column_{column.index}" for column in columns]
        for name, column in zip(self.names, columns, strict=True):
            examples = " · ".join(_short(e) for e in column.examples)
            self.fields[name] = forms.ChoiceField(
                label=column.heading or f"Column {column.index + 1}",
                choices=CHOICES,
                required=False,
                initial=column.field,
            )
            self.fields[name].examples = examples or "nothing in it"

    def columns(self) -> list[str]:
        return [self.cleaned_data[name] for name in self.names]

    def clean(self):
        data = super().clean()
        seen: dict[str, str] = {}
        for name in self.names:
            field = data.get(name, "")
            if field in seen and field not in MANY:
                label = self.fields[seen[field]].label
                self.add_error(name, f"“{label}” is that already. Choose another, or leave this one out.")
            elif field:
                seen[field] = name
        if "name" not in seen and not self.errors:
            raise ValidationError("Say which column has the name of the part.")
        if "quantity" in seen and not {"place", *PLACE_KINDS} & seen.keys() and not self.errors:
            raise ValidationError("Say which column has the place, or leave out how many there are.")
        return data


def _short(text: str, most: int = 28) -> str:
    text = " ".join(text.split())
    return text if len(text) <= most else f"{text[: most - 1]}…"

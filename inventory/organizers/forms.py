"""What is asked for when a cabinet is filled."""

import uuid

from django import forms


class FillForm(forms.Form):
    uid = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    lines = forms.CharField(
        label="A drawer a line",
        max_length=40_000,
        widget=forms.Textarea({"rows": 10, "autocapitalize": "none", "autocomplete": "off", "spellcheck": "false"}),
        help_text="What is in it, and after a comma how many; without a number it is counted later. A line that begins "
        "with a drawer is for that one, else for the next empty one. A drawer or a thing may come twice.",
        error_messages={"required": "Type at least one line."},
    )
    keep = forms.IntegerField(
        label="Keep at least, of each new thing",
        min_value=0,
        max_value=99_999,
        required=False,
        widget=forms.TextInput({"inputmode": "numeric", "autocomplete": "off"}),
        help_text="With fewer on hand its drawer is marked low.",
    )

    @property
    def which(self) -> dict[str, str]:
        """Which part is meant where a line may mean several: by the row's field."""
        return {name: value for name, value in self.data.items() if name.startswith("which-")}

    @property
    def number(self) -> uuid.UUID:
        """The same for the same list sent twice; another one for a list that was gone back to and changed, which is
        then done: it says how things are to be, not what to add."""
        data = self.cleaned_data
        return uuid.uuid5(data["uid"], f"{data['keep']} {data['lines']} {sorted(self.which.items())}")

    def renew(self) -> None:
        """The list can be sent anew: it has another number from here on."""
        self.data = self.data.copy()
        self.data["uid"] = str(uuid.uuid4())

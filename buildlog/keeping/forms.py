"""When backups are made, and where the second copy goes."""

import os
from pathlib import Path

from django import forms

from .models import Every, KeepingPlan


class PlanForm(forms.ModelForm):
    class Meta:
        model = KeepingPlan
        fields = ["every", "hour", "copy_to"]
        labels = {"every": "Make a backup by itself", "hour": "After this hour", "copy_to": "And a copy in this folder"}
        help_texts = {"copy_to": "A mounted disk on the shop’s machine, such as /mnt/safe. Empty for none."}
        widgets = {
            "every": forms.RadioSelect,
            "hour": forms.Select(choices=[(hour, f"{hour:02}:00") for hour in range(24)]),
            "copy_to": forms.TextInput(attrs={"autocapitalize": "none", "spellcheck": "false"}),
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["every"].choices = Every.choices

    def clean_copy_to(self):
        text = self.cleaned_data["copy_to"].strip()
        if not text:
            return ""
        folder = Path(text)
        if "\x00" in text or not folder.is_absolute():
            raise forms.ValidationError("Give the whole path, from /.")
        if not folder.is_dir():
            raise forms.ValidationError("That folder is not there. Is the disk mounted?")
        if not os.access(folder, os.W_OK | os.X_OK):
            raise forms.ValidationError("The shop may not write there. Give its user the right to.")
        return text

"""What a phone sends ahead."""

from django import forms


class PhotoForm(forms.Form):
    photo = forms.FileField(error_messages={"required": "The photo did not arrive."})
    taken = forms.DateTimeField(required=False)

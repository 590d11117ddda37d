"""Photos as one field among others of a form, and as a form of their own."""

import uuid

from django import forms

from inventory.photos.forms import EMPTY


class ManyPictures(forms.ClearableFileInput):
    allow_multiple_selected = True


class PicturesField(forms.FileField):
    """No picture, one or several; cleans to a list of files. They are made smaller on the phone first."""

    widget = ManyPictures(attrs={"accept": "image/*", "multiple": True, "class": "sr", "data-shrink": True})

    default_error_messages = {"empty": EMPTY}

    def clean(self, data, initial=None):
        files = [super(PicturesField, self).clean(file, initial) for file in data or []]
        if self.required and not files:
            raise forms.ValidationError("Pick or take at least one photo.")
        return files


class PicturesForm(forms.Form):
    """More photos of something. The same form sent twice keeps each once."""

    uid = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    photos = PicturesField(
        label="Photos", widget=ManyPictures(attrs={"accept": "image/*", "multiple": True, "data-shrink": True})
    )

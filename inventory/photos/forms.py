"""What is asked for when photos are sent or changed."""

import uuid

from django import forms

from .models import Photo

EMPTY = "The file is empty. Take the picture again."


class ManyFiles(forms.ClearableFileInput):
    allow_multiple_selected = True


class PhotosField(forms.FileField):
    """One picture or several; cleans to a list of files."""

    widget = ManyFiles(attrs={"accept": "image/*", "multiple": True})

    def clean(self, data, initial=None):
        files = [super(PhotosField, self).clean(file, initial) for file in data or [None]]
        return [file for file in files if file]


class OptionalPhotos(PhotosField):
    """Pictures beside other things, or none; made smaller on the phone before they are sent."""

    def __init__(self, **kwargs):
        super().__init__(required=False, **kwargs)
        self.widget.attrs["data-shrink"] = ""


class AddForm(forms.Form):
    """`uid` makes a repeat of a single photo harmless; `taken` is the file's own time where the picture has none."""

    photos = PhotosField(
        label="Photos", error_messages={"required": "Pick or take at least one photo.", "empty": EMPTY}
    )
    uid = forms.UUIDField(required=False, widget=forms.HiddenInput, initial=uuid.uuid4)
    taken = forms.DateTimeField(required=False, widget=forms.HiddenInput)

    def numbers(self) -> list[uuid.UUID]:
        """A number for each photo, the same again when the form is sent again."""
        first = self.cleaned_data.get("uid") or uuid.uuid4()
        return [first if n == 0 else uuid.uuid5(first, str(n)) for n in range(len(self.cleaned_data["photos"]))]


class CaptionForm(forms.ModelForm):
    class Meta:
        model = Photo
        fields = ["caption", "public"]

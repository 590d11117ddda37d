"""How forms look and speak: one template a field, the message at the field, in plain words.

All of it holds for every form of both apps, and for those that Django makes from models: no form has to ask for it.
"""

from django import forms
from django.core.exceptions import ValidationError
from django.forms.renderers import TemplatesSetting

TOO_LONG = "This has %(show_value)d letters, and %(limit_value)d is the most. Shorten it."
GONE = "That is not there to pick any more. Pick another."
NOT_A_NUMBER = "Write a number, such as 2 or 1.5."

# What Django's own fields say when something is wrong with them, by field and code.
SAYS = {
    forms.Field: {
        "required": "Fill this in.",
        "max_length": TOO_LONG,
        "min_length": "This has %(show_value)d letters, and %(limit_value)d is the least. Write more.",
        "min_value": "Write %(limit_value)s or more.",
        "max_value": "Write %(limit_value)s or less.",
        "max_digits": "That is a longer number than can be kept. Write fewer figures.",
        "max_decimal_places": "Write at most %(max)s figures after the point.",
        "max_whole_digits": "Write at most %(max)s figures before the point.",
        "null_characters_not_allowed": "There is a sign in this that can’t be kept. Type it anew.",
        "unique": "Another one has this already. Write something else.",
    },
    forms.IntegerField: {"invalid": "Write a whole number, such as 2."},
    forms.FloatField: {"invalid": NOT_A_NUMBER},
    forms.DecimalField: {"invalid": NOT_A_NUMBER},
    forms.DateField: {"invalid": "Write the day like 2026-11-24."},
    forms.TimeField: {"invalid": "Write the time like 21:40."},
    forms.DateTimeField: {"invalid": "Write the day and the time like 2026-11-24 21:40."},
    forms.URLField: {"invalid": "Write the whole address, such as https://example.org/oven."},
    forms.UUIDField: {"invalid": "This page is out of date. Load it again, then send it."},
    forms.BooleanField: {"required": "Tick this."},
    forms.ChoiceField: {"required": "Pick one.", "invalid_choice": GONE},
    forms.MultipleChoiceField: {"required": "Tick at least one.", "invalid_choice": GONE, "invalid_list": GONE},
    forms.ModelChoiceField: {"required": "Pick one.", "invalid_choice": GONE},
    forms.ModelMultipleChoiceField: {
        "required": "Tick at least one.", "invalid_choice": GONE, "invalid_list": GONE, "invalid_pk_value": GONE,
    },
    forms.FileField: {
        "required": "Pick a file.",
        "invalid": "The file did not arrive. Pick it again.",
        "missing": "The file did not arrive. Pick it again.",
        "empty": "There is nothing in this file. Pick another.",
        "max_length": "The file’s name has %(length)d letters, and %(max)d is the most. Give it a shorter one.",
    },
}  # fmt: skip


def speak_plainly() -> None:
    """Gives Django's fields our words. Called before the first form is made, which takes its words over."""
    for field, says in SAYS.items():
        field.default_error_messages = {**vars(field).get("default_error_messages", {}), **says}


class AsTyped(forms.BoundField):
    """What was typed comes whole: no box cuts it short without a word, and a line's end counts once.

    A browser sends the end of a line as two characters and cuts what is pasted at `maxlength`; here the field says
    that it is too long, and keeps it. The first box that is wrong has the cursor, so that a long form opens on it.
    """

    def __init__(self, form, field, name):
        super().__init__(form, field, name)
        field.widget.attrs.pop("maxlength", None)

    @property
    def data(self):
        typed = super().data
        return typed.replace("\r\n", "\n") if isinstance(typed, str) else typed

    def build_widget_attrs(self, attrs, widget=None):
        attrs = super().build_widget_attrs(attrs, widget)
        errors = self.form.errors if self.form.is_bound else {}
        if not self.use_fieldset and next((name for name in self.form.fields if name in errors), None) == self.name:
            attrs["autofocus"] = True
        return attrs


class ShopRenderer(TemplatesSetting):
    form_template_name = "ui/form.html"
    field_template_name = "ui/field.html"
    bound_field_class = AsTyped


class NumberField(forms.DecimalField):
    """An amount of money, hours or things, never below 0: '12,50' is as good as '12.50', and '1 250' as '1250'."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})

    def __init__(self, **kwargs):
        super().__init__(**{"min_value": 0, **kwargs})

    def to_python(self, value):
        if isinstance(value, str):
            value = "".join(value.split())
            if "." not in value:
                value = value.replace(",", ".", 1)
        return super().to_python(value)


class ManyChoiceField(forms.ModelMultipleChoiceField):
    """Several of the things there are. A number too large for any database is no thing either."""

    def _check_values(self, value):
        try:
            return super()._check_values(value)
        except OverflowError:
            raise ValidationError(self.error_messages["invalid_choice"], params={"value": value[0]}) from None

"""How forms look: one template a field, the message at the field."""

from django.core.exceptions import ValidationError
from django.forms import ModelMultipleChoiceField
from django.forms.renderers import TemplatesSetting


class ShopRenderer(TemplatesSetting):
    form_template_name = "ui/form.html"
    field_template_name = "ui/field.html"


class ManyChoiceField(ModelMultipleChoiceField):
    """Several of the things there are. A number too large for any database is no thing either."""

    def _check_values(self, value):
        try:
            return super()._check_values(value)
        except OverflowError:
            raise ValidationError(self.error_messages["invalid_choice"], params={"value": value[0]}) from None

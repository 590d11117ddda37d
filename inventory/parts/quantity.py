"""Quantities: Decimals in Python, whole thousandths in the database, so that sums are exact on every engine."""

from decimal import ROUND_HALF_UP, Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.db import models

from inventory.web.forms import NumberField

STEP = Decimal("0.001")
LARGEST = Decimal("1000000000")


def exact(value) -> Decimal:
    """The value in thousandths, half up, without trailing zeros (2, 1.5)."""
    return plain(Decimal(str(value)).quantize(STEP, ROUND_HALF_UP))


def plain(value: Decimal) -> Decimal:
    """The same number without trailing zeros and without an exponent."""
    return Decimal(f"{value.normalize():f}")


class QuantityFormField(NumberField):
    """How many, with a number pad on a phone."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "quantity"})
    default_error_messages = {"required": "Say how many."}

    def __init__(self, **kwargs):
        super().__init__(**{"max_digits": 13, "decimal_places": 3, "max_value": LARGEST, **kwargs})
        if self.min_value:
            self.error_messages["min_value"] = "Write a number above 0."

    def widget_attrs(self, widget):
        return {}


class QuantityField(models.BigIntegerField):
    description = "An exact quantity to three decimals"

    def from_db_value(self, value, expression, connection):
        return None if value is None else plain(Decimal(int(value)).scaleb(-3))

    def to_python(self, value):
        if value is None or isinstance(value, Decimal):
            return value
        try:
            return exact(value)
        except ArithmeticError as error:
            raise ValidationError(f"“{value}” is not a quantity.") from error

    def get_prep_value(self, value):
        if value is None or hasattr(value, "resolve_expression"):
            return value
        return int(exact(value).scaleb(3))

    def get_db_prep_value(self, value, connection, prepared=False):
        return self.get_prep_value(value) if not prepared else value

    def formfield(self, **kwargs):
        return QuantityFormField(label=kwargs.get("label", self.verbose_name.capitalize()), required=not self.blank)

    @property
    def validators(self):
        return []  # the integer's range says nothing about thousandths; the form field and constraints do

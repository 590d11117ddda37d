from decimal import Decimal

import pytest

from inventory.parts.forms import CorrectForm
from inventory.parts.models import Part
from inventory.parts.quantity import exact


@pytest.mark.parametrize(
    ("given", "kept"), [("2", "2"), ("1.50", "1.5"), ("0.0005", "0.001"), ("1e3", "1000"), (3, "3")]
)
def test_a_quantity_is_kept_in_thousandths_half_up(given, kept):
    assert str(exact(given)) == kept


@pytest.mark.parametrize(("typed", "meant"), [("1,5", Decimal("1.5")), ("1 000", Decimal(1000)), (" 2 ", Decimal(2))])
def test_a_number_box_takes_a_decimal_comma_and_blanks(typed, meant):
    form = CorrectForm({"quantity": typed, "uid": "4fdd4c4e-6b9c-4a8e-8fb0-1f6f0b8a1f11"}, part=Part(unit="metres"))
    assert form.is_valid(), form.errors
    assert form.cleaned_data["quantity"] == meant


def test_half_a_piece_is_refused_at_the_field():
    form = CorrectForm({"quantity": "1,5", "uid": "4fdd4c4e-6b9c-4a8e-8fb0-1f6f0b8a1f11"}, part=Part(name="Hinge"))
    assert form.errors == {"quantity": ["“Hinge” is counted in whole pieces."]}

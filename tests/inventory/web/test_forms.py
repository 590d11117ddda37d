"""What every form of both apps says and keeps."""

import pytest
from bs4 import BeautifulSoup
from django import forms

from inventory.parts.quantity import QuantityFormField, exact
from inventory.web.forms import NumberField
from tests.factories import make_build, make_decision, make_task

pytestmark = pytest.mark.django_db


def said(page) -> dict[str, str]:
    """{label: what is wrong with it}; what is said of the whole form under ''."""
    soup = BeautifulSoup(page.content, "html.parser")
    fields = {
        field.select_one("label, legend, .label").get_text(" ", strip=True): field.select_one(".error").get_text()
        for field in soup.select(".field.wrong")
    }
    whole = [error.get_text() for error in soup.select("p.error[role=alert]")]
    return fields | ({"": " ".join(whole)} if whole else {})


class Any(forms.Form):
    words = forms.CharField(max_length=5, widget=forms.Textarea)
    whole = forms.IntegerField(min_value=1, max_value=9)
    amount = NumberField(max_digits=6, decimal_places=2)
    quantity = QuantityFormField(min_value=exact("0.001"))
    day = forms.DateField()
    link = forms.URLField(assume_scheme="https")
    one = forms.ChoiceField(choices=[("a", "A")])


def test_an_empty_field_says_in_plain_words_what_to_do():
    says = {name: words for name, (words,) in Any({}).errors.items()}
    assert says.pop("one") == "Pick one."
    assert says.pop("quantity") == "Say how many."
    assert set(says.values()) == {"Fill this in."}


def test_a_wrong_one_does_too():
    typed = {
        "words": "sixsix", "whole": "many", "amount": "a few", "quantity": "0", "day": "soon", "link": "no way",
        "one": "b",
    }  # fmt: skip
    assert {name: words for name, (words,) in Any(typed).errors.items()} == {
        "words": "This has 6 letters, and 5 is the most. Shorten it.",
        "whole": "Write a whole number, such as 2.",
        "amount": "Write a number, such as 2 or 1.5.",
        "quantity": "Write a number above 0.",
        "day": "Write the day like 2026-11-24.",
        "link": "Write the whole address, such as https://example.org/oven.",
        "one": "That is not there to pick any more. Pick another.",
    }
    out_of_reach = Any({"whole": "0", "amount": "-5", "quantity": "-1"}).errors
    assert [out_of_reach[name] for name in ("whole", "amount", "quantity")] == [
        ["Write 1 or more."], ["Write 0 or more."], ["Write a number above 0."],
    ]  # fmt: skip


@pytest.mark.parametrize(("typed", "meant"), [("12,50", "12.50"), ("12.50", "12.50"), ("1 250", "1250"), (",5", "0.5")])
def test_a_comma_is_as_good_as_a_point(typed, meant):
    assert str(NumberField().clean(typed)) == meant


@pytest.mark.parametrize("typed", ["1,234.50", "1.234,50", "1,2,3", "1,500"])
def test_a_number_that_could_be_two_is_refused(typed):
    with pytest.raises(forms.ValidationError):
        NumberField(max_digits=10, decimal_places=2).clean(typed)


def test_the_end_of_a_line_counts_once_and_no_box_cuts_what_is_typed():
    form = Any({"words": "ab\r\ncd"})
    assert "words" not in form.errors
    assert form.cleaned_data["words"] == "ab\ncd"
    assert "maxlength" not in str(form["words"])


def test_what_is_too_long_is_refused_at_its_field_and_kept(as_owner):
    goal = "Bread by the road. " * 12
    page = as_owner.post("/builds/new/", {"code": "HB-64", "name": "Bakery van", "goal": goal})
    assert page.status_code == 422
    assert said(page) == {"Goal if you like": "This has 227 letters, and 200 is the most. Shorten it."}
    assert goal.strip() in page.text
    assert "maxlength" not in page.text


def test_costs_and_hours_take_a_comma_and_nothing_below_0(as_owner):
    build = make_build()
    decision, task = make_decision(build), make_task("Weld the frame", build=build)
    options = f"/decisions/{decision.pk}/options/new/"
    as_owner.post(options, {"name": "Brass ring", "cost": "12,50"})
    assert str(decision.options.get().cost) == "12.50"
    assert said(as_owner.post(options, {"name": "Steel ring", "cost": "-5"})) == {
        "Cost if you like": "Write 0 or more."
    }
    as_owner.post(f"/tasks/{task.pk}/edit/", {"title": "Weld the frame", "hours_likely": "1,5"})
    task.refresh_from_db()
    assert str(task.hours_likely) == "1.50"


def test_what_is_wrong_with_several_fields_is_said_at_one_of_them(as_owner):
    make_build("HB-64")
    task = make_task("Weld the frame", build=make_build("HB-65"))
    falling = {"title": "Weld the frame", "hours_low": "3", "hours_likely": "2"}
    page = BeautifulSoup(as_owner.post(f"/tasks/{task.pk}/edit/", falling).content, "html.parser")
    assert [box["name"] for box in page.select("main [autofocus]")] == ["hours_likely"]
    rise = {"Hours most likely if you like": "Hours must rise from best to most likely to worst."}
    assert said(as_owner.post(f"/tasks/{task.pk}/edit/", falling)) == rise
    taken = {"code": "hb-64", "name": "Bakery van"}
    assert said(as_owner.post("/builds/HB-65/edit/", taken)) == {"Code": "Another build has this code."}


@pytest.mark.parametrize("amount", ["0", "-3", ""])
def test_a_cost_of_nothing_is_refused_in_words(amount):
    from inventory.donors.forms import CostForm

    (words,) = CostForm({"what": "Trailer", "amount": amount, "on": "2026-11-24"}).errors["amount"]
    assert words == ("Write 0.01 or more." if amount else "Fill this in.")

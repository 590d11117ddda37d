"""Picking one of many by typing: a text box, and what it may mean as large choices. Works without JavaScript.

The form posts `<name>` (the value of the ticked choice) and `<name>_text` (what was typed). What was typed counts
when it names exactly one thing; when it could be several, the form comes back with those as choices.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that may be meant. `exact` when the typed text is its very address, code or full name.

    `near` when it misses a word of what was typed: it is offered, and never ticked by itself.
    """

    value: str
    label: str
    sub: str = ""
    address: str = ""
    exact: bool = False
    near: bool = False


def ticked(choices: Sequence[Choice]) -> str:
    """The choice that is ticked until a person ticks another: the first that meets all that was typed."""
    return next((choice.value for choice in choices if not choice.near), "")


Search = Callable[[str], Sequence[Choice]]


class PickWidget(forms.Widget):
    template_name = "ui/pick.html"

    def __init__(self, suggest_url: str = "", placeholder: str = "", attrs=None):
        super().__init__(attrs)
        self.suggest_url = suggest_url
        self.placeholder = placeholder
        self.choices: Sequence[Choice] = ()

    def value_from_datadict(self, data, files, name):
        return data.get(name, "").strip(), data.get(f"{name}_text", "").strip()

    def value_omitted_from_data(self, data, files, name):
        return name not in data and f"{name}_text" not in data

    def get_context(self, name, value, attrs):
        picked, text = value if isinstance(value, tuple) else (value or "", "")
        context = super().get_context(name, None, attrs)
        context["widget"] |= {
            "picked": str(picked),
            "text": text,
            "choices": self.choices,
            "suggest_url": self.suggest_url,
            "placeholder": self.placeholder,
        }
        return context

    def id_for_label(self, id_):
        return f"{id_}_text"


class PickField(forms.Field):
    """Cleans to whatever `get(value)` gives for the picked choice's value; `get` answers None for what is not there."""

    widget = PickWidget

    def __init__(
        self,
        *,
        search: Search,
        get: Callable[[str], Any],
        suggest_url: str = "",
        placeholder: str = "",
        first: Sequence[Choice] = (),
        missing: str = "Nothing is called that.",
        **kwargs,
    ):
        super().__init__(**kwargs)
        self.search, self.get, self.missing = search, get, missing
        self.widget.suggest_url = suggest_url
        self.widget.placeholder = placeholder
        self.offer(first)

    def offer(self, choices: Sequence[Choice]) -> None:
        """The choices shown before anything is typed: the last used ones."""
        self.widget.choices = choices

    def clean(self, value):
        picked, text = value if isinstance(value, tuple) else (str(value or ""), "")
        if text:
            found = list(self.search(text))
            self.offer(found)  # a form that comes back has its list, with what was picked
            exact = [choice for choice in found if choice.exact]
            if picked and any(choice.value == picked for choice in found):
                pass
            elif len(exact) == 1 or (len(found) == 1 and not found[0].near):
                picked = (exact or found)[0].value
            elif found:
                raise ValidationError("Which of these is it?")
            else:
                raise ValidationError(self.missing)
        if not picked:
            if self.required:
                raise ValidationError("Pick one, or type its name or address.")
            return None
        thing = self.get(picked)
        if thing is None:
            raise ValidationError("That is not there any more. Pick another.")
        return thing

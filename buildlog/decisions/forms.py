"""What is asked for when a decision is put or taken."""

from django import forms

from inventory.web.forms import NumberField

from .models import Decision, Option


class AskForm(forms.ModelForm):
    options = forms.CharField(
        required=False,
        label="Options",
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="One a line. More can come later.",
    )

    class Meta:
        model = Decision
        fields = ["question", "area"]

    def __init__(self, *args, build, **kwargs):
        super().__init__(*args, **kwargs)
        self.build = build
        self.fields["area"].queryset = build.areas.all()
        self.fields["area"].empty_label = "None"
        if self.instance.pk:
            del self.fields["options"]

    def clean_options(self):
        options = [" ".join(line.split()) for line in self.cleaned_data["options"].splitlines()]
        longest = Option._meta.get_field("name").max_length
        if long := next((option for option in options if len(option) > longest), None):
            raise forms.ValidationError(
                f"“{long}” is longer than {longest} letters. Put the rest in its for and against."
            )
        return [option for option in options if option]

    def clean_question(self):
        question = " ".join(self.cleaned_data["question"].split())
        others = self.build.decisions.open().exclude(pk=self.instance.pk)
        if others.filter(question__iexact=question).exists():
            raise forms.ValidationError("This is asked already, and not decided yet.")
        return question


class OptionForm(forms.ModelForm):
    link = forms.URLField(required=False, max_length=300, assume_scheme="https")

    class Meta:
        model = Option
        fields = ["name", "came_from", "cost", "speaks_for", "speaks_against", "link"]
        field_classes = {"cost": NumberField}
        widgets = {
            "speaks_for": forms.Textarea(attrs={"rows": 2}),
            "speaks_against": forms.Textarea(attrs={"rows": 2}),
        }

    def __init__(self, *args, decision, **kwargs):
        super().__init__(*args, **kwargs)
        self.instance.decision = decision

    def clean_name(self):
        name = " ".join(self.cleaned_data["name"].split())
        if self.instance.decision.options.filter(name=name).exclude(pk=self.instance.pk).exists():
            raise forms.ValidationError("There is an option of that name.")
        return name


class ChooseForm(forms.Form):
    option = forms.ModelChoiceField(queryset=None, label="Chosen", widget=forms.RadioSelect, empty_label=None)
    why = forms.CharField(required=False, max_length=400, widget=forms.Textarea(attrs={"rows": 2}))

    def __init__(self, *args, decision, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["option"].queryset = decision.options.all()

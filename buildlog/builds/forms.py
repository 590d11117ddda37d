"""What is asked for when a build or an area is added or changed."""

from django import forms

from .models import Area, Build


class BuildForm(forms.ModelForm):
    class Meta:
        model = Build
        fields = ["name", "code", "goal", "number"]
        help_texts = {"name": "Such as: Bakery van."}
        widgets = {
            "goal": forms.Textarea(attrs={"rows": 2}),
            "code": forms.TextInput(attrs={"autocapitalize": "characters", "autocomplete": "off"}),
            "number": forms.TextInput({"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}),
        }

    def clean_goal(self):
        return " ".join(self.cleaned_data["goal"].split())

    def clean_code(self):
        code = self.cleaned_data["code"].strip().upper()
        if Build.objects.coded(code).exclude(pk=self.instance.pk).exists():
            raise forms.ValidationError("Another build has this code.")
        return code


class AreaForm(forms.ModelForm):
    class Meta:
        model = Area
        fields = ["name", "mark"]
        labels = {"name": "Name of the area"}
        widgets = {"mark": forms.TextInput(attrs={"autocapitalize": "characters", "autocomplete": "off"})}

    def __init__(self, *args, build: Build, **kwargs):
        super().__init__(*args, **kwargs)
        self.build = build

    def clean_name(self):
        name = " ".join(self.cleaned_data["name"].split())
        if self.build.areas.filter(name__iexact=name).exclude(pk=self.instance.pk).exists():
            raise forms.ValidationError("This build has an area of that name.")
        return name

    def clean_mark(self):
        return self.cleaned_data["mark"].upper()

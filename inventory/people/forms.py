"""What is asked of somebody who comes in, and of an owner who lets others in."""

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.http import HttpRequest

from . import actions, throttle
from .models import Device, Person, Role

PASSWORD_HELP = "At least 12 characters. Four odd words in a row are long, easy to keep and hard to guess."  # noqa: S105


class PasswordWidget(forms.PasswordInput):
    """With a button that shows what was typed, once the page's script has woken it."""

    template_name = "ui/password.html"


def password_field(label: str, autocomplete: str, help_text: str = "") -> forms.CharField:
    """Pasting and password managers are welcome: `autocomplete` says which password this is."""
    widget = PasswordWidget(attrs={"autocomplete": autocomplete})
    return forms.CharField(label=label, strip=False, widget=widget, help_text=help_text, max_length=1000)


def name_field(label: str = "Name", **attrs) -> forms.CharField:
    usual = {"autocomplete": "username", "autocapitalize": "words", "spellcheck": "false"}
    return forms.CharField(label=label, max_length=60, widget=forms.TextInput(attrs=usual | attrs))


def code_field(label: str, *, max_length: int, help_text: str = "", **attrs) -> forms.CharField:
    usual = {
        "class": "code",
        "autocomplete": "one-time-code",
        "autocapitalize": "characters",
        "spellcheck": "false",
    }
    widget = forms.TextInput(attrs=usual | attrs)
    return forms.CharField(label=label, max_length=max_length, help_text=help_text, widget=widget)


def free_name(name: str, *, but: Person | None = None) -> str:
    if Person.objects.filter(name__iexact=name).exclude(pk=but.pk if but else None).exists():
        raise ValidationError("There is somebody of that name already. Add a letter or a family name.")
    return name


def wait_message(wait: throttle.MustWait) -> ValidationError:
    said = f"Too many wrong tries from here. Wait {throttle.in_words(wait.seconds)}, then try again."
    return ValidationError(said, code="wait", params={"seconds": wait.seconds})


class MayHaveToWait:
    """A form that refuses to look for a while."""

    @property
    def wait_seconds(self) -> int:
        """How long until the next try is looked at; 0 when that was not what is wrong."""
        errors = [error for found in self.errors.as_data().values() for error in found]
        return next((error.params["seconds"] for error in errors if error.code == "wait"), 0)


class LoginForm(MayHaveToWait, forms.Form):
    username = name_field(autofocus=True)  # what password managers look for
    password = password_field("Password", "current-password")

    def __init__(self, request: HttpRequest, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.request = request
        self.person: Person | None = None

    def clean(self):
        said = super().clean()
        if self.errors:
            return said
        try:
            self.person = actions.check_password(self.request, name=said["username"], password=said["password"])
        except throttle.MustWait as wait:
            raise wait_message(wait) from None
        except actions.WrongPassword:
            raise ValidationError(
                "That name and password do not go together. Capitals count in the password, not in the name."
            ) from None
        return said


class SetUpForm(MayHaveToWait, forms.Form):
    code = code_field(
        "Code from the terminal",
        max_length=40,
        help_text="Ten letters and figures, printed where the shop was started.",
        autofocus=True,
    )
    name = name_field("Your name")
    password = password_field("A password", "new-password", PASSWORD_HELP)

    def __init__(self, request: HttpRequest, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.request = request

    def clean_name(self):
        return free_name(self.cleaned_data["name"])

    def clean_password(self):
        validate_password(self.cleaned_data["password"])
        return self.cleaned_data["password"]

    def clean_code(self):
        code = self.cleaned_data["code"]
        try:
            right = actions.check_setup_code(self.request, code=code)
        except throttle.MustWait as wait:
            raise wait_message(wait) from None
        if not right:
            raise ValidationError("That is not the code. Only the newest one printed counts; dashes do not matter.")
        return code


class PairForm(forms.Form):
    code = code_field("Code from the other screen", max_length=100)


class RoleField(forms.ChoiceField):
    def __init__(self, **kwargs):
        super().__init__(choices=Role.choices, widget=forms.RadioSelect, label="May do", **kwargs)


class AddPersonForm(forms.Form):
    name = name_field(autocomplete="off", autofocus=True)
    role = RoleField(initial=Role.HAND)

    def clean_name(self):
        return free_name(self.cleaned_data["name"])


class RoleForm(forms.Form):
    role = RoleField()


class OwnNameForm(forms.Form):
    name = name_field("Your name")

    def __init__(self, person: Person, *args, **kwargs):
        super().__init__(*args, initial={"name": person.name}, **kwargs)
        self.person = person

    def clean_name(self):
        return free_name(self.cleaned_data["name"], but=self.person)


class OwnPasswordForm(MayHaveToWait, forms.Form):
    """Somebody who came in by a code has no password yet and is not asked for one."""

    old = password_field("The password you have", "current-password")
    new = password_field("A new one", "new-password", PASSWORD_HELP)

    def __init__(self, request: HttpRequest, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.request = request
        self.person: Person = request.user
        if not self.person.has_usable_password():
            del self.fields["old"]
            self.fields["new"].label = "A password"

    def clean_old(self):
        try:
            actions.check_password(self.request, name=self.person.name, password=self.cleaned_data["old"])
        except throttle.MustWait as wait:
            raise wait_message(wait) from None
        except actions.WrongPassword:
            raise ValidationError("That is not your password.") from None
        return self.cleaned_data["old"]

    def clean_new(self):
        validate_password(self.cleaned_data["new"], self.person)
        return self.cleaned_data["new"]


class DeviceForm(forms.ModelForm):
    class Meta:
        model = Device
        fields = ["name"]
        labels = {"name": "What you call it"}

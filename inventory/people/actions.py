"""Coming in and going out, and who may."""

from django.contrib import auth
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import HttpRequest
from django.urls import reverse
from django.utils import timezone

from . import codes, setup_code, throttle
from .models import Device, Pairing, Person, Role, digest


class LastOwner(ValidationError):
    """The rule that there is always an owner who can come in. It spans rows, so it is kept here, in a transaction."""

    def __init__(self, person: Person):
        super().__init__(f"{person} is the last owner. Make somebody else an owner first.", code="last_owner")


class AlreadySetUp(Exception):
    """The shop has an owner; the set-up page is closed for good."""


class WrongPassword(Exception):
    """No such name, another password, or somebody who is switched off: which of them is nobody's business."""


class UsedUp(Exception):
    """The code is unknown, was used, ran out, or is for another place."""


def device_name(user_agent: str) -> str:
    """What a person would call the browser: 'Chrome on Android'. Unknown ones are said to be so."""
    systems = {
        "iPhone": "iPhone",
        "iPad": "iPad",
        "Android": "Android",
        "Windows": "Windows",
        "Mac OS": "Mac",
        "Linux": "Linux",
    }
    browsers = {"Firefox": "Firefox", "Edg": "Edge", "OPR": "Opera", "Chrom": "Chrome", "Safari": "Safari"}
    system = next((said for mark, said in systems.items() if mark in user_agent), "")
    browser = next((said for mark, said in browsers.items() if mark in user_agent), "")
    return " on ".join(filter(None, [browser, system])) or "An unknown browser"


@transaction.atomic
def sign_in(request: HttpRequest, *, person: Person) -> Device:
    """Sign the browser in and put it on the person's list of devices."""
    if getattr(request, "device", None):  # the same browser again: it stays one device
        request.device.delete()
    auth.login(request, person, backend="django.contrib.auth.backends.ModelBackend")
    device = Device.objects.create(person=person, name=device_name(request.headers.get("User-Agent", "")))
    request.session["device"] = device.pk
    request.device = device
    return device


def check_password(request: HttpRequest, *, name: str, password: str) -> Person:
    """The person with that name and password. Raises WrongPassword, or throttle.MustWait without looking."""
    counted_under = throttle.key(request, name)
    throttle.take(counted_under)
    person = auth.authenticate(request, username=name, password=password)
    if person is None:
        raise WrongPassword
    throttle.forgive(counted_under)
    return person


def check_setup_code(request: HttpRequest, *, code: str) -> bool:
    """Whether the code is the one in the terminal. Raises throttle.MustWait without looking."""
    counted_under = throttle.key(request, "\nset-up")  # no name has a line end in it
    throttle.take(counted_under)
    right = setup_code.check(code)
    if right:
        throttle.forgive(counted_under)
    return right


def set_up(*, name: str, password: str) -> Person:
    """Make the first owner and close the set-up page for good. Raises AlreadySetUp."""
    with transaction.atomic():
        if Person.objects.filter(role=Role.OWNER).exists():
            raise AlreadySetUp
        person = Person.objects.create_user(name, password, role=Role.OWNER)
    setup_code.close()
    return person


@transaction.atomic
def change_role(*, person: Person, role: str) -> None:
    """Raises LastOwner."""
    if role != Role.OWNER:
        _keep_an_owner(person)
    Person.objects.filter(pk=person.pk).update(role=role)


@transaction.atomic
def switch_off(*, person: Person) -> None:
    """They can't come in any more, and are out on every device. What they did stays theirs. Raises LastOwner."""
    _keep_an_owner(person)
    Person.objects.filter(pk=person.pk).update(is_active=False)
    Device.objects.filter(person=person).delete()


def switch_on(*, person: Person) -> None:
    Person.objects.filter(pk=person.pk).update(is_active=True)


def _keep_an_owner(person: Person) -> None:
    owners = Person.objects.owners().select_for_update()
    if owners.filter(pk=person.pk).exists() and not owners.exclude(pk=person.pk).exists():
        raise LastOwner(person)


@transaction.atomic
def set_password(*, person: Person, password: str, but: Device | None = None) -> None:
    """A new password; every device but this one has to come in again."""
    person.set_password(password)
    person.save(update_fields=["password"])
    sign_out(person=person, but=but)


def sign_out(*, person: Person, but: Device | None = None) -> int:
    """Sign out all of a person's devices, or all but one. How many there were."""
    gone = Device.objects.filter(person=person).exclude(pk=but.pk if but else None)
    return gone.delete()[1].get("inventory.Device", 0)


def let_in(*, person: Person, shown_to: Person) -> tuple[Pairing, str]:
    """An invitation for one phone, and the token that goes into its QR code."""
    Pairing.objects.filter(expires_at__lt=timezone.now() - Pairing.LASTS).delete()
    return Pairing.issue(person, shown_to=shown_to)


def one_click_link(person: Person) -> str:
    """The path that signs the browser on this computer in with one click; once, soon, and from nowhere else.

    The token is in the fragment, which no server, proxy or log gets to see.
    """
    _, token = Pairing.issue(person, for_desk=True)
    return f"{reverse('inventory:people_desk')}#{token}"


def redeem(request: HttpRequest, *, code: str, for_desk: bool = False) -> Device:
    """Sign the browser in with a one-time code, which is then used up. Raises UsedUp."""
    with transaction.atomic():
        invited = Pairing.objects.open().filter(digest=digest(codes.bare(code)), for_desk=for_desk)
        pairing = invited.select_for_update(of=("self",)).select_related("person").first()
        if pairing is None:
            raise UsedUp
        device = sign_in(request, person=pairing.person)
        Pairing.objects.filter(pk=pairing.pk).update(used_at=timezone.now(), device=device)
    return device

"""Coming in and going out."""

from django.contrib import auth
from django.db import transaction
from django.http import HttpRequest

from .models import Device, Person


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
    auth.login(request, person, backend="django.contrib.auth.backends.ModelBackend")
    device = Device.objects.create(person=person, name=device_name(request.headers.get("User-Agent", "")))
    request.session["device"] = device.pk
    return device

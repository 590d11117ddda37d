"""One's own name, password and devices."""

from django.contrib.auth import update_session_auth_hash
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.web import flash
from inventory.web.access import guests_too
from inventory.web.http import SeeOther, done, page

from . import actions
from .forms import DeviceForm, OwnNameForm, OwnPasswordForm
from .views import refused

ME = "inventory:people_me"


@require_safe
def me(request):
    devices = list(request.user.devices.all())
    others = [device for device in devices if device != request.device]
    return page(request, "inventory/people/me.html", {"devices": devices, "others": others, "here": "shop"})


@guests_too
@require_http_methods(["GET", "POST"])
def name(request):
    form = OwnNameForm(request.user, request.POST or None)
    if form.is_valid():
        request.user.name = form.cleaned_data["name"]
        request.user.save(update_fields=["name"])
        flash.done(request, f"You are {request.user.name} from now on.")
        return done(request, reverse(ME))
    status = 422 if form.is_bound else 200
    return page(request, "inventory/people/name.html", {"form": form, "here": "shop"}, status=status)


@sensitive_post_parameters()
@guests_too
@require_http_methods(["GET", "POST"])
def password(request):
    form = OwnPasswordForm(request, request.POST or None)
    if not form.is_valid():
        return refused(request, "inventory/people/password.html", form, {"here": "shop"})
    actions.set_password(person=request.user, password=form.cleaned_data["new"], but=request.device)
    update_session_auth_hash(request, request.user)
    flash.done(request, "Your password is changed. Your other devices are signed out.")
    return done(request, reverse(ME))


@guests_too
@require_http_methods(["GET", "POST"])
def device(request, number: int):
    one = get_object_or_404(request.user.devices, pk=number)
    form = DeviceForm(request.POST or None, instance=one)
    if form.is_valid():
        form.save()
        flash.done(request, f"It is called {one.name} from now on.")
        return done(request, reverse(ME))
    status = 422 if form.is_bound else 200
    return page(request, "inventory/people/device.html", {"form": form, "one": one, "here": "shop"}, status=status)


@guests_too
@require_POST
def device_out(request, number: int):
    one = get_object_or_404(request.user.devices, pk=number)
    one.delete()
    flash.done(request, f"{one.name} is signed out.")
    return SeeOther(reverse(ME))


@guests_too
@require_POST
def others_out(request):
    count = actions.sign_out(person=request.user, but=request.device)
    flash.done(request, f"Signed out: {count} other device{'' if count == 1 else 's'}.")
    return SeeOther(reverse(ME))

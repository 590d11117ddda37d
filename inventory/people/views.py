"""Setting the shop up, coming in and going out."""

from django.contrib import auth
from django.contrib.auth.decorators import login_not_required
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from inventory.web import flash
from inventory.web.access import before_set_up, guests_too
from inventory.web.http import SeeOther, back_to, done, page

from . import actions
from .forms import LoginForm, SetUpForm
from .models import Person, Role


def refused(request, template: str, form, context: dict | None = None):
    """The page again with what is wrong: 429 and Retry-After where waiting is all there is to do."""
    status = 429 if form.wait_seconds else 422 if form.is_bound else 200
    response = page(request, template, {"form": form} | (context or {}), status=status)
    if form.wait_seconds:
        response.headers["Retry-After"] = str(form.wait_seconds)
    return response


@sensitive_post_parameters()
@never_cache
@login_not_required
@before_set_up
@guests_too
@require_http_methods(["GET", "POST"])
def set_up(request):
    if Person.objects.filter(role=Role.OWNER).exists():
        return SeeOther("/")
    form = SetUpForm(request, request.POST or None)
    if not form.is_valid():
        return refused(request, "inventory/people/setup.html", form)
    try:
        person = actions.set_up(name=form.cleaned_data["name"], password=form.cleaned_data["password"])
    except actions.AlreadySetUp:
        return SeeOther("/")
    actions.sign_in(request, person=person)
    return done(request, "/")


@sensitive_post_parameters()
@never_cache
@login_not_required
@guests_too
@require_http_methods(["GET", "POST"])
def login(request):
    if request.user.is_authenticated:
        return SeeOther(back_to(request, "/"))
    form = LoginForm(request, request.POST or None)
    if not form.is_valid():
        return refused(request, "inventory/people/login.html", form, {"next": back_to(request, "")})
    actions.sign_in(request, person=form.person)
    return done(request, back_to(request, "/"))


@guests_too
@require_POST
def logout(request):
    if request.device:
        request.device.delete()
    auth.logout(request)
    flash.done(request, "This device is signed out.")
    return SeeOther("/login/")

"""Coming in and going out."""

from django.contrib import auth
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import AuthenticationForm
from django.views.decorators.http import require_http_methods, require_POST

from inventory.web.access import guests_too
from inventory.web.http import SeeOther, back_to, done, page

from . import actions


@login_not_required
@guests_too
@require_http_methods(["GET", "POST"])
def login(request):
    if request.user.is_authenticated:
        return SeeOther(back_to(request, "/"))
    form = AuthenticationForm(request, request.POST or None)
    if form.is_valid():
        actions.sign_in(request, person=form.get_user())
        return done(request, back_to(request, "/"))
    status = 422 if form.is_bound else 200
    return page(request, "inventory/people/login.html", {"form": form, "next": back_to(request, "")}, status=status)


@guests_too
@require_POST
def logout(request):
    if request.device:
        request.device.delete()
    auth.logout(request)
    return SeeOther("/login/")

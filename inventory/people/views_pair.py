"""Letting a phone in: a code on a screen that is signed in, used once by the phone that scans it."""

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from inventory.web import flash
from inventory.web.access import guests_too, owner_only
from inventory.web.address import at_the_desk, public_base, reaches_phones
from inventory.web.http import done, page
from inventory.web.qr import symbol

from . import actions, codes
from .forms import PairForm
from .models import Pairing, Person


@never_cache
@guests_too
@require_http_methods(["GET", "POST"])
def let_in(request):
    """For one's own phone."""
    return _show(request, request.user)


@never_cache
@owner_only
@require_http_methods(["GET", "POST"])
def invite(request, number: int):
    """For somebody else's."""
    return _show(request, get_object_or_404(Person, pk=number, is_active=True))


def _show(request, person: Person):
    """A GET offers the code, a POST makes one and shows it. It is in no other answer, so this one is no redirect."""
    context = {"person": person, "own": person == request.user, "base": public_base(request)}
    context["reaches"] = reaches_phones(context["base"])
    if request.method == "POST":
        pairing, token = actions.let_in(person=person, shown_to=request.user)
        address = context["base"] + reverse("inventory:people_pair")
        context |= {"pairing": pairing, "address": address, "code": codes.grouped(token)}
        context["symbol"] = symbol(f"{address}#{token}")
    return page(request, "inventory/people/let_in.html", context)


@never_cache
@require_safe
def state(request, number: int):
    """How the code on the screen stands, asked every other second; the whole panel once it is used or has run out."""
    pairing = get_object_or_404(Pairing.objects.select_related("person", "device"), pk=number, shown_to=request.user)
    context = {"pairing": pairing, "person": pairing.person, "own": pairing.person == request.user}
    ended = pairing.used_at or not pairing.left
    response = render(request, f"inventory/people/let_in.html#{'ended' if ended else 'left'}", context)
    if ended:
        response.headers["HX-Retarget"] = "#pairing"
        response.headers["HX-Reswap"] = "innerHTML"
    return response


@never_cache
@login_not_required
@guests_too
@require_http_methods(["GET", "POST"])
def pair(request):
    """Where the phone arrives. The code is behind the # of the address, so that only the page's script has it."""
    return _redeem(request, "inventory/people/pair.html", for_desk=False)


@never_cache
@login_not_required
@guests_too
@require_http_methods(["GET", "POST"])
def desk(request):
    """The same for the browser on the shop's own computer, and for no other."""
    if not at_the_desk(request):
        raise PermissionDenied("This way in is only for the computer the shop runs on.")
    return _redeem(request, "inventory/people/desk.html", for_desk=True)


def _redeem(request, template: str, *, for_desk: bool):
    form = PairForm(request.POST or None)
    if form.is_valid():
        try:
            device = actions.redeem(request, code=form.cleaned_data["code"], for_desk=for_desk)
        except actions.UsedUp:
            form.add_error(
                "code", "That code is used or has run out. Each works once, for ten minutes. Show a new one."
            )
        else:
            flash.done(request, f"Hello {device.person}. This device stays signed in.")
            return done(request, "/")
    return page(request, template, {"form": form}, status=422 if form.is_bound else 200)

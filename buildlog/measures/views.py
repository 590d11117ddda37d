"""How well the shop measures."""

from django.urls import reverse
from django.views.decorators.http import require_http_methods

from inventory.web import flash
from inventory.web.access import owner_only
from inventory.web.http import SeeOther, page

from . import actions
from .forms import UsualForm


@owner_only
@require_http_methods(["GET", "POST"])
def instruments(request):
    form = UsualForm(request.POST or None)
    if form.is_valid():
        actions.set_usual(typed=form.typed())
        flash.done(request, "New measures say so from now on.")
        return SeeOther(reverse("buildlog:instruments"))
    context = {"form": form, "here": "shop"}
    return page(request, "buildlog/measures/instruments.html", context, status=422 if form.is_bound else 200)

"""The list of donors, a donor's page, and changes to what is known of it."""

from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from inventory.cautions.table import DEFER, chosen
from inventory.places.models import Kind, Location
from inventory.web import flash, slots
from inventory.web.http import SeeOther, back_to, done, page

from . import actions, queries, words
from .drawing import of_donor
from .forms import DonorForm, WantForm
from .models import Donor, DonorPhoto, Want, Zone

STRIPPING = ("jack", "tank", "airbag", "fuel", "refrigerant", "battery", "stored", "dust")


def get_donor(number: int) -> Donor:
    return get_object_or_404(Donor.objects.with_place(), pk=number)


@require_safe
def donor_list(request):
    some = Paginator(queries.with_numbers(), 40).get_page(request.GET.get("page"))
    ids = [donor.location_id for donor in some]
    context = {
        "page": some,
        "wanted": queries.wanted_on(some),
        "pictures": slots.pictures("place", ids),
        "here": "donors",
    }
    return page(request, "inventory/donors/list.html", context)


@require_safe
def detail(request, number):
    donor = get_donor(number)
    zone = request.GET.get("zone")
    zone = zone if zone in Zone.values else None
    pulls = Paginator(queries.pulls_of(donor, zone), 30).get_page(request.GET.get("page"))
    ids = [pull.now for pull in pulls]
    off = queries.tally(donor)
    wants = donor.wants.still_on() if zone is None else donor.wants.still_on().filter(zone=zone)
    context = {
        "donor": donor,
        "number": words.of_number(donor.check_number),
        "money": queries.working(donor, off).reckoning,
        "picture": of_donor(donor, queries.counts_by_zone(donor, off)),
        "zone": Zone(zone) if zone else None,
        "wants": wants,
        "missing": donor.wants.listed().exclude(missing_at=None) if zone is None else [],
        "wishes": queries.wishes(donor) if zone is None else [],
        "pulls": pulls,
        "fates": queries.fates(ids),
        "pictures": slots.pictures("part", ids),
        "faces": DonorPhoto.objects.filter(donor=donor, photo__deleted_at=None).select_related("photo").order_by("pk"),
        "papers": donor.papers.filter(removed_at=None).select_related("photo"),
        "here": "donors",
    }
    return page(request, "inventory/donors/detail.html", context)


@require_http_methods(["GET", "POST"])
def new(request):
    """A vehicle becomes a donor: one of the places (?place=), or a new one."""
    number = request.GET.get("place", "")
    place = None
    if number:
        vehicles = Location.objects.current().filter(kind=Kind.VEHICLE).select_related("parent")
        place = get_object_or_404(vehicles, pk=number if number.isdecimal() else 0)
        if donor := Donor.objects.filter(location=place).first():
            return SeeOther(donor.get_absolute_url())
    form = DonorForm(request.POST or None, person=request.user, place=place, instance=Donor(location=place))
    if form.is_valid():
        try:
            donor = _made(form, place, request.user)
        except ValidationError as clash:
            form.add_error("short", clash)
        else:
            flash.done(request, f"“{donor}” is a donor. Next: what do you want off it?")
            return done(request, donor.get_absolute_url())
    context = {"form": form, "place": place, "here": "donors"}
    return page(request, "inventory/donors/form.html", context, status=422 if form.is_bound else 200)


def _made(form: DonorForm, place: Location | None, by) -> Donor:
    fields = {name: form.cleaned_data[name] for name in form.Meta.fields}
    if place is None:
        return actions.add_donor(by=by, **form.where(), **fields)
    donor = actions.add_donor(by=by, location=place, **fields)
    actions.change_donor(donor=donor, by=by, **form.where())
    return donor


@require_http_methods(["GET", "POST"])
def edit(request, number):
    donor = get_donor(number)
    form = DonorForm(request.POST or None, person=request.user, place=donor.location, instance=donor)
    if form.is_valid():
        try:
            actions.change_donor(donor=donor, by=request.user, **form.where())
        except ValidationError as clash:
            form.add_error("short", clash)
        else:
            flash.done(request, f"Changed “{donor}”.")
            return done(request, donor.get_absolute_url())
    context = {"form": form, "donor": donor, "here": "donors"}
    return page(request, "inventory/donors/form.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def cautions(request, number):
    """Shown before the first pull; whoever starts says by name that they were read."""
    donor = get_donor(number)
    if request.method == "POST":
        actions.acknowledge(donor=donor, by=request.user)
        return SeeOther(back_to(request, reverse("inventory:donors_pull", args=[donor.pk])))
    context = {
        "donor": donor,
        "cautions": chosen(STRIPPING),
        "defer": DEFER,
        "next": back_to(request, ""),
        "here": "donors",
    }
    return page(request, "inventory/donors/cautions.html", context)


@require_http_methods(["GET", "POST"])
def wanted(request, number):
    """Put things on the list: typed, ticked from the starter list, or (button `wish`) as a task says it."""
    donor = get_donor(number)
    if request.POST.get("wish"):
        return _take_wish(request, donor)
    known = {(what.casefold(), side) for what, side in donor.wants.listed().values_list("what", "side")}
    form = WantForm(request.POST or None, known=known)
    if form.is_valid():
        put = actions.want(donor=donor, things=form.wanted(), by=request.user)
        flash.done(request, f"{len(put)} thing{'' if len(put) == 1 else 's'} put on the list.")
        return done(request, donor.get_absolute_url())
    context = {"donor": donor, "form": form, "here": "donors"}
    return page(request, "inventory/donors/wanted.html", context, status=422 if form.is_bound else 200)


def _take_wish(request, donor: Donor):
    wish = next((one for one in queries.wishes(donor) if one.what == request.POST["wish"]), None)
    if wish is None:
        raise Http404
    thing = {"what": wish.what[:120], "quantity": wish.quantity, "side": wish.side, "why": wish.why[:160]}
    actions.want(donor=donor, things=[thing | {"part_id": wish.part_id}], by=request.user)
    flash.done(request, f"“{wish.what}” is wanted off this one.")
    return SeeOther(donor.get_absolute_url())


@require_http_methods(["GET", "POST"])
def want(request, number):
    """One thing on the list: still wanted, not on it, or wanted no more."""
    one = get_object_or_404(Want.objects.with_pulled().select_related("donor__location"), pk=number)
    say = request.POST.get("say", "")
    if request.method == "POST":
        if say not in ("missing", "off", "again"):
            raise Http404
        actions.say_of_want(want=one, missing=say == "missing", removed=say == "off")
        told = {"missing": "is not on it", "off": "is off the list", "again": "is wanted again"}[say]
        flash.done(request, f"“{one}” {told}.")
        return SeeOther(one.donor.get_absolute_url())
    context = {"want": one, "donor": one.donor, "pulls": one.pulls.standing().select_related("part"), "here": "donors"}
    return page(request, "inventory/donors/want.html", context)

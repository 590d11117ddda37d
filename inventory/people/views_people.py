"""The owner's page of who may come in."""

from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.web import flash
from inventory.web.access import owner_only
from inventory.web.http import SeeOther, done, page

from . import actions
from .forms import AddPersonForm, RoleForm
from .models import Person
from .queries import everybody


def _address(person: Person) -> str:
    return reverse("inventory:people_detail", args=[person.pk])


@owner_only
@require_safe
def people(request):
    people = list(everybody())
    active = sum(person.is_active for person in people)
    return page(request, "inventory/people/list.html", {"people": people, "active": active, "here": "shop"})


@owner_only
@require_http_methods(["GET", "POST"])
def new(request):
    form = AddPersonForm(request.POST or None)
    if form.is_valid():
        person = Person.objects.create_user(form.cleaned_data["name"], role=form.cleaned_data["role"])
        flash.done(request, f"{person} is on the list. Now let their phone in.")
        return done(request, _address(person))
    status = 422 if form.is_bound else 200
    return page(request, "inventory/people/new.html", {"form": form, "here": "shop"}, status=status)


@owner_only
@require_http_methods(["GET", "POST"])
def detail(request, number: int):
    """A person, and what they may do."""
    person = get_object_or_404(Person, pk=number)
    form = RoleForm(request.POST or None, initial={"role": person.role})
    if form.is_valid():
        try:
            actions.change_role(person=person, role=form.cleaned_data["role"])
        except actions.LastOwner as rule:
            form.add_error("role", rule)
        else:
            person.refresh_from_db()
            flash.done(request, f"{person} is {person.get_role_display().partition(':')[0].lower()} from now on.")
            return done(request, _address(person) if request.user != person or person.is_owner else "/")
    context = {"person": person, "form": form, "devices": person.devices.all(), "here": "shop"}
    return page(request, "inventory/people/detail.html", context, status=422 if form.is_bound else 200)


@owner_only
@require_POST
def off(request, number: int):
    person = get_object_or_404(Person, pk=number)
    try:
        actions.switch_off(person=person)
    except actions.LastOwner as rule:
        flash.refused(request, rule.message)
        return SeeOther(_address(person))
    undo = reverse("inventory:people_on", args=[person.pk])
    flash.done(request, f"{person} can not come in any more. What they did stays.", undo=undo)
    return SeeOther(reverse("inventory:people_list"))


@owner_only
@require_POST
def on(request, number: int):
    person = get_object_or_404(Person, pk=number)
    actions.switch_on(person=person)
    flash.done(request, f"{person} may come in again. Their devices have to be let in anew.")
    return SeeOther(_address(person))


@owner_only
@require_POST
def devices_out(request, number: int):
    """For a phone that was lost."""
    person = get_object_or_404(Person, pk=number)
    count = actions.sign_out(person=person)
    flash.done(request, f"{person} is signed out on {count} device{'' if count == 1 else 's'}.")
    return SeeOther(_address(person))

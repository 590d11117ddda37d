"""Pages of decisions."""

from django.db.models import Prefetch
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from buildlog.builds.models import Build
from buildlog.builds.queries import current
from buildlog.pictures.views import add_photos
from inventory.photos.models import Photo
from inventory.web import flash
from inventory.web.access import changes_only
from inventory.web.http import SeeOther, done, page

from . import actions
from .forms import AskForm, ChooseForm, OptionForm
from .models import Decision, Option


def _decision(number: int) -> Decision:
    return get_object_or_404(Decision.objects.with_facts(), pk=number)


def _to(decision: Decision) -> str:
    return reverse("buildlog:decisions_detail", args=[decision.pk])


@require_safe
def decision_list(request):
    build = current(request.GET.get("build"))
    decisions = list(Decision.objects.filter(build=build).with_facts()) if build else []
    context = {
        "build": build,
        "open": [one for one in decisions if not one.chosen_id],
        "taken": sorted((one for one in decisions if one.chosen_id), key=lambda one: one.chosen_at, reverse=True),
        "here": "plan",
    }
    return page(request, "buildlog/decisions/list.html", context)


@changes_only
@require_http_methods(["GET", "POST"])
def new(request):
    build = get_object_or_404(Build.objects.coded(request.GET.get("build", "")))
    form = AskForm(request.POST or None, build=build)
    if form.is_valid():
        data = form.cleaned_data
        decision = actions.ask(
            build=build, question=data["question"], area=data["area"], options=tuple(data["options"])
        )
        flash.done(request, "Asked. Tasks that wait for it say so on their page.")
        return done(request, _to(decision))
    context = {"form": form, "build": build, "here": "plan"}
    return page(request, "buildlog/decisions/form.html", context, status=422 if form.is_bound else 200)


@changes_only
@require_http_methods(["GET", "POST"])
def edit(request, number):
    decision = _decision(number)
    form = AskForm(request.POST or None, instance=decision, build=decision.build)
    if form.is_valid():
        form.save()
        flash.done(request, "Changed the question.")
        return done(request, _to(decision))
    context = {"form": form, "build": decision.build, "decision": decision, "here": "plan"}
    return page(request, "buildlog/decisions/form.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def detail(request, number):
    """The question with its options; a POST takes the decision."""
    decision = _decision(number)
    form = ChooseForm(
        request.POST or None, decision=decision, initial={"option": decision.chosen_id, "why": decision.why}
    )
    if form.is_valid():
        said = actions.choose(
            decision=decision, option=form.cleaned_data["option"], why=form.cleaned_data["why"], by=request.user
        )
        words = " ".join([f"Decided: {decision.chosen}.", *said])
        flash.done(request, words, undo=reverse("buildlog:decisions_reopen", args=[number]))
        return done(request, _to(decision))
    waiting = [task for task in decision.tasks.all() if task.is_open]
    context = {
        "decision": decision,
        "options": decision.options.prefetch_related(Prefetch("photos", Photo.objects.kept().in_order())),
        "waiting": waiting,
        "earlier": [one for one in decision.verdicts.select_related("by") if one.until],
        "form": form,
        "here": "plan",
    }
    return page(request, "buildlog/decisions/detail.html", context, status=422 if form.is_bound else 200)


@require_POST
def reopen(request, number):
    decision = _decision(number)
    actions.reopen(decision=decision, by=request.user)
    flash.done(request, "The question is open again.")
    return SeeOther(_to(decision))


@changes_only
@require_http_methods(["GET", "POST"])
def option(request, number, option=None):
    """An option added, or one changed."""
    decision = _decision(number)
    instance = get_object_or_404(Option, decision=decision, pk=option) if option else None
    form = OptionForm(request.POST or None, instance=instance, decision=decision)
    if form.is_valid():
        kept = form.save()
        flash.done(request, f"{'Changed' if option else 'Added'} the option {kept}.")
        return done(request, _to(decision))
    context = {"form": form, "decision": decision, "option": instance, "here": "plan"}
    return page(request, "buildlog/decisions/option.html", context, status=422 if form.is_bound else 200)


@changes_only
@require_http_methods(["GET", "POST"])
def option_remove(request, number, option):
    """Asks first: an option that nobody chose is removed for good."""
    decision = _decision(number)
    chosen = get_object_or_404(Option, decision=decision, pk=option)
    if chosen.was_chosen:
        flash.refused(request, f"“{chosen}” was chosen once, and stays to be read.")
        return SeeOther(_to(decision))
    if request.method == "POST":
        chosen.delete()
        flash.done(request, f"Removed the option {chosen}.")
        return SeeOther(_to(decision))
    says = f"What is known of it goes too. The question stays: {decision}"
    context = {"title": f"Remove {chosen}?", "says": says, "back": _to(decision), "here": "plan"}
    return page(request, "ui/remove.html", context)


@changes_only
@require_http_methods(["GET", "POST"])
def option_photos(request, number, option):
    chosen = get_object_or_404(Option.objects.select_related("decision"), decision=number, pk=option)
    return add_photos(request, chosen, str(chosen), _to(chosen.decision), "plan")

"""Taking a part off, and the page of what was taken off."""

import hashlib
import uuid
from functools import partial

from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.parts.forms import refuse
from inventory.parts.ledger import Refused
from inventory.parts.models import Holding, Part
from inventory.parts.queries import get_part, pick_parts
from inventory.photos import actions as photos
from inventory.photos.imaging import NotAPicture
from inventory.photos.models import Photo
from inventory.web import flash
from inventory.web.http import SeeOther, done, page
from inventory.web.picker import ticked

from . import pulling, queries
from .forms import BackForm, MadeAfterForm
from .forms_pull import PullForm
from .models import Paper, Pull, PullPhoto, When
from .views import get_donor


@require_http_methods(["GET", "POST"])
def pull(request, number):
    donor = get_donor(number)
    if donor.cautions_at is None:
        return redirect(f"{reverse('inventory:donors_cautions', args=[donor.pk])}?next={request.get_full_path()}")
    number = request.GET.get("want", "")
    want = donor.wants.listed().with_pulled().filter(pk=number if number.isdecimal() else 0).first()
    form = PullForm(request.POST or None, request.FILES or None, person=request.user, donor=donor, want=want)
    kept = _keep_pictures(request, form) if form.is_bound else {}
    if form.is_bound:
        try:
            made = _pulled(form, kept, request.user)
        except Refused as error:
            refuse(form, error)
            kept = {when: [photo for photo in rows if photo.part_id is None] for when, rows in kept.items()}
        except ValidationError as error:
            form.add_error(None, error)
        else:
            if made:
                return _said(request, made)
    context = {"donor": donor, "form": form, "kept": kept, "here": "donors"}
    response = page(request, "inventory/donors/pull.html", context, status=422 if form.is_bound else 200)
    response._csp_extra = {"script-src": ["'wasm-unsafe-eval'"]}  # the scanner's library, as on the Scan page
    return response


def _pulled(form: PullForm, kept: dict[str, list[Photo]], by) -> Pull | None:
    """The pull of this form, made now or when it came before; None where it can't be read.

    What came before is known by what was typed: the thing it names may have been merged since.
    """
    data, photos = form.cleaned_data, [photo for some in kept.values() for photo in some]
    sent = form.sent()
    if not form.is_valid():
        return pulling.sent_before(data["uid"], sent=sent, photos=photos) if data.get("uid") else None
    return pulling.pull(
        donor=form.donor,
        name=data["name"],
        side=data["side"],
        quantity=data["quantity"],
        condition=data["condition"],
        target=data["place"],
        zone=data["zone"],
        back=data["back"],
        bagged=data["bagged"],
        like=data["like"],
        want=data["thing"].want,
        before=kept[When.BEFORE],
        after=kept[When.AFTER],
        by=by,
        uid=data["uid"],
        sent=sent,
    )


def _said(request, made: Pull):
    """Say what was pulled, offer Undo, and go on beside the donor."""
    batch = made.batch
    text = f"{batch.what} (undone since)" if batch.undone else batch.what
    flash.done(request, f"{text}.", undo="" if batch.undone else reverse("inventory:parts_undo", args=[batch.pk]))
    return done(request, made.donor.get_absolute_url())


def _keep_pictures(request, form: PullForm) -> dict[str, list[Photo]]:
    """The photos that came with the form, kept at once: a form that comes back with an error has lost no photo."""
    form.is_valid()
    data, sent = form.cleaned_data, form.data.copy()
    kept: dict[str, list[Photo]] = {}
    for when in When.values:
        rows = list(_free(data.get(f"{when}_kept", ""), request.user))
        for file in data.get(when) or []:
            body = file.read()
            uid = uuid.uuid5(data.get("uid") or uuid.uuid4(), f"{when} {hashlib.sha256(body).hexdigest()}")
            try:
                # Sent before, it is the pull's by now: the same photo, not another one of nothing.
                earlier = Photo.objects.filter(pk=uid).first()
                rows.append(earlier or photos.add(data=body, name=file.name, uid=uid, by=request.user))
            except NotAPicture as error:
                form.add_error(when, str(error))
        kept[when] = list({photo.pk: photo for photo in rows}.values())
        sent[f"{when}_kept"] = " ".join(str(photo.pk) for photo in kept[when])
    form.data = sent
    return kept


def _free(text: str, person):
    """Photos by their numbers that this person sent and that are of nothing yet."""
    numbers = []
    for piece in text.split()[:40]:
        try:
            numbers.append(uuid.UUID(piece))
        except ValueError:
            continue
    free = Photo.objects.kept().filter(pk__in=numbers, part=None, location=None, by=person)
    return free.exclude(pk__in=Paper.objects.exclude(photo=None).values("photo")).in_order()


@require_safe
def pick(request, number):
    donor = get_donor(number)
    text = request.GET.get("thing_text", "").strip()[:120]
    choices = queries.pick_to_pull(donor, text) if text else queries.guesses(donor)
    context = {"choices": choices, "name": "thing", "picked": ticked(choices) if text else ""}
    return render(request, "ui/picks.html", context)


@require_http_methods(["GET", "POST"])
def pull_detail(request, number):
    """All that is known of one pull: the notes and photos one wants on the night it goes back on."""
    rows = Pull.objects.select_related("donor__location", "part__merged_into", "bag", "batch__undone_by", "by", "want")
    one = get_object_or_404(rows, pk=number)
    form = BackForm(request.POST or None, instance=one)
    if form.is_valid():
        form.save()
        flash.done(request, "Kept.")
        return SeeOther(one.get_absolute_url())
    fate = queries.fates([one.now])[one.now]
    pictures = PullPhoto.objects.filter(pull=one, photo__deleted_at=None).select_related("photo").order_by("pk")
    context = {
        "pull": one,
        "donor": one.donor,
        "form": form,
        "fate": fate,
        "pictures": [(label, [row.photo for row in pictures if row.when == when]) for when, label in When.choices],
        "bagged": Holding.objects.filter(location=one.bag).select_related("part") if one.bag_id else [],
        "apart": bool(one.bag_id and fate.main and one.bag.parent_id != fate.main.pk),
        "here": "donors",
    }
    return page(request, "inventory/donors/pull_detail.html", context, status=422 if form.is_bound else 200)


@require_POST
def bag(request, number):
    """The bag went along with its part."""
    one = get_object_or_404(Pull.objects.select_related("bag", "part"), pk=number, bag__retired_at=None)
    fate = queries.fates([one.now])[one.now]
    if one.bag is None or fate.main is None:
        raise Http404
    try:
        pulling.bring_bag(pull=one, to=fate.main, by=request.user)
        flash.done(request, f"{one.bag.name} is at {fate.main} now.")
    except ValidationError as error:
        flash.refused(request, error.messages[0])
    return SeeOther(one.get_absolute_url())


@require_http_methods(["GET", "POST"])
def made_after(request, number):
    """Say which part was made after this one."""
    pattern = get_object_or_404(Part.objects.current(), pk=number)
    form = MadeAfterForm(
        request.POST or None,
        search=pick_parts,
        get=partial(_another, pattern),
        url=reverse("inventory:parts_pick_part"),
    )
    if form.is_valid():
        try:
            made = pulling.made_after(part=form.cleaned_data["part"], pattern=pattern)
        except ValidationError as error:
            form.add_error("part", "; ".join(error.messages))
        else:
            flash.done(request, f"“{made}” was made after this one.")
            return done(request, pattern.get_absolute_url())
    context = {"form": form, "part": pattern, "here": "find"}
    return page(request, "inventory/donors/made_after.html", context, status=422 if form.is_bound else 200)


def _another(pattern: Part, value: str) -> Part | None:
    part = get_part(value)
    return None if part == pattern else part

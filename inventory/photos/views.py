"""Photos are sent, shown, put in order, deleted and brought back."""

from django.http import Http404, JsonResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.parts.models import Part
from inventory.places.models import Location
from inventory.web import flash, slots
from inventory.web.http import SeeOther, back_to, page

from . import actions, files
from .forms import AddForm, CaptionForm
from .imaging import NotAPicture
from .models import Photo
from .serving import serve


def _thing(kind: str, number: int) -> dict:
    """What the photo is of, as the keyword of an action."""
    if kind == "part":
        return {"part": get_object_or_404(Part, pk=number)}
    return {"location": get_object_or_404(Location, pk=number)}


@require_http_methods(["GET", "POST"])
def add(request, kind, number):
    """The photos of a part or place, and more of them. A script sends one at a time and wants JSON."""
    thing = _thing(kind, number)
    form = AddForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        for uid, file in zip(form.numbers(), form.cleaned_data["photos"], strict=True):
            try:
                actions.add(
                    data=file.read(),
                    name=file.name,
                    uid=uid,
                    taken_at=form.cleaned_data["taken"],
                    by=request.user,
                    **thing,
                )
            except NotAPicture as error:
                form.add_error("photos", str(error))
    if request.headers.get("Accept") == "application/json" and form.is_bound:
        return JsonResponse({"errors": form.errors.get("photos", [])}, status=422 if form.errors else 201)
    if form.is_bound and not form.errors:
        count = len(form.cleaned_data["photos"])
        flash.done(request, f"{count} photo{'' if count == 1 else 's'} added.")
        return SeeOther(back_to(request, request.path))
    of = thing.get("part") or thing["location"]
    photos = Photo.objects.kept().filter(**thing).in_order()
    context = {"form": form, "of": of, "kind": kind, "photos": photos, "next": back_to(request, ""), "here": "find"}
    return page(request, "inventory/photos/add.html", context, status=422 if form.errors else 200)


def _photo(uid) -> Photo:
    return get_object_or_404(Photo.objects.kept().select_related("part", "location", "by"), pk=uid)


@require_http_methods(["GET", "POST"])
def detail(request, uid):
    photo = _photo(uid)
    form = CaptionForm(request.POST or None, instance=photo)
    if form.is_valid():
        form.save()
        flash.done(request, "Caption kept.")
        return SeeOther(photo.get_absolute_url())
    row = list(actions.siblings(photo))
    here = row.index(photo) if photo in row else 0
    context = {
        "photo": photo,
        "form": form,
        "of": photo.part or photo.location,
        "place_in_row": here + 1,
        "count": len(row),
        "before": row[here - 1] if here else None,
        "after": row[here + 1] if here + 1 < len(row) else None,
        "panels": slots.panels("photo_page", request, photo),
        "here": "find",
    }
    return page(request, "inventory/photos/detail.html", context, status=422 if form.errors else 200)


@require_POST
def shift(request, uid):
    photo = _photo(uid)
    where = request.POST.get("where", "")
    if where not in ("cover", "earlier", "later") or not (photo.part_id or photo.location_id):
        raise Http404
    actions.shift(photo=photo, to_front=where == "cover", by={"earlier": -1, "later": 1}.get(where, 0))
    flash.done(request, "It is the cover now." if where == "cover" else "Moved along.")
    return SeeOther(photo.get_absolute_url())


@require_POST
def delete(request, uid):
    photo = _photo(uid)
    actions.delete(photo=photo)
    flash.done(request, "Photo deleted.", undo=reverse("inventory:photos_bring_back", args=[photo.pk]))
    of = photo.part or photo.location
    return SeeOther(back_to(request, of.get_absolute_url() if of else "/"))


@require_POST
def bring_back(request, uid):
    photo = get_object_or_404(Photo, pk=uid)
    actions.bring_back(photo=photo)
    flash.done(request, "The photo is back.")
    return SeeOther(photo.get_absolute_url())


@require_safe
def file(request, uid, size):
    """The picture itself, for people who are signed in."""
    photo = get_object_or_404(Photo, pk=uid)
    return serve(request, files.path_of(photo.pk, size), content_type="image/webp", name=f"{photo.pk.hex}-{size}.webp")

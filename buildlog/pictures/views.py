"""The page that adds photos to something, whatever it is."""

from inventory.web import flash
from inventory.web.http import SeeOther, page

from . import actions
from .fields import PicturesForm


def add_photos(request, thing, title: str, there: str, here: str):
    """`thing` has `photos`, a many-to-many of Photo; `there` is its page, `here` the lit place of the bar."""
    form = PicturesForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        kept = actions.keep(form, form.cleaned_data["uid"], request.user)
        if not form.errors:
            thing.photos.add(*kept)
            flash.done(request, f"{len(kept)} photo{'' if len(kept) == 1 else 's'} added.")
            return SeeOther(there)
    context = {"form": form, "title": title, "there": there, "here": here}
    return page(request, "buildlog/pictures/add.html", context, status=422 if form.is_bound else 200)

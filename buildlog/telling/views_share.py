"""A story read by whoever has its address. The only pages of the shop that a stranger sees anything of it on."""

import uuid

from django.contrib.auth.decorators import login_not_required
from django.http import Http404
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from inventory.photos import files
from inventory.photos.serving import serve
from inventory.web import flash
from inventory.web.access import owner_only
from inventory.web.http import SeeOther

from . import actions, posts, sharing
from .models import Story
from .told import Told, tell
from .views import get_story


def _story(key: str) -> Story:
    """Raises Http404 for a key that is none, or one that was ended: the two can't be told apart."""
    story = Story.objects.shared().select_related("build", "area", "task", "donor__location", "by")
    found = story.filter(share_key=key).first()
    if found is None:
        raise Http404
    return found


def _dressed(response):
    """Neither found by a search, nor kept, nor told to a page that is linked to."""
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    response.headers["Cache-Control"] = "private, no-cache"
    response.headers["Referrer-Policy"] = "no-referrer"
    return response


def as_shared(story: Story) -> Told:
    def src(picture):
        return reverse("buildlog:shared_picture", args=[story.share_key, picture.name])

    return posts.with_sources(sharing.as_agreed(story, tell(story)), src)


@login_not_required
@require_safe
def shared(request, key):
    """Made of a Told alone: what is held back is not in it at all."""
    told = as_shared(_story(key))
    context = {
        "told": told, "when": posts.when(told), "unlisted": True, "tokens": static("css/tokens.css"),
        "style": static("css/story.css"), "script": static("js/story.js"), "icon": static("icons/gusset.svg"),
    }  # fmt: skip
    return _dressed(render(request, "buildlog/telling/page.html", context))


@login_not_required
@require_safe
def picture(request, key, name):
    """A picture that is told in the story, under the name it has there."""
    told = as_shared(_story(key))
    number = next((one.photo for one in told.pictures if one.name == name), None)
    if number is None:
        raise Http404
    return _dressed(serve(request, files.path_of(uuid.UUID(number), "large"), content_type="image/webp", name=name))


@require_POST
@owner_only
def share(request, number):
    """Give it an address, let its readers see it as it is now, or end it."""
    story = get_story(number)
    if "end" in request.POST:
        actions.end_sharing(story=story)
        flash.done(request, "Nobody can read it there any more.")
    elif story.share_key:
        sharing.agree(story, tell(story), seen=request.POST.getlist("mark"))
        flash.done(request, "Whoever has the address can read that now.")
    else:
        actions.share(story=story)
        flash.done(request, "Whoever has the address below can read it as it is now.")
    return SeeOther(f"{reverse('buildlog:stories_out', args=[story.pk])}#share")

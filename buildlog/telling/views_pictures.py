"""The pictures of a story: drawn, paired, taken out as SVG or PNG."""

from django.http import Http404, HttpResponse
from django.views.decorators.http import require_POST, require_safe

from inventory.labels.pdf import Missing
from inventory.photos.models import Photo
from inventory.web import flash
from inventory.web.http import SeeOther, page

from . import actions, pictures
from .models import Shape
from .pictures import Drawer
from .posts import slug
from .told import Pair, tell
from .views import get_story, may_arrange

WORDS = {"hours": "Hours by area", "network": "What it finished", "origins": "Where parts came from"}


@require_safe
def gallery(request, number):
    story = get_story(number)
    drawer, told = Drawer(story), tell(story, src=lambda photo: photo.small_url)
    context = {
        "story": story,
        "drawings": list(drawer.all().items()),
        "pairs": [(str(n), block) for n, block in enumerate(b for b in told.blocks if isinstance(b, Pair))],
        "suggested": pictures.suggested(told, drawer.rows),
        "photos": told.pictures,
        "sides": [("before", "Before"), ("after", "After")],
        "may_arrange": may_arrange(request.user, story),
        "here": "tell",
    }
    return page(request, "buildlog/telling/pictures.html", context)


@require_POST
def pair(request, number):
    """Two pictures of the same place become a pair, at the end of the story."""
    story = get_story(number, change_by=request.user)
    told = {one.photo for one in tell(story).pictures}
    before, after = request.POST.get("before", ""), request.POST.get("after", "")
    if not {before, after} <= told or before == after:
        flash.refused(request, "Pick two different pictures, one for before and one for after.")
        return SeeOther(f"/tell/{story.pk}/pictures/")
    photos = {photo.pk.hex: photo for photo in Photo.objects.filter(pk__in=[before, after])}
    text = request.POST.get("text", "")[:300].strip()
    piece = actions.add_piece(
        story=story, shape=Shape.PAIR, before=photos[before], after=photos[after], text=text,
        behind=actions.last_line(story),
    )  # fmt: skip
    flash.done(request, "The pair stands after the last line. Move it where it belongs.")
    return SeeOther(f"{story.get_absolute_url()}#piece-{piece.pk}")


@require_safe
def drawing(request, number, name, kind):
    """hours, network, origins, or pair-0, pair-1 … as a file."""
    story = get_story(number)
    told = tell(story)
    if name.startswith("pair-"):
        blocks = [block for block in told.blocks if isinstance(block, Pair)]
        place = int(name.removeprefix("pair-"))
        found = pictures.pair_drawing(blocks[place]) if place < len(blocks) and kind == "png" else None
    else:
        found = Drawer(story).all().get(name)
    if found is None:
        raise Http404
    try:
        body = pictures.as_png(found) if kind == "png" else pictures.as_svg(found)
    except Missing:
        flash.refused(request, "The libraries that make pictures are missing on this machine. SVG works without.")
        return SeeOther(f"/tell/{story.pk}/pictures/")
    response = HttpResponse(body, content_type="image/png" if kind == "png" else "image/svg+xml")
    response.headers["Content-Disposition"] = f'attachment; filename="{slug(told.title, story.pk)}-{name}.{kind}"'
    return response

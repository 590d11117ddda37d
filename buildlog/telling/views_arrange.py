"""One piece of a story: in or out, its words, its place. Each change is kept at once."""

from django.http import Http404
from django.views.decorators.http import require_POST

from inventory.web.http import SeeOther, page, wants_fragment

from . import actions, queries
from .forms import WordsForm
from .models import Piece, Shape
from .views import get_piece, get_story, shown, told_of


def _again(request, piece: Piece):
    """The one row as it is now, or the page at that row."""
    if not wants_fragment(request):
        return SeeOther(f"{piece.story.get_absolute_url()}#piece-{piece.pk}")
    rows = shown(queries.pieces(piece.story), piece.story)
    row = next(row for row in rows if row.pk == piece.pk)
    context = {"row": row, "story": piece.story, "may_arrange": True, "head_too": True, **told_of(rows)}
    return page(request, "buildlog/telling/_piece.html", context)


@require_POST
def add(request, number):
    """A heading, or words between, after a piece."""
    story = get_story(number, change_by=request.user)
    shape = request.POST.get("shape")
    if shape not in (Shape.HEADING, Shape.WORDS):
        raise Http404
    after = request.POST.get("after", "")
    row = story.pieces.filter(pk=after).first() if after.isdecimal() and len(after) < 18 else None
    piece = actions.add_piece(story=story, shape=shape, behind=row, text=request.POST.get("text", "")[:20_000].strip())
    # No fragment: a browser that goes to one leaves autofocus alone, and the focus brings the box into view itself.
    return SeeOther(f"{story.get_absolute_url()}?write={piece.pk}")


@require_POST
def leave(request, number):
    piece = get_piece(number, change_by=request.user)
    actions.leave(piece=piece, out="out" in request.POST)
    return _again(request, piece)


@require_POST
def leave_photo(request, number):
    piece = get_piece(number, change_by=request.user)
    photos = {photo.pk.hex: photo for photo in piece.entry.photos.all()} if piece.entry else {}
    photo = photos.get(request.POST.get("out") or request.POST.get("in", ""))
    if photo is None:
        raise Http404
    actions.leave_photo(piece=piece, photo=photo, out="out" in request.POST)
    return _again(request, piece)


@require_POST
def write(request, number):
    piece = get_piece(number, change_by=request.user)
    form = WordsForm(request.POST)
    if form.is_valid():
        actions.write(piece=piece, text="" if "draft" in request.POST else form.cleaned_data["text"])
    if "draft" in request.POST or not wants_fragment(request):
        return _again(request, piece)
    return page(request, "buildlog/telling/saved.html", {"errors": form.errors.get("text")})


@require_POST
def shift(request, number):
    piece = get_piece(number, change_by=request.user)
    actions.shift(piece=piece, by=-1 if "up" in request.POST else 1)
    return SeeOther(f"{piece.story.get_absolute_url()}#piece-{piece.pk}")


@require_POST
def remove(request, number):
    piece = get_piece(number, change_by=request.user)
    actions.remove(piece=piece)
    return SeeOther(f"{piece.story.get_absolute_url()}#piece-{number}")

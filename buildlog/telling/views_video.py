"""A story as a video: its clips and what is said over them, chapters, captions, a description."""

from django.http import Http404, HttpResponse
from django.views.decorators.http import require_POST, require_safe

from inventory.web import flash
from inventory.web.http import SeeOther, page, wants_fragment

from . import actions, posts
from .calc import timeline
from .forms import ShotForm, StartsForm
from .models import Piece, Shape, Story
from .told import tell
from .video import SHOT_LIST, Video, description, video
from .views import get_piece, get_story
from .views_out import file_of


def _video(story: Story):
    told = tell(story)
    starts = story.pieces.filter(shape=Shape.HEADING).exclude(starts=None).values_list("pk", "starts")
    return told, video(told, dict(starts))


def _context(story: Story, told, film: Video, errors=None) -> dict:
    return {
        "story": story,
        "film": film,
        "total": timeline.clock(film.total),
        "chapters": [(one, timeline.clock(one.start), film.problems.get(one.number)) for one in film.chapters],
        "too_fast": [(shot, pace, film.why.get(shot.piece, "")) for shot, pace in film.too_fast],
        "most": timeline.MOST_READ,
        "errors": errors or {},
        "here": "tell",
    }


@require_safe
def film(request, number):
    story = get_story(number)
    return page(request, "buildlog/telling/video.html", _context(story, *_video(story)))


def _again(request, piece: Piece, errors):
    """What was reckoned anew, or the page."""
    if wants_fragment(request) or errors:
        story = get_story(piece.story_id)
        context = _context(story, *_video(story), errors)
        status = 422 if errors and not request.htmx else 200
        return page(request, "buildlog/telling/video.html", context, partial="times", status=status)
    return SeeOther(f"/tell/{piece.story_id}/video/#shot-{piece.pk}")


def _said(piece: Piece) -> str:
    """What is said over a line as long as nobody wrote other words."""
    lines = tell(get_story(piece.story_id)).blocks
    return next((block.said for block in lines if getattr(block, "piece", None) == piece.pk), "")


@require_POST
def shot(request, number):
    """The clip of a line, from where to where, and what is said over it."""
    piece = get_piece(number, shape=Shape.LINE)
    kept, form = piece.said, ShotForm(request.POST, instance=piece)
    if form.is_valid():
        said = form.cleaned_data["said"]
        if not kept and said.split() == _said(piece).split():
            form.cleaned_data["said"] = ""  # the line's own words, which may change with it
        actions.film(piece=piece, **form.cleaned_data)
    return _again(request, piece, form.errors)


@require_POST
def starts(request, number):
    """Where a chapter starts, by hand; nothing: with its first clip."""
    piece = get_piece(number, shape=Shape.HEADING)
    form = StartsForm(request.POST)
    if form.is_valid():
        actions.start_chapter(piece=piece, seconds=form.cleaned_data["starts"])
    return _again(request, piece, form.errors)


TEXTS = {
    "chapters.txt": lambda told, film: film.chapter_lines(),
    "chapters.vtt": lambda told, film: film.chapters_vtt(),
    "captions.vtt": lambda told, film: film.captions_vtt(),
    "description.txt": description,
}


@require_safe
def text(request, number, name):
    """One of the files for a video. Chapters that are not in order are not given out."""
    if name not in TEXTS:
        raise Http404
    story = get_story(number)
    told, film = _video(story)
    if name.startswith("chapters") and film.problems:
        flash.refused(request, "The chapters are not in order yet. See what is marked below.")
        return SeeOther(f"/tell/{story.pk}/video/")
    kind = "text/vtt" if name.endswith(".vtt") else "text/plain"
    response = HttpResponse(TEXTS[name](told, film), content_type=f"{kind}; charset=utf-8")
    response.headers["Content-Disposition"] = f'attachment; filename="{posts.slug(told.title, story.pk)}-{name}"'
    return response


@require_safe
def shots(request, number, order):
    story = get_story(number)
    told, film = _video(story)
    rows = film.shot_rows(as_filmed=order == "filming")
    return file_of((SHOT_LIST, rows), "csv", f"{posts.slug(told.title, story.pk)}-shots-{order}")

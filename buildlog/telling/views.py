"""Stories: listed, made from the log, looked at before anybody else sees them."""

from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from buildlog.builds.queries import current
from inventory.people.models import Person
from inventory.web import flash
from inventory.web.http import SeeOther, page

from . import actions, drafts, queries, sharing
from .forms import NewForm, TicksForm, TitleForm
from .models import Piece, Story
from .told import own_words, tell

PAGE = 40


def get_story(number: int, *, change_by: Person | None = None) -> Story:
    """Raises Http404, or PermissionDenied where `change_by` may not change what is told."""
    found = Story.objects.select_related("build", "area", "task", "donor__location", "by")
    story = get_object_or_404(found, pk=number)
    if change_by and not may_arrange(change_by, story):
        raise PermissionDenied("This story is shared: only an owner of the shop can change what strangers read of it.")
    return story


def get_piece(number: int, *, change_by: Person | None = None, **kind) -> Piece:
    """With its story. Raises as get_story does."""
    piece = get_object_or_404(Piece.objects.select_related("entry"), pk=number, **kind)
    piece.story = get_story(piece.story_id, change_by=change_by)
    return piece


def may_arrange(person: Person, story: Story) -> bool:
    return person.is_owner or (person.may_change and not story.share_key)


@require_safe
def stories(request):
    build = current()
    if build is None:
        return page(request, "buildlog/telling/list.html", {"here": "tell"})
    some = Paginator(queries.stories(build), PAGE).get_page(request.GET.get("page"))
    return page(request, "buildlog/telling/list.html", {"build": build, "page": some, "here": "tell"})


@require_http_methods(["GET", "POST"])
def new(request):
    """What it is told from. A night may be ticked by the link that led here."""
    build = current()
    if build is None:
        return SeeOther(reverse("buildlog:stories_list"))
    form = NewForm(request.POST or None, build=build, night=request.GET.get("night", ""))
    if form.is_valid():
        story = actions.make(build=build, by=request.user, **form.chosen())
        return SeeOther(story.get_absolute_url())
    context = {"build": build, "form": form, "here": "tell"}
    return page(request, "buildlog/telling/new.html", context, status=422 if form.is_bound else 200)


def shown(rows, story) -> list:
    """Pieces as they are arranged: each with what it says now, nothing held back."""
    given = drafts.source(story, rows)
    for row in rows:
        row.story = story
        row.without = {photo.pk for photo in row.photos_out.all()}
        row.title = drafts.TITLES.get(row.drafts, "")
        row.two = [photo for photo in (row.before, row.after) if photo]
        row.shown = row.text
        if row.entry:
            row.shown = row.text or own_words(row.entry)
        elif row.drafts:
            row.shown = row.text or drafts.words(row.drafts, given)
    return rows


def told_of(rows) -> dict:
    """How many of the lines are told, for the head of the page."""
    lines = [row for row in rows if row.entry]
    return {"told_count": sum(1 for row in lines if not row.left_out), "line_count": len(lines)}


@require_safe
def detail(request, number):
    """The story in order: in or out with a tap, words of one's own in between."""
    story = get_story(number)
    rows = shown(queries.pieces(story), story)
    context = {
        "story": story,
        "rows": rows,
        "fresh": [(entry, own_words(entry)) for entry in queries.fresh(story)],
        "may_arrange": may_arrange(request.user, story),
        "waiting": sharing.waiting(story, tell(story, rows=rows)) if story.share_key else [],
        **told_of(rows),
        "writing": int(write) if (write := request.GET.get("write", "")).isdecimal() and len(write) < 18 else None,
        "here": "tell",
    }
    return page(request, "buildlog/telling/detail.html", context)


@require_POST
def title(request, number):
    story = get_story(number, change_by=request.user)
    form = TitleForm(request.POST, instance=story)
    if form.is_valid():
        form.save()
        actions.touch(story)
    if request.htmx:
        return page(request, "buildlog/telling/saved.html", {"errors": form.errors.get("title")})
    if form.errors:
        flash.refused(request, "A story needs a title.")
    return SeeOther(story.get_absolute_url())


@require_POST
def delete(request, number):
    story = get_story(number, change_by=request.user)
    actions.delete(story=story)
    undo = reverse("buildlog:stories_bring_back", args=[story.pk])
    flash.done(request, f"“{story}” is gone. The log it was told from stays.", undo=undo)
    return SeeOther(reverse("buildlog:stories_list"))


@require_POST
def bring_back(request, number):
    story = get_object_or_404(Story.with_deleted, pk=number)
    actions.bring_back(story=story)
    flash.done(request, f"“{story}” is back.")
    return SeeOther(story.get_absolute_url())


@require_POST
def take_up(request, number):
    """Lines that came to the log since: taken in, or left out for good."""
    story = get_story(number, change_by=request.user)
    leave_out = "leave" in request.POST
    count = actions.take_up(story=story, entries=queries.fresh(story), leave_out=leave_out)
    if count:
        lines = f"{count} line{'' if count == 1 else 's'}"
        flash.done(request, f"{lines} left out." if leave_out else f"{lines} taken in.")
    return SeeOther(story.get_absolute_url())


@require_http_methods(["GET", "POST"])
def preview(request, number):
    """The story as others would see it, and what is held back."""
    story = get_story(number, change_by=request.user if request.method == "POST" else None)
    form = TicksForm(request.POST or None, instance=story)
    if form.is_valid():
        form.save()
        actions.touch(story)
        return SeeOther(request.path)
    told = tell(story, src=lambda photo: photo.large_url)
    may = may_arrange(request.user, story)
    context = {
        "story": story, "told": told, "form": form, "may_arrange": may, "waiting": sharing.waiting(story, told),
        "here": "tell",
    }  # fmt: skip
    return page(request, "buildlog/telling/preview.html", context)

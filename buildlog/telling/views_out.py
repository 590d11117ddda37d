"""What is made of a story: a post, pages for a web host, a feed, plain data."""

from django.http import FileResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_safe

from buildlog.builds.models import Build
from buildlog.builds.queries import current
from inventory.importing.exporting import csv_lines, json_lines
from inventory.web.address import public_base, reaches_phones
from inventory.web.http import page

from . import posts, rows, sharing
from .forms import SiteForm
from .told import tell
from .views import get_story

KINDS = {"csv": (csv_lines, "text/csv; charset=utf-8"), "json": (json_lines, "application/json")}


@require_safe
def out(request, number):
    """All the ways a story can leave the shop."""
    story = get_story(number)
    told = tell(story)
    base, shared_at = public_base(request), ""
    if story.share_key:
        shared_at = base + reverse("buildlog:shared", args=[story.share_key])
    context = {
        "story": story, "told": told, "waiting": sharing.waiting(story, told), "pictures": len(told.pictures),
        "shared_at": shared_at, "only_here": not reaches_phones(base), "here": "tell",
    }  # fmt: skip
    return page(request, "buildlog/telling/out.html", context)


@require_safe
def post(request, number):
    story = get_story(number)
    file = posts.post(story)
    name = f"{posts.slug(tell(story).title, story.pk)}.zip"
    return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")


@require_safe
def post_text(request, number):
    """The words alone, to look at or to copy."""
    story = get_story(number)
    response = FileResponse(
        posts.as_commonmark(posts.told_for_files(story)).encode(), content_type="text/markdown; charset=utf-8"
    )
    response.headers["Content-Disposition"] = 'inline; filename="story.md"'
    return response


def file_of(lines, kind: str, name: str) -> StreamingHttpResponse:
    write, content_type = KINDS[kind]
    response = StreamingHttpResponse(write(*lines), content_type=content_type)
    response.headers["Content-Disposition"] = f'attachment; filename="{name}.{kind}"'
    return response


@require_safe
def data(request, number, kind):
    story = get_story(number)
    told = tell(story)
    return file_of((rows.STORY, rows.of_story(told)), kind, posts.slug(told.title, story.pk))


@require_safe
def log(request, code, kind):
    """The whole log, for oneself: nothing is held back."""
    build = get_object_or_404(Build.objects.coded(code))
    return file_of((rows.LOG, rows.of_log(build)), kind, f"log-{build.code.lower()}")


@require_safe
def site(request):
    """Several stories as a folder of pages with a feed."""
    build = current()
    form = SiteForm(request.GET if "base" in request.GET else None, build=build)
    if form.is_valid():
        stories = form.cleaned_data["stories"].select_related("build", "area", "task", "donor__location", "by")
        file = posts.site(build, list(stories), form.cleaned_data["base"])
        return FileResponse(file, as_attachment=True, filename="stories.zip", content_type="application/zip")
    context = {"build": build, "form": form, "here": "tell"}
    return page(request, "buildlog/telling/site.html", context, status=422 if form.is_bound else 200)

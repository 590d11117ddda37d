"""The worker, the manifest, the page that is shown where there is no signal, and the page about this phone."""

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse, JsonResponse
from django.templatetags.static import static
from django.utils.http import quote_etag
from django.views.decorators.cache import cache_control
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from inventory.web.access import before_set_up
from inventory.web.http import page

from . import icons, shell
from . import index as find_index

PAPER = "#f3f0e8"
MOST_PACKS = 400  # in one request

# What the page about a phone tries out, and what stands there until its script has.
TRIES = (
    ("address", "Address", "The secure address begins with https."),
    ("pages", "Pages without signal", "Being tried…"),
    ("list", "Finding without signal", "Being tried…"),
    ("home", "On the home screen", "Being tried…"),
    ("outbox", "Kept here, not in the shop yet", "Being counted…"),
    ("keeping", "What is kept stays kept", "Being tried…"),
    ("camera", "Camera", "Being tried…"),
    ("touch", "Last in touch with the shop", "Just now."),
)


@before_set_up
@login_not_required
@require_safe
@cache_control(no_cache=True)
def worker(request):
    """Open to all, so that a phone that was signed out still gets the newest one."""
    return HttpResponse(shell.worker(), content_type="text/javascript; charset=utf-8")


@before_set_up
@login_not_required
@require_safe
@cache_control(no_cache=True)
def manifest(request):
    """What the home screen needs (W3C Web Application Manifest)."""
    said = {
        "id": "/",
        "name": "Gusset",
        "short_name": "Gusset",
        "description": "Where things are in the shop, and what was done.",
        "lang": "en",
        "start_url": shell.start(),
        "scope": "/",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": PAPER,
        "icons": [
            {
                "src": static(f"icons/{name}"),
                "sizes": f"{size}x{size}",
                "type": "image/png",
                "purpose": "maskable" if maskable else "any",
            }
            for name, (size, maskable) in icons.ICONS.items()
        ],
    }
    return JsonResponse(said, content_type="application/manifest+json")


@before_set_up
@login_not_required
@require_safe
def offline(request):
    """Kept in every phone through all its logins: it holds nothing of the shop, and is the same whoever fetches it.

    Who holds the phone is what the last page with a person on it said (`static/js/outbox.js`).
    """
    anybody = {"is_authenticated": True, "pk": ""}
    return page(request, "buildlog/offline/offline.html", {"here": "", "user": anybody, "messages": ()})


@gzip_page
@require_safe
@cache_control(private=True, no_cache=True)
def index(request):
    """The hashes of the find index; 304 where the phone has this version."""
    contents = find_index.contents(find_index.packs())
    tag = quote_etag(contents["version"])
    if tag in request.headers.get("If-None-Match", ""):
        return HttpResponse(status=304, headers={"ETag": tag})
    return JsonResponse(contents, headers={"ETag": tag})


@gzip_page
@require_safe
@cache_control(private=True, no_store=True)
def index_rows(request):
    """The packs named in ?b=p0,l3; all of them without it."""
    names = [name for name in request.GET.get("b", "").split(",") if name][:MOST_PACKS]
    return JsonResponse(find_index.chosen(find_index.packs(), names))


@require_safe
def phone(request):
    browser = request.headers.get("User-Agent", "")
    host = request.get_host().rpartition(":")[0] or request.get_host()
    context = {
        "apple": "iPhone" in browser or "iPad" in browser,
        "trust": "" if request.is_secure() or not settings.LAN else f"http://{host}:{settings.TRUST_PORT}/",
        "tries": TRIES,
        "build": shell.build(),
        "here": "shop",
    }
    return page(request, "buildlog/offline/phone.html", context)


@require_safe
def run(request):
    """One scan after another: put things into a place, or count it. All of it happens on the phone."""
    response = page(request, "buildlog/offline/run.html", {"here": "scan"})
    response._csp_extra = {"script-src": ["'wasm-unsafe-eval'"]}  # the scanner's library, as on the Scan page
    return response

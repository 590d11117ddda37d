"""The page that fills an empty shop with the demo, and takes it away again."""

from django.views.decorators.http import require_http_methods

from inventory.web import flash
from inventory.web.access import owner_only
from inventory.web.http import done, page

from . import actions


@owner_only
@require_http_methods(["GET", "POST"])
def demo(request):
    """One button: in where the shop is empty, out where the demo is in it."""
    loaded = actions.is_loaded()
    if request.method == "GET":
        return page(
            request, "inventory/demo/demo.html", {"loaded": loaded, "empty": actions.is_empty(), "here": "shop"}
        )
    if request.POST.get("what") == "remove" and loaded:
        actions.remove()
        flash.done(request, "The demo is gone. What you added yourself stays.")
        return done(request, "/")
    if request.POST.get("what") == "load" and not loaded:
        try:
            count = actions.load(owner=request.user)
        except actions.NotEmpty:
            flash.refused(request, "The demo only goes into an empty shop. Nothing was changed.")
        else:
            flash.done(request, f"The demo shop is in: {count} parts. Look around; nothing in it is precious.")
            return done(request, "/")
    return done(request, request.path)

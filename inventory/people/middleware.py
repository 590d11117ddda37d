"""An empty shop is set up first; a device that was signed out elsewhere is out; a guest changes nothing."""

from datetime import timedelta
from urllib.parse import urlsplit

from django.contrib.auth import logout
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from . import sent
from .models import Device, Person, Role

SEEN_EVERY = timedelta(minutes=5)  # so that looking does not write on each request


class DeviceMiddleware:
    """Ties each signed-in session to its Device row; a session whose device is gone is logged out."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.device = None
        number = request.session.get("device")
        if number is not None and request.user.is_authenticated:
            device = Device.objects.filter(pk=number, person=request.user).first()
            if device is None:
                logout(request)
            else:
                request.device = device
                now = timezone.now()
                if now - device.seen_at > SEEN_EVERY:
                    Device.objects.filter(pk=device.pk).update(seen_at=now)
        return self.get_response(request)


class SetUpFirstMiddleware:
    """While the shop has no owner every page leads to its set-up. Only strangers are asked about: anybody who is
    signed in shows that there is one, so this costs a signed-in page nothing."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request, view, args, kwargs):
        if request.user.is_authenticated or getattr(view, "before_set_up", False):
            return None
        if Person.objects.filter(role=Role.OWNER).exists():
            return None
        return redirect("inventory:people_setup")


class KeepPlaceLoginMiddleware(LoginRequiredMiddleware):
    """Everything asks for a login unless a view says otherwise; a piece asked for by htmx sends the whole page there.

    Without this the log-in form would be swapped into a row of the page one was on. A form that was sent is kept and
    offered again after the login.
    """

    def handle_no_permission(self, request, view_func):
        answer = super().handle_no_permission(request, view_func)
        login_url = answer.headers["Location"].partition("?")[0]
        query = QueryDict(mutable=True)
        if request.method == "POST" and "X-Outbox" not in request.headers and sent.keep(request):
            query["next"] = reverse("inventory:people_sent")
            answer = redirect(f"{login_url}?{query.urlencode(safe='/')}")
        if request.headers.get("HX-Request") != "true":
            return answer
        if "next" not in query:
            came_from = urlsplit(request.headers.get("HX-Current-URL", ""))
            query["next"] = f"{came_from.path or '/'}{'?' + came_from.query if came_from.query else ''}"
        return HttpResponse(status=204, headers={"HX-Redirect": f"{login_url}?{query.urlencode(safe='/')}"})


class RoleMiddleware:
    """Default deny for guests: a request that could change something is answered 403 unless the view says otherwise.

    A view opts out with @guests_too (log out, own settings); @owner_only keeps hands out,
    @changes_only keeps guests out of a form altogether.
    """

    SAFE = {"GET", "HEAD", "OPTIONS"}

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request, view, args, kwargs):
        user = request.user
        if not user.is_authenticated:
            return None
        if getattr(view, "owner_only", False) and not user.is_owner:
            return self._refuse(request, "Only an owner of the shop can do this.")
        changes = request.method not in self.SAFE or getattr(view, "changes_only", False)
        if changes and not user.may_change and not getattr(view, "guests_too", False):
            return self._refuse(request, "You are a guest here: you can look at everything, but change nothing.")
        return None

    def _refuse(self, request: HttpRequest, why: str) -> HttpResponse:
        return render(request, "403.html", {"why": why}, status=403)

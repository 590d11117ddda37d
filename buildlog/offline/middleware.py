"""Takes what a phone had kept: a form with a number of its own, given to the very view that takes it from a page.

The rules stay where they are. Here it is held that each number is taken once: the row that says so and all that the
view wrote are one transaction, a repeat gets the same answer, and what the view refuses leaves nothing behind.
"""

import hashlib
import json
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from functools import partial

from django.contrib.messages import get_messages
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone

from inventory.web.moment import as_of

from . import refusing, waiting
from .models import Op

FORMAT = 1  # of what the phone sends; the one before is taken too
LONGEST = 400 * 24 * 3600 * 1000  # milliseconds; what is said to be older comes from a clock that was set meanwhile
TAKEN = (201, 204, 303)  # what a view answers when it has done it
GONE = "What this was about is not in the shop any more."
FIRST = "The shop asks for something else first. Open the page it was made on."
UNREADABLE = "The shop can’t read how this was sent. Export it, and enter it again."
OTHER = "This number came before with something else in it. Make it anew."


@dataclass(frozen=True, slots=True)
class Sent:
    """What the phone says about an operation. `photos`: the field of each photo that came ahead, and its number."""

    uid: uuid.UUID
    person: str
    age: timedelta
    photos: tuple[tuple[str, uuid.UUID], ...]
    wants_page: bool

    @classmethod
    def read(cls, headers) -> "Sent":
        """Raises ValueError, in words for the person, for what is none of ours."""
        form = headers.get("X-Outbox-Format", "")
        if form not in (str(FORMAT), str(FORMAT - 1)) or form == "0":
            raise ValueError("This was kept by another version of the pages. Export it, and enter it again.")
        try:
            age = int(headers.get("X-Outbox-Age", "0"))
            said = json.loads(headers.get("X-Outbox-Photos", "[]"))
            photos = tuple((str(field), uuid.UUID(str(number))) for field, number in said)
            uid = uuid.UUID(headers["X-Outbox"])
        except (ValueError, TypeError, RecursionError) as error:
            raise ValueError(UNREADABLE) from error
        age = timedelta(milliseconds=age if 0 <= age <= LONGEST else 0)
        return cls(uid, headers.get("X-Outbox-Person", ""), age, photos, "X-Outbox-Quiet" not in headers)


class OutboxMiddleware:
    """Stands last, so that login, forged posts and roles are settled before."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Callable, args, kwargs) -> HttpResponse | None:
        if request.method != "POST" or "X-Outbox" not in request.headers:
            return None
        try:
            sent = Sent.read(request.headers)
        except ValueError as error:
            return refused([{"text": str(error)}])
        if sent.person != str(request.user.pk):
            return JsonResponse({"outbox": FORMAT, "other": request.user.name}, status=403)
        try:
            return take(request, sent, partial(view, request, *args, **kwargs))
        except waiting.Missing as error:
            return JsonResponse({"outbox": FORMAT, "missing": [str(number) for number in error.numbers]}, status=409)


def take(request: HttpRequest, sent: Sent, view: Callable[[], HttpResponse]) -> JsonResponse:
    digest, numbers = _digest(request, sent), [number for _, number in sent.photos]
    with transaction.atomic():
        if earlier := Op.objects.filter(pk=sent.uid).first():
            return taken(earlier) if earlier.digest == digest else refused([{"text": OTHER}])
        for (field, _), photo in zip(sent.photos, waiting.fetch(numbers, request.user), strict=True):
            request.FILES.appendlist(field, photo)
        made_at = timezone.now() - sent.age
        try:
            with as_of(made_at):
                response = view()
        except (Http404, PermissionDenied) as error:
            transaction.set_rollback(True)
            return refused([{"text": GONE if isinstance(error, Http404) else str(error)}])
        said = _messages(request)
        if response.status_code not in TAKEN or said.refused:
            said.forget()
            reasons, short = refusing.reasons(response, said.refused, FIRST), refusing.short(response, request)
            transaction.set_rollback(True)
            return response if response.status_code >= 500 else refused(reasons, short)
        there = response.headers.get("Location") or response.headers.get("HX-Redirect", "")
        op = Op.objects.create(
            uid=sent.uid, by=request.user, digest=digest, says=" ".join(said.done), undo=said.undo,
            leads_to=there[:300], made_at=made_at,
        )  # fmt: skip
        transaction.on_commit(partial(waiting.let_go, numbers))
    if not sent.wants_page:
        said.forget()  # the page that is open did not ask for it
    return taken(op)


def taken(op: Op) -> JsonResponse:
    said = {"says": op.says, "undo": op.undo, "to": op.leads_to, "at": op.received_at.isoformat()}
    return JsonResponse({"outbox": FORMAT, "taken": said})


def refused(reasons: list[dict], short: dict | None = None) -> JsonResponse:
    return JsonResponse({"outbox": FORMAT, "refused": reasons, "short": short}, status=422)


def _digest(request: HttpRequest, sent: Sent) -> str:
    fields = sorted((name, values) for name, values in request.POST.lists() if name != "csrfmiddlewaretoken")
    said = [request.get_full_path(), fields, [[field, str(number)] for field, number in sent.photos]]
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()


@dataclass(slots=True)
class Messages:
    """What the view wants said on the next page."""

    done: list[str]
    refused: list[str]
    undo: str
    forget: Callable[[], None]


def _messages(request: HttpRequest) -> Messages:
    storage = get_messages(request)
    new = list(storage._queued_messages)
    undo = next((one.extra_tags[5:] for one in new if (one.extra_tags or "").startswith("undo=")), "")
    bad = [str(one) for one in new if one.level_tag == "error"]
    return Messages([str(one) for one in new if one.level_tag != "error"], bad, undo, storage._queued_messages.clear)

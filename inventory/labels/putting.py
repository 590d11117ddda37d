"""The mode in which one thing after another is put into one place. It is kept in the session, for half an hour."""

import time

from inventory.places.models import Location

KEY = "putting"
LASTS = 30 * 60


def begin(request, place: Location) -> None:
    request.session[KEY] = {"place": place.pk, "since": time.time(), "last": time.time()}


def stay(request) -> None:
    """Something was put in: the half hour starts again."""
    if state := request.session.get(KEY):
        request.session[KEY] = state | {"last": time.time()}


def end(request) -> None:
    request.session.pop(KEY, None)


def _state(request) -> dict | None:
    state = request.session.get(KEY)
    return state if state and time.time() - state["last"] < LASTS else None


def place_of(request) -> Location | None:
    """The place that things are being put into now."""
    state = _state(request)
    return Location.objects.current().filter(pk=state["place"]).first() if state else None


def since(request, place: Location) -> float | None:
    """When this place's turn began, as seconds since 1970."""
    state = _state(request)
    return state["since"] if state and state["place"] == place.pk else None

"""A form that was sent after the login had run out: kept with the session, offered again once its sender is back in."""

from django.http import HttpRequest

KEY = "sent"
MOST_BYTES = 200_000
NEVER = {"csrfmiddlewaretoken", "password", "old_password", "new_password", "new_password1", "new_password2", "code"}


def keep(request: HttpRequest) -> bool:
    """Keep what was typed, if it is a form of ordinary size. Files can't be kept; the page says so."""
    if int(request.META.get("CONTENT_LENGTH") or 0) > MOST_BYTES and not request.FILES:
        return False
    fields = [[name, values] for name, values in request.POST.lists() if name not in NEVER]
    if not fields or sum(len(value) for _, values in fields for value in values) > MOST_BYTES:
        return False
    request.session[KEY] = {"path": request.get_full_path(), "fields": fields, "files": bool(request.FILES)}
    return True


def kept(request: HttpRequest) -> dict | None:
    return request.session.get(KEY)


def forget(request: HttpRequest) -> None:
    request.session.pop(KEY, None)

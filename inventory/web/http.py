"""Whether to answer with a page or with a part of it: decided here and nowhere else."""

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.cache import patch_vary_headers


def wants_fragment(request: HttpRequest) -> bool:
    """True for an htmx request that asks for a piece, not for a boosted link or a page taken from history."""
    htmx = request.htmx
    return bool(htmx) and not htmx.boosted and not htmx.history_restore_request


def page(
    request: HttpRequest,
    template: str,
    context: dict | None = None,
    *,
    partial: str | None = None,
    status: int = 200,
) -> HttpResponse:
    """The whole page, or only its named partial when htmx asked for a piece. `response.refused`: forms with errors."""
    name = f"{template}#{partial}" if partial and wants_fragment(request) else template
    response = render(request, name, context, status=status)
    forms = (value for value in (context or {}).values() if isinstance(value, BaseForm))
    response.refused = [form for form in dict.fromkeys(forms) if form.errors]
    patch_vary_headers(response, ["HX-Request"])
    return response


class SeeOther(HttpResponseRedirect):
    """303: the form was taken, look there now. The browser fetches it with GET and a reload posts nothing again."""

    status_code = 303


def done(request: HttpRequest, to: str) -> HttpResponse:
    """Sends the browser on after a finished form, also when htmx posted it."""
    if wants_fragment(request):
        response = HttpResponse(status=204)
        response.headers["HX-Redirect"] = to
        return response
    return SeeOther(to)


def back_to(request: HttpRequest, default: str) -> str:
    """Where the form says to go on (`next`), if that is a page of this site; else the default."""
    from django.utils.http import url_has_allowed_host_and_scheme

    there = request.POST.get("next") or request.GET.get("next") or ""
    safe = url_has_allowed_host_and_scheme(there, allowed_hosts={request.get_host()}, require_https=request.is_secure())
    return there if safe else default

"""What a reverse proxy says about a request is believed only when the proxy is one of TRUSTED_PROXY."""

import ipaddress

from django.conf import settings

SAID = (
    "HTTP_X_FORWARDED_FOR",
    "HTTP_X_FORWARDED_PROTO",
    "HTTP_X_FORWARDED_HOST",
    "HTTP_X_FORWARDED_PORT",
    "HTTP_FORWARDED",
)


class TrustedProxyMiddleware:
    """Before anything that looks at the scheme or at where a request came from."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        settle(request.META, settings.TRUSTED_PROXY)
        return self.get_response(request)


def settle(meta, trusted) -> None:
    """Put the client's own address and scheme in place, or throw away what a stranger claims."""
    said = {name: meta.pop(name, "") for name in SAID}
    if not _among(meta.get("REMOTE_ADDR", ""), trusted):
        return
    # The right-most address that is not one of our proxies: those further left are the client's own words.
    for hop in reversed([one.strip() for one in said["HTTP_X_FORWARDED_FOR"].split(",")]):
        if not _number(hop):
            break
        meta["REMOTE_ADDR"] = hop
        if not _among(hop, trusted):
            break
    if said["HTTP_X_FORWARDED_PROTO"] in ("http", "https"):
        meta["wsgi.url_scheme"] = said["HTTP_X_FORWARDED_PROTO"]


def _number(text: str):
    try:
        return ipaddress.ip_address(text)
    except ValueError:
        return None


def _among(text: str, networks) -> bool:
    number = _number(text)
    return number is not None and any(number in network for network in networks)

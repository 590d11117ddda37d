"""Where the shop is reached: the address a phone gets to see, and whether a request comes from the shop's own desk."""

import ipaddress
from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest

LOCAL_NAMES = {"localhost", "127.0.0.1", "::1"}


def public_base(request: HttpRequest) -> str:
    """The start of every address that leaves this screen, without a slash at its end.

    SITE_URL if there is one; else the name this browser uses, when a phone can use it as well; else the secure
    address on the local network, which settings.PHONE_URL finds out.
    """
    if settings.SITE_URL:
        return settings.SITE_URL
    own = f"{request.scheme}://{request.get_host()}"
    if request.is_secure() and reaches_phones(own):
        return own
    return settings.PHONE_URL() or own


def reaches_phones(base: str) -> bool:
    """False for an address that means 'this computer' wherever it is opened."""
    return urlsplit(base).hostname not in LOCAL_NAMES


def at_the_desk(request: HttpRequest) -> bool:
    """Whether this browser runs on the shop's own computer: by where it comes from and by what it calls the shop.

    Both, because a proxy on the same machine makes everybody come from the loopback address.
    """
    try:
        from_here = ipaddress.ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False
    return from_here and not reaches_phones(f"//{request.get_host()}")

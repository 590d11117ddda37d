"""The shop's public base address, which every printed symbol begins with."""

import ipaddress
import re
from dataclasses import dataclass
from urllib.parse import urlsplit

from django.conf import settings
from django.core.exceptions import ValidationError
from django.utils import timezone

from . import codes
from .models import BaseAddress

_NAME = re.compile(r"^(?=.{1,253}$)([a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?)(\.[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?)*$")


def tidy(text: str) -> str:
    """An address as it is kept: scheme and host in lower case, no slash at the end; a bare name gets https.

    Raises ValidationError in words.
    """
    text = text.strip()
    if "://" not in text:
        text = f"https://{text}"
    try:
        split = urlsplit(text)
        port = split.port
    except ValueError as error:
        raise ValidationError("That is not an address. It looks like https://gusset.local:8443") from error
    host = (split.hostname or "").lower()
    good_host = _NAME.match(host) or _is_ip(host)
    if split.scheme not in ("http", "https") or not good_host or split.path.strip("/") or split.query or split.username:
        raise ValidationError("Give the name alone, as https://gusset.local:8443")
    host = f"[{host}]" if ":" in host else host
    return f"{split.scheme}://{host}{f':{port}' if port else ''}"


def _is_ip(host: str) -> bool:
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return False
    return True


def weakness(address: str) -> str:
    """'number' for an IP number, 'localhost' for this machine's own name, '' for a name that lasts."""
    host = urlsplit(address).hostname or ""
    if host == "localhost" or host.endswith(".localhost") or host == "::1" or host.startswith("127."):
        return "localhost"
    return "number" if _is_ip(host) else ""


@dataclass(frozen=True)
class Base:
    """The address labels are printed for, and whether somebody chose it or it is only how this page was reached."""

    address: str
    chosen: bool

    @property
    def weakness(self) -> str:
        return weakness(self.address)


def current(request) -> Base:
    """The address set for labels, else SITE_URL, else how this page was reached."""
    newest = BaseAddress.objects.first()
    if newest:
        return Base(newest.address, True)
    if settings.SITE_URL:
        return Base(settings.SITE_URL, True)
    return Base(f"{request.scheme}://{request.get_host()}".lower(), False)


def choose(address: str) -> BaseAddress:
    """Print for this address from now on; what was used before stays known."""
    chosen, _ = BaseAddress.objects.update_or_create(address=tidy(address), defaults={"since": timezone.now()})
    return chosen


def known_hosts(request) -> set[str]:
    """Hosts, with their ports, that this shop's labels were ever printed for."""
    addresses = [*BaseAddress.objects.values_list("address", flat=True), settings.SITE_URL]
    return {urlsplit(address).netloc for address in addresses if address} | {request.get_host().lower()}


def payload(base: str, code: str) -> str:
    """What a symbol holds: upper case, so that it is alphanumeric; the code alone when there is no base."""
    return f"{base.upper()}{codes.PATH}{code}" if base else code

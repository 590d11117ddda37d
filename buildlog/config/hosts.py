"""By which names the shop answers: this machine's own, and the one in SITE_URL."""

from pathlib import Path
from urllib.parse import urlsplit

from buildlog.config.serving import addresses
from buildlog.config.serving.plan import plan


def own_names() -> list[str]:
    """DNS names this machine is found by on its own network."""
    bare = addresses.hostname()
    return ["localhost", *([bare, f"{bare}.local", f"{bare}.lan", f"{bare}.home.arpa"] if bare else [])]


def allowed_hosts(site_url: str) -> list[str]:
    """What Django lets a Host header say. Anything else could be another site's name pointed at this machine."""
    given = [urlsplit(site_url).hostname] if site_url else []
    given = [f"[{host}]" if ":" in host else host for host in given]
    return [*own_names(), "127.0.0.1", "[::1]", *addresses.lan_addresses(), *given]


def trusted_origins(site_url: str) -> list[str]:
    return [site_url] if site_url else []


def phone_url() -> str:
    """The address a phone on the local network uses; empty when there is none. Asked each time: it may change."""
    from django.conf import settings

    laid = plan(settings, lan=addresses.lan_addresses(), host=addresses.hostname(), cert=Path(), key=Path())
    return next(iter(laid.phone_urls), "")

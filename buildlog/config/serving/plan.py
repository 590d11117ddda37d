"""Which servers a start needs, and which addresses a person is told. Values in, values out."""

from dataclasses import dataclass
from pathlib import Path

ALL = "0.0.0.0"  # noqa: S104  phones come in over whichever network they share with this machine
LOOPBACK = "127.0.0.1"


@dataclass(frozen=True)
class Server:
    """One server of the shop. `cert` and `key` make it https."""

    name: str
    host: str
    port: int
    setting: str
    cert: Path | None = None
    key: Path | None = None

    @property
    def scheme(self) -> str:
        return "https" if self.cert else "http"

    @property
    def reached_at(self) -> str:
        """An address this machine itself can ask."""
        host = LOOPBACK if self.host == ALL else "[::1]" if self.host == "::" else self.host
        return f"{self.scheme}://{f'[{host}]' if ':' in host and '[' not in host else host}:{self.port}"


@dataclass(frozen=True)
class Plan:
    desk: Server
    phones: Server | None  # https on the network
    trust: Server | None  # hands out the shop's certificate
    own_certificate: bool
    desk_url: str
    phone_urls: list[str]
    trust_url: str

    @property
    def servers(self) -> list[Server]:
        return [one for one in (self.desk, self.phones) if one]


def plan(settings, *, lan: list[str], host: str, cert: Path, key: Path) -> Plan:
    """settings: the shop's; lan: this machine's addresses; host: its name; cert, key: the shop's own."""
    desk = Server("desk", settings.HOST, settings.PORT, "PORT")
    shown = f"http://{'localhost' if settings.HOST in (LOOPBACK, ALL) else settings.HOST}:{settings.PORT}"
    if settings.TRUSTED_PROXY:  # the proxy is the way in for everybody
        return Plan(desk, None, None, False, settings.SITE_URL, [settings.SITE_URL], "")
    if not settings.LAN:
        return Plan(desk, None, None, False, shown, [settings.SITE_URL] if settings.SITE_URL else [], "")
    own = bool(settings.TLS_CERT and settings.TLS_KEY)
    phones = Server(
        "phones", ALL, settings.HTTPS_PORT, "HTTPS_PORT",
        settings.TLS_CERT if own else cert, settings.TLS_KEY if own else key,
    )  # fmt: skip
    trust = None if own else Server("trust", ALL, settings.TRUST_PORT, "TRUST_PORT")
    names = [*lan[:1], *([f"{host}.local"] if host else [])] if lan else []
    urls = [settings.SITE_URL] if settings.SITE_URL else []
    if not (own and urls):  # an own certificate speaks for its own name, not for this machine's addresses
        urls += [f"https://{name}:{settings.HTTPS_PORT}" for name in names]
    trust_url = f"http://{lan[0]}:{settings.TRUST_PORT}" if trust and lan else ""
    return Plan(desk, phones, trust, own, shown, urls, trust_url)

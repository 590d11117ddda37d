"""Every setting of the shop in one table: what it is called, what it takes, what it means.

settings.py reads from here, the system checks name a wrong value from here, `manage.py up` has its options
from here, and a test holds the README's table against it. Reading never raises: a wrong value is kept in PROBLEMS,
and the default stands in until the check has stopped the start.
"""

import ipaddress
import os
import re
import zoneinfo
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

ROOT = Path(__file__).resolve().parents[2]
YES = {"1", "true", "yes", "on"}
NO = {"0", "false", "no", "off"}


class Refused(ValueError):
    """A value no reader accepts; the text says what is accepted."""


def as_text(raw: str) -> str:
    return raw


def as_flag(raw: str) -> bool:
    if raw.lower() in YES:
        return True
    if raw.lower() in NO:
        return False
    raise Refused("1, true, yes or on; or 0, false, no or off")


def as_port(raw: str) -> int:
    if raw.isascii() and raw.isdecimal() and 1 <= int(raw) <= 65535:
        return int(raw)
    raise Refused("a whole number from 1 to 65535")


def as_folder(raw: str) -> Path:
    return (ROOT / Path(raw).expanduser()).resolve()


def as_file(raw: str) -> Path | None:
    if not raw:
        return None
    path = Path(raw).expanduser()
    if not path.is_file():
        raise Refused("the path of a file that is there")
    return path.resolve()


def as_address(raw: str) -> str:
    if raw == "localhost":
        return "127.0.0.1"
    try:
        return str(ipaddress.ip_address(raw))
    except ValueError:
        raise Refused("an IP address of this machine, such as 127.0.0.1, or 0.0.0.0 for all of them") from None


def as_networks(raw: str) -> list[ipaddress.IPv4Network | ipaddress.IPv6Network]:
    try:
        return [ipaddress.ip_network(one.strip(), strict=False) for one in raw.split(",") if one.strip()]
    except ValueError:
        raise Refused("IP addresses or networks with commas between, such as 127.0.0.1, 172.18.0.0/16") from None


def as_url(raw: str) -> str:
    """Scheme, host and port only; the port is dropped where it is the scheme's own."""
    if not raw:
        return ""
    refused = Refused("an address such as https://shop.example.org, with no path behind it")
    try:
        parts = urlsplit(raw)
        port = parts.port
    except ValueError:
        raise refused from None
    plain = not (parts.username or parts.query or parts.fragment or parts.path.strip("/"))
    host = (parts.hostname or "").rstrip(".")
    if parts.scheme not in ("http", "https") or not re.fullmatch(r"[a-z0-9.-]+|[0-9a-f:.]+", host) or not plain:
        raise refused
    shown = f"[{host}]" if ":" in host else host
    usual = port in (None, {"http": 80, "https": 443}[parts.scheme])
    return f"{parts.scheme}://{shown}" + ("" if usual else f":{port}")


def as_zone(raw: str) -> str:
    if raw == "":
        return machine_zone()
    try:
        zoneinfo.ZoneInfo(raw)
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        raise Refused("a name from the time zone database, such as Europe/Oslo") from None
    return raw


def machine_zone() -> str:
    """The zone this machine keeps, or UTC when it does not say."""
    name = os.path.realpath("/etc/localtime").partition("zoneinfo/")[2]
    return name if name in zoneinfo.available_timezones() else "UTC"


@dataclass(frozen=True)
class Option:
    name: str  # the environment variable
    read: Callable[[str], Any]
    default: str
    means: str
    flag: str = ""  # of `manage.py up`


OPTIONS = [
    Option("DATA_DIR", as_folder, ".data", "Folder for everything the shop writes.", "--data-dir"),
    Option("PORT", as_port, "8000", "Port of the plain http address on this computer.", "--port"),
    Option("HOST", as_address, "127.0.0.1", "Address that port listens on.", "--host"),
    Option("LAN", as_flag, "yes", "Whether phones on the local network are let in.", "--no-lan"),
    Option("HTTPS_PORT", as_port, "8443", "Port of the secure address for phones.", "--https-port"),
    Option("TRUST_PORT", as_port, "8080", "Port of the page that hands a phone the certificate.", "--trust-port"),
    Option(
        "SITE_URL",
        as_url,
        "",
        "The address people use, when it is not one of this machine's own.",
        "--site-url",
    ),
    Option(
        "TLS_CERT",
        as_file,
        "",
        "Your own certificate (PEM, with its chain) in place of the shop's.",
        "--tls-cert",
    ),
    Option("TLS_KEY", as_file, "", "The key that belongs to TLS_CERT (PEM, PKCS #8).", "--tls-key"),
    Option(
        "TRUSTED_PROXY",
        as_networks,
        "",
        "Addresses of the reverse proxy in front of the shop.",
        "--trusted-proxy",
    ),
    Option("TIME_ZONE", as_zone, "", "Time zone of the shop; empty: the machine's."),
    Option("SECRET_KEY", as_text, "", "Key that signs logins; empty: made once, kept in DATA_DIR."),
    Option("DEBUG", as_flag, "no", "Error pages with the code in them. Never on a network."),
]
BY_NAME = {option.name: option for option in OPTIONS}

PROBLEMS: list[tuple[Option, str, str]] = []  # (option, the value given, what is accepted)


def read(name: str) -> Any:
    """The setting's value. Blanks around it are forgiven; unset and empty are the same."""
    option = BY_NAME[name]
    raw = os.environ.get(name, "").strip()
    try:
        return option.read(raw or option.default)
    except Refused as refused:
        PROBLEMS.append((option, raw, str(refused)))
        return option.read(option.default)


def take_flags(arguments: list[str]) -> list[str]:
    """Put the options of `manage.py up` into the environment, where settings.py reads; the rest is returned.

    This comes before Django, so that an option and its variable are read, checked and handed on in the same way.
    """
    by_flag = {option.flag: option for option in OPTIONS if option.flag}
    rest, waiting = [], list(arguments)
    while waiting:
        word = waiting.pop(0)
        flag, has_value, value = word.partition("=")
        option = by_flag.get(flag)
        if option is None:
            rest.append(word)
        elif option.read is as_flag:
            os.environ[option.name] = "no"
        elif has_value or (waiting and not waiting[0].startswith("--")):
            os.environ[option.name] = value if has_value else waiting.pop(0)
        else:
            rest.append(word)  # the command's own parser says that a value is missing
    return rest

"""A wrong setting is a clear system check with the cure in its hint, never a traceback."""

import getpass
import os
import ssl
from pathlib import Path

from django.conf import settings
from django.core.checks import Error, Warning, register

from buildlog.config import env

# SQLite's write-ahead log needs memory shared between processes, which no network file system has
# (sqlite.org/wal.html, "all processes using a database must be on the same host computer").
NETWORK_FILES = {"nfs", "nfs4", "cifs", "smb3", "smbfs", "sshfs", "fuse.sshfs", "9p", "afs"}


@register()
def values(app_configs, **kwargs):
    """Each variable by itself."""
    return [
        Error(
            f"{option.name} is '{raw}'.",
            hint=f"It takes {accepts}. Left out it is {option.default or 'empty'}.",
            id=f"gusset.{option.name.lower()}",
        )
        for option, raw, accepts in dict.fromkeys(env.PROBLEMS)
    ]


@register()
def ports(app_configs, **kwargs):
    given = {"PORT": settings.PORT}
    if settings.LAN and not settings.TRUSTED_PROXY:
        given["HTTPS_PORT"] = settings.HTTPS_PORT
        if not settings.TLS_CERT:
            given["TRUST_PORT"] = settings.TRUST_PORT
    if len(set(given.values())) == len(given):
        return []
    said = ", ".join(f"{name}={port}" for name, port in given.items())
    return [Error(f"Two listeners share a port: {said}.", hint="Give each its own.", id="gusset.ports")]


@register()
def certificate(app_configs, **kwargs):
    cert, key = settings.TLS_CERT, settings.TLS_KEY
    if not cert and not key:
        return []
    if not (cert and key):
        return [Error("TLS_CERT and TLS_KEY go together.", hint="Set both or neither.", id="gusset.tls_pair")]
    try:
        ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(cert, key, password=lambda: "")
    except (OSError, ValueError) as error:
        hint = "Both are PEM files; the key has no password and belongs to the first certificate in TLS_CERT."
        return [Error(f"TLS_CERT and TLS_KEY can't be used: {error}.", hint=hint, id="gusset.tls_unusable")]
    return []


@register()
def front(app_configs, **kwargs):
    """What stands in front of the shop."""
    if settings.TRUSTED_PROXY and not settings.SITE_URL:
        hint = "Set it to the address people type, such as SITE_URL=https://shop.example.org."
        return [Error("TRUSTED_PROXY is set and SITE_URL is not.", hint=hint, id="gusset.proxy_without_site")]
    if settings.HOST not in ("127.0.0.1", "::1") and not settings.TRUSTED_PROXY:
        hint = "Passwords cross the network unprotected. Leave HOST alone (phones use https), or set TRUSTED_PROXY."
        return [Warning(f"Plain http is open to the network on {settings.HOST}.", hint=hint, id="gusset.plain_http")]
    return []


@register()
def data_folder(app_configs, **kwargs):
    folder = Path(settings.DATA_DIR)
    there = next(place for place in (folder, *folder.parents) if place.exists())
    if not there.is_dir() or not os.access(there, os.W_OK | os.X_OK):
        hint = f"Make it yours:  sudo chown -R {getpass.getuser()} {there}"
        return [Error(f"The data folder {folder} can't be written to.", hint=hint, id="gusset.data_dir_unwritable")]
    kind = file_system(there)
    if kind in NETWORK_FILES:
        hint = "Set DATA_DIR to a folder on a disk of this machine; copy backups to the network instead."
        return [
            Error(
                f"The data folder {folder} is on a network drive ({kind}).",
                hint=hint,
                id="gusset.data_dir_network",
            )
        ]
    return []


def file_system(path: Path, mounts: Path = Path("/proc/mounts")) -> str:
    """The kind of file system a path is on; empty where the system does not tell."""
    best = ("", "")
    try:
        lines = mounts.read_text().splitlines()
    except OSError:
        return ""
    for line in lines:
        _, place, kind, *_ = line.split()
        place = place.replace("\\040", " ")
        if path.resolve().is_relative_to(place) and len(place) >= len(best[0]):
            best = (place, kind)
    return best[1]

"""What the operating system has to bring: looked for, installed where that can be done without a password,
else named in one command to copy."""

import ctypes
import functools
import os
import shutil
import subprocess
import sys

MAC_CHROME = "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"
CHROMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", MAC_CHROME)

# Each of the libraries WeasyPrint opens, by the names it has on Linux and on a Mac.
PRINTING = (
    ("libgobject-2.0.so.0", "libgobject-2.0.0.dylib"),
    ("libpango-1.0.so.0", "libpango-1.0.dylib", "libpango-1.0.0.dylib"),
    ("libpangoft2-1.0.so.0", "libpangoft2-1.0.dylib", "libpangoft2-1.0.0.dylib"),
    ("libharfbuzz.so.0", "libharfbuzz.0.dylib"),
    ("libharfbuzz-subset.so.0", "libharfbuzz-subset.0.dylib"),
    ("libfontconfig.so.1", "libfontconfig.1.dylib"),
)

# What each need is called by each package manager.
PACKAGES = {
    "printing": {
        "apt-get": ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0"),
        "dnf": ("pango", "harfbuzz"),
        "pacman": ("pango",),
        "zypper": ("libpango-1_0-0", "libharfbuzz-subset0"),
        "brew": ("pango",),
    },
    "browser": {
        "apt-get": ("chromium",),
        "dnf": ("chromium",),
        "pacman": ("chromium",),
        "zypper": ("chromium",),
        "brew": ("--cask", "google-chrome"),
    },
    "venv": {"apt-get": ("python3-venv", f"python3.{sys.version_info[1]}-venv")},
}
INSTALL = {
    "apt-get": ("apt-get", "install", "-y"),
    "dnf": ("dnf", "install", "-y"),
    "pacman": ("pacman", "-S", "--needed"),
    "zypper": ("zypper", "install", "-y"),
    "brew": ("brew", "install"),
}


def _opens(names):
    for name in names:
        try:
            ctypes.CDLL(name)
        except OSError:
            continue
        return True
    return False


@functools.cache
def printing_available():
    """Whether labels can be made into PDF here: every library WeasyPrint opens is there."""
    return all(_opens(names) for names in PRINTING)


def chromium_path():
    """The browser the tests drive, or None."""
    return next(filter(None, map(shutil.which, CHROMES)), None)


def manager(which=shutil.which):
    """The package manager of this machine, or None."""
    return next((name for name in INSTALL if which(name)), None)


def command(need, name=None):
    """The exact command a person types to install `need`, or None where we don't know it."""
    name = name or manager()
    packages = PACKAGES[need].get(name)
    if not packages:
        return None
    words = INSTALL[name] + packages
    return " ".join(words if name == "brew" or _root() else ("sudo",) + words)


def printing_hint():
    """One line for a person whose machine can't print labels."""
    fix = command("printing") or "install the Pango and HarfBuzz libraries with your package manager"
    return f"Label printing is off: the Pango libraries are missing. To switch it on: {fix}"


def install(need, say=print):
    """Install `need` where that takes no password. True when the package manager was content."""
    if not shutil.which("apt-get"):
        return False
    prefix = [] if _root() else ["sudo", "-n"] if _sudo() else None
    if prefix is None:
        return False
    packages = list(PACKAGES[need]["apt-get"])
    say(f"Installing {', '.join(packages)} with apt ...")
    environ = ["env", "DEBIAN_FRONTEND=noninteractive"]
    add = prefix + environ + ["apt-get", "install", "-y", "-qq", "--no-install-recommends"] + packages
    if _quiet(add):
        return True
    # Fresh machines have no package lists, old ones have stale ones.
    return _quiet(prefix + ["apt-get", "update", "-qq"]) and _quiet(add)


def _root():
    return hasattr(os, "geteuid") and os.geteuid() == 0


def _sudo():
    return bool(shutil.which("sudo")) and _quiet(["sudo", "-n", "true"])


def _quiet(words):
    try:
        done = subprocess.run(words, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    except OSError:
        return False
    return done.returncode == 0

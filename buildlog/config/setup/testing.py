"""`manage.py test`: see that Chromium is there, then run pytest and pass its answer on."""

import os
import subprocess
import sys

from buildlog.config.setup import lock, system

NEEDS = (
    ("browser", system.chromium_path, "The tests drive a real browser and Chromium is missing."),
    ("printing", system.printing_available, "The tests print labels and the Pango libraries are missing."),
)


def run(arguments):
    """pytest's exit code; 2 with the command to type where the machine lacks something."""
    for need, there, lack in NEEDS:
        if there():
            continue
        system.install(need)
        system.printing_available.cache_clear()
        if not there():
            fix = system.command(need) or "install it with your package manager"
            print(f"{lack} Then start again:\n\n    {fix}\n", file=sys.stderr)
            return 2
    environ = dict(os.environ, DJANGO_SETTINGS_MODULE="tests.settings")
    return subprocess.call([sys.executable, "-m", "pytest"] + spread(arguments), cwd=str(lock.ROOT), env=environ)


def spread(arguments):
    """Two processes for the whole run; a person who names tests decides for himself."""
    return list(arguments) or ["-n", "2", "tests"]

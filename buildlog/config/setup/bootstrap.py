"""`manage.py` starts here: be in the right interpreter with the right libraries, then hand over.

The virtual environment `.venv` is made from requirements.lock and stamped with a fingerprint of what went in.
While the stamp fits nothing is fetched, so a second start needs no network. An environment without our stamp
was made by hand and is used as it is.
"""

import importlib.util
import json
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from buildlog.config.setup import lock, system

OLDEST = (3, 11)
NEWEST_TRIED = 16
VENV = lock.ROOT / ".venv"
STAMP = "gusset.json"


def main(argv):
    asked = argv[1] if len(argv) > 1 else ""
    if asked == "lock":
        lock.remake()
        return
    if not in_venv() or not fits(lock.TEST if asked == "test" else lock.RUN):
        ensure(lock.TEST if asked == "test" else lock.RUN)
        reexec(argv)
    if asked == "test":
        from buildlog.config.setup import testing

        raise SystemExit(testing.run(argv[2:]))
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "buildlog.config.settings")
    if asked == "up":
        from buildlog.config import env

        argv = argv[:2] + env.take_flags(argv[2:])
    from django.core.management import execute_from_command_line

    execute_from_command_line(argv)


def in_venv():
    """Whether this is our environment, or another that a person has activated with Django in it."""
    if Path(sys.prefix).resolve() == VENV.resolve():
        return True
    return sys.prefix != sys.base_prefix and importlib.util.find_spec("django") is not None


def stamp(venv=VENV):
    try:
        return json.loads((venv / STAMP).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None


def fits(part, venv=VENV):
    """Whether the environment holds what the lock says; one made by hand needs only Django in it."""
    if Path(sys.prefix).resolve() == venv.resolve() and importlib.util.find_spec("django") is None:
        return False
    found = stamp(venv)
    if found is None:
        return made_by_hand(venv)
    return found.get("run") == lock.fingerprint(lock.RUN) and (
        part == lock.RUN or found.get("test") == lock.fingerprint(lock.TEST)
    )


def made_by_hand(venv):
    return not (venv / STAMP).exists() and any(venv.glob("lib/python3.*/site-packages/django/__init__.py"))


def ensure(part, venv=VENV):
    """Make or mend the environment so that `part` of the lock is in it."""
    if usable(venv) and fits(part, venv):
        return
    with only_one(lock.LOCK):
        if usable(venv) and fits(part, venv):  # another start has just done it
            return
        if not usable(venv):
            create(venv)
        # Written first and empty: an installation that is cut off is taken up again, not trusted.
        record(venv, {})
        done = {}
        for name in (lock.RUN, lock.TEST) if part == lock.TEST else (lock.RUN,):
            fill(venv, name)
            done[name] = lock.fingerprint(name)
        record(venv, done)
    if not system.printing_available():
        system.install("printing")


def record(venv, done):
    (venv / STAMP).write_text(json.dumps(done), encoding="utf-8")


def usable(venv):
    """Whether the environment has an interpreter that still runs and still sees its own libraries."""
    python = venv / "bin" / "python"
    if not python.exists():
        return False
    # After an upgrade of the system's Python the old folder of libraries is no longer looked into.
    version = subprocess.run(
        [str(python), "-c", "import sys; print('python%d.%d' % sys.version_info[:2])"], stdout=subprocess.PIPE
    )
    return version.returncode == 0 and (venv / "lib" / version.stdout.decode().strip()).is_dir()


def create(venv):
    python = find_python()
    if subprocess.run([python, "-c", "import ensurepip, venv"], stderr=subprocess.DEVNULL).returncode:
        system.install("venv")
        if subprocess.run([python, "-c", "import ensurepip, venv"], stderr=subprocess.DEVNULL).returncode:
            fix = system.command("venv") or "install your system's package for Python's venv module"
            raise SystemExit(f"Python's venv module is missing. Install it, then start again:\n\n    {fix}\n")
    print("Making the environment .venv ...", flush=True)
    if venv.is_symlink():
        venv.unlink()
    elif venv.exists():
        shutil.rmtree(str(venv))
    if subprocess.run([python, "-m", "venv", str(venv)]).returncode:
        raise SystemExit("The environment .venv could not be made (see above).")


def find_python():
    """An interpreter that is new enough: this one, else the newest on the path."""
    if sys.version_info >= OLDEST:
        return getattr(sys, "_base_executable", None) or sys.executable
    for minor in range(NEWEST_TRIED, OLDEST[1] - 1, -1):
        found = shutil.which(f"python3.{minor}")
        if found:
            return found
    raise SystemExit(
        f"Gusset needs Python {dotted(OLDEST)} or later; this is {dotted(sys.version_info)}. "
        "Debian 12, Ubuntu 24.04, Fedora and Homebrew have it."
    )


def dotted(version):
    return f"{version[0]}.{version[1]}"


def fill(venv, name):
    """Install one part of the lock. pip checks every file against the lock's hashes."""
    text = lock.part(name)
    what = "libraries" if name == lock.RUN else "libraries for the tests"
    print(f"Installing {len(lock.entries(text))} {what} (once; a minute or so) ...", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        wanted = Path(folder, "requirements.txt")
        wanted.write_text(text, encoding="utf-8")
        pip = [str(venv / "bin" / "python"), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
        if subprocess.run(pip + ["--no-input", "--no-deps", "--require-hashes", "-r", str(wanted)]).returncode:
            raise SystemExit(
                "The libraries could not be installed (see above). This first start needs the network; "
                "start again when it is there."
            )


def reexec(argv):
    if os.environ.get("GUSSET_STARTED_BY") == str(os.getpid()):
        raise SystemExit("The environment .venv does not come up. Remove the folder .venv and start again.")
    os.environ["GUSSET_STARTED_BY"] = str(os.getpid())  # exec keeps the process id
    if sys.platform == "darwin":
        # Where Homebrew puts Pango; Python from elsewhere does not look there by itself.
        places = [
            os.environ.get("DYLD_FALLBACK_LIBRARY_PATH", ""),
            "/opt/homebrew/lib",
            "/usr/local/lib",
            "/usr/lib",
        ]
        os.environ["DYLD_FALLBACK_LIBRARY_PATH"] = ":".join(filter(None, places))
    python = str(VENV / "bin" / "python")
    sys.stdout.flush()
    os.execv(python, [python] + argv)


class only_one:
    """Two first starts at once: the second waits for the first."""

    def __init__(self, path):
        self.path = path

    def __enter__(self):
        import fcntl

        self.file = self.path.open("rb")
        fcntl.flock(self.file, fcntl.LOCK_EX)

    def __exit__(self, *exc):
        self.file.close()

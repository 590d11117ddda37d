"""requirements.lock: one file, every version and hash, in two parts.

The first part is what the shop needs to run. After the marker line comes what only the tests need.
`python3 manage.py lock` remakes it from pyproject.toml.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
LOCK = ROOT / "requirements.lock"
RUN, TEST = "run", "test"
MARKER = "# ---- needed by the tests only ----"
HEADING = (
    "# Every library with its version and hashes, for every platform. Made by: python3 manage.py lock\n"
    "# ---- needed to run ----\n"
)


def part(name, text=None):
    """The requirements of one part, as text pip can read."""
    text = LOCK.read_text(encoding="utf-8") if text is None else text
    run, marker, test = text.partition(MARKER)
    if not marker:
        raise SystemExit(f"requirements.lock is damaged (no line '{MARKER}'). Get it again from git.")
    return run if name == RUN else test


def fingerprint(name, text=None):
    """What a virtual environment is stamped with once the part is installed in it."""
    return hashlib.sha256(part(name, text).encode("utf-8")).hexdigest()


def entries(text):
    """Each pinned requirement with its hash lines, in order."""
    found, current = [], []
    for line in text.splitlines():
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        current.append(line)
        if not line.endswith("\\"):
            found.append("\n".join(current))
            current = []
    return found


def joined(run, everything):
    """One lock from two compiled lists: `everything` holds `run` too."""
    needed = entries(run)
    extra = [entry for entry in entries(everything) if entry not in needed]
    return HEADING + "\n".join(needed) + "\n\n" + MARKER + "\n" + "\n".join(extra) + "\n"


def remake():
    """Compile both parts anew. Versions already in the lock are kept unless pyproject.toml forbids them."""
    uv = _uv()
    with tempfile.TemporaryDirectory() as folder:
        everything, run = Path(folder, "everything.txt"), Path(folder, "run.txt")
        if LOCK.exists():
            everything.write_text(LOCK.read_text(encoding="utf-8"), encoding="utf-8")
        _compile(uv, everything, ["--group", "test"])
        # The same versions in both parts, or the second would undo the first.
        _compile(uv, run, ["--constraint", str(everything)])
        text = joined(run.read_text(encoding="utf-8"), everything.read_text(encoding="utf-8"))
    LOCK.write_text(text, encoding="utf-8")
    print(
        f"requirements.lock: {len(entries(part(RUN, text)))} to run, "
        f"{len(entries(part(TEST, text)))} more for the tests."
    )


def _uv():
    beside = Path(sys.executable).with_name("uv")
    uv = str(beside) if beside.exists() else shutil.which("uv")
    if not uv:
        raise SystemExit(f"The lock is made with uv. Install it first: {sys.executable} -m pip install uv")
    return uv


def _compile(uv, target, more):
    command = [
        uv, "pip", "compile", "pyproject.toml", "--universal", "--python-version", "3.11",
        "--generate-hashes", "--no-header", "--no-annotate", "--no-emit-index-url", "--no-emit-find-links",
        "--quiet", "--output-file", str(target),
    ]  # fmt: skip
    if subprocess.call(command + more, cwd=str(ROOT), stdout=subprocess.DEVNULL, env=dict(os.environ)):
        raise SystemExit("The lock was not remade: uv could not settle on versions (see above).")

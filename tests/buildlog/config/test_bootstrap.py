"""A bare machine: a copied tree, an empty environment, no network.

The libraries are stood in for by one small wheel called django, so the whole way (environment, hashes, stamp,
handing over) is walked in seconds and without a network.
"""

import base64
import hashlib
import json
import os
import shutil
import subprocess
import sys
import zipfile

import pytest

from buildlog.config.setup import bootstrap, lock

SAYS = """
import sys
def execute_from_command_line(argv):
    print("{says}", sys.prefix != sys.base_prefix, *argv[1:])
"""


def wheel(folder, says):
    """A wheel with just enough django in it to show that it was reached, and its line for the lock."""
    folder.mkdir(exist_ok=True)
    files = {
        "django/__init__.py": "",
        "django/core/__init__.py": "",
        "django/core/management.py": SAYS.format(says=says),
        "django-1.dist-info/METADATA": "Metadata-Version: 2.1\nName: django\nVersion: 1\n",
        "django-1.dist-info/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    record = ""
    for name, text in files.items():
        digest = base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).rstrip(b"=").decode()
        record += f"{name},sha256={digest},{len(text)}\n"
    path = folder / "django-1-py3-none-any.whl"
    with zipfile.ZipFile(path, "w") as archive:
        for name, text in files.items():
            archive.writestr(name, text)
        archive.writestr("django-1.dist-info/RECORD", record + "django-1.dist-info/RECORD,,\n")
    return f"django==1 \\\n    --hash=sha256:{hashlib.sha256(path.read_bytes()).hexdigest()}\n"


@pytest.fixture
def tree(tmp_path):
    """A copy of what the bootstrap needs, with a lock that asks for the stand-in only."""
    copy = tmp_path / "shop"
    shutil.copytree(lock.ROOT / "buildlog/config/setup", copy / "buildlog/config/setup")
    for needed in ("buildlog/__init__.py", "buildlog/config/__init__.py", "buildlog/config/env.py"):
        shutil.copy(lock.ROOT / needed, copy / needed)
    shutil.copy(lock.ROOT / "manage.py", copy)
    return copy


def ask_for(tree, line):
    (tree / "requirements.lock").write_text(lock.joined(line, line))


def start(tree, *arguments, wheels=None, before=()):
    environ = {"HOME": str(tree), "PATH": "/usr/bin:/bin", "PIP_CONFIG_FILE": os.devnull, "PIP_NO_INDEX": "1"}
    if wheels:
        environ["PIP_FIND_LINKS"] = str(wheels)
    python = sys._base_executable  # the machine's own, as on a fresh checkout
    return subprocess.run(
        [*before, python, str(tree / "manage.py"), *arguments],
        env=environ,
        capture_output=True,
        text=True,
        cwd="/",
    )


def cut_off():
    """How to run a command with no network at all, where the system lets us."""
    words = ("unshare", "--net", "--map-root-user")
    try:
        allowed = subprocess.run([*words, "true"], capture_output=True).returncode == 0
    except OSError:
        return ()
    return words if allowed else ()


def test_a_bare_checkout_makes_its_environment_then_starts_again_with_no_network(tree, tmp_path):
    ask_for(tree, wheel(tmp_path / "wheels", "first"))

    done = start(tree, "up", "--demo", wheels=tmp_path / "wheels")
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == "first True up --demo"
    assert "Installing 1 libraries" in done.stdout

    # The wheel is gone and pip has nowhere to look: only the stamp can let this through.
    shutil.rmtree(tmp_path / "wheels")
    again = start(tree, "up", before=cut_off())
    assert (again.returncode, again.stdout) == (0, "first True up\n")

    # A changed lock is noticed and brought up to date.
    ask_for(tree, wheel(tmp_path / "wheels", "second").replace("==1", "==1 ; python_version > '3'"))
    shutil.rmtree(tree / ".venv" / "lib")
    mended = start(tree, "up", wheels=tmp_path / "wheels")
    assert mended.stdout.splitlines()[-1] == "second True up"


def test_a_library_that_is_not_what_the_lock_says_is_refused(tree, tmp_path):
    ask_for(tree, wheel(tmp_path / "wheels", "right"))
    wheel(tmp_path / "wheels", "wrong")
    done = start(tree, "up", wheels=tmp_path / "wheels")
    assert done.returncode == 1
    assert "could not be installed" in done.stderr
    assert json.loads((tree / ".venv/gusset.json").read_text()) == {}


@pytest.fixture
def venv(tmp_path):
    """An environment on disk as far as the rules look at it."""
    folder = tmp_path / "venv"
    (folder / "lib/python3.11/site-packages/django").mkdir(parents=True)
    (folder / "lib/python3.11/site-packages/django/__init__.py").touch()
    return folder


def test_an_environment_made_by_hand_is_used_as_it_is(venv):
    assert bootstrap.fits("run", venv)
    assert bootstrap.fits("test", venv)


def test_an_installation_that_was_cut_off_is_not_trusted(venv):
    bootstrap.record(venv, {})
    assert not bootstrap.fits("run", venv)


@pytest.mark.parametrize(
    ("stamped", "run_fits", "test_fits"),
    [(("run", "test"), True, True), (("run",), True, False), (("test",), False, False)],
)
def test_the_stamp_says_which_parts_are_in(venv, stamped, run_fits, test_fits):
    bootstrap.record(venv, {name: lock.fingerprint(name) for name in stamped})
    assert bootstrap.fits("run", venv) is run_fits
    assert bootstrap.fits("test", venv) is test_fits


def test_an_older_python_is_told_what_is_needed(monkeypatch):
    monkeypatch.setattr(bootstrap.sys, "version_info", (3, 9, 2))
    monkeypatch.setattr(bootstrap.shutil, "which", lambda name: None)
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or later; this is 3\.9"):
        bootstrap.find_python()


def test_an_older_python_hands_over_to_a_newer_one_on_the_path(monkeypatch):
    monkeypatch.setattr(bootstrap.sys, "version_info", (3, 9, 2))
    monkeypatch.setattr(bootstrap.shutil, "which", lambda name: "/opt/" + name if name == "python3.12" else None)
    assert bootstrap.find_python() == "/opt/python3.12"

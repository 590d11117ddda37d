"""requirements.lock: two parts in one file, complete, and free of anything tied to one machine."""

import re
import tomllib

import pytest

from buildlog.config.setup import lock

RUN = "alpha==1.0 \\\n    --hash=sha256:aa\nbeta==2.0 ; sys_platform == 'win32' \\\n    --hash=sha256:bb\n"
ALL = RUN + "gamma==3.0 \\\n    --hash=sha256:cc \\\n    --hash=sha256:cd\n"


def name_of(requirement):
    return re.split(r"[=~<>! ;\[]", requirement, maxsplit=1)[0].lower().replace("_", "-")


def names(part):
    return {name_of(entry) for entry in lock.entries(lock.part(part))}


def test_two_compiled_lists_become_two_parts():
    text = lock.joined(RUN, ALL)
    assert lock.entries(lock.part("run", text)) == lock.entries(RUN)
    assert lock.entries(lock.part("test", text)) == ["gamma==3.0 \\\n    --hash=sha256:cc \\\n    --hash=sha256:cd"]


def test_a_change_for_the_tests_leaves_the_running_shop_alone():
    before, after = lock.joined(RUN, ALL), lock.joined(RUN, ALL.replace("3.0", "3.1"))
    assert lock.fingerprint("run", before) == lock.fingerprint("run", after)
    assert lock.fingerprint("test", before) != lock.fingerprint("test", after)


def test_a_lock_without_its_marker_is_refused_in_words():
    with pytest.raises(SystemExit, match="damaged"):
        lock.part("run", RUN)


@pytest.mark.parametrize("part", ["run", "test"])
def test_each_entry_is_pinned_and_hashed(part):
    found = lock.entries(lock.part(part))
    assert found
    for entry in found:
        first, *hashes = entry.split("\\\n")
        assert re.match(r"[a-z0-9-]+==[^ ]+( ; .+)? $", first), first
        assert hashes
        assert all(re.fullmatch(r"    --hash=sha256:[0-9a-f]{64} ?", line) for line in hashes), first


def test_the_lock_names_no_host():
    assert "://" not in lock.LOCK.read_text()
    assert "--index" not in lock.LOCK.read_text()


def test_everything_asked_for_is_locked_in_its_part():
    project = tomllib.loads((lock.ROOT / "pyproject.toml").read_text())
    run, test = names("run"), names("test")
    assert {name_of(one) for one in project["project"]["dependencies"]} <= run
    assert {name_of(one) for one in project["dependency-groups"]["test"]} <= run | test
    assert not {"pytest", "playwright", "opencv-python-headless", "pint", "vininfo"} & run

"""The code that makes the first owner."""

import pytest

from inventory.people import setup_code


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "data"
    return settings.DATA_DIR


def test_the_code_is_taken_however_it_is_typed():
    code = setup_code.issue()
    assert setup_code.check(code)
    assert setup_code.check(f"  {code.lower().replace('-', ' ')} ")


@pytest.mark.parametrize("typed", ["", "-", "AAAAA-AAAAA", "ÅÅÅÅÅ-ÅÅÅÅÅ"])
def test_anything_else_is_refused(typed):
    setup_code.issue()
    assert not setup_code.check(typed)


def test_a_new_code_ends_the_one_before():
    first, second = setup_code.issue(), setup_code.issue()
    assert not setup_code.check(first)
    assert setup_code.check(second)


def test_after_closing_no_code_works():
    code = setup_code.issue()
    assert setup_code.is_open()
    setup_code.close()
    setup_code.close()
    assert not setup_code.check(code)
    assert not setup_code.is_open()


def test_the_code_itself_is_written_nowhere(folder):
    code = setup_code.issue()
    (kept,) = folder.iterdir()
    assert code.replace("-", "") not in kept.read_text().upper()
    assert kept.stat().st_mode & 0o777 == 0o600
    assert folder.stat().st_mode & 0o777 == 0o700

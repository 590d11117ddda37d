"""The README says what the program does: each setting with its option, default and meaning."""

import re
from pathlib import Path

from django.conf import settings
from django.core.management import load_command_class

from buildlog.config import env

README = (Path(settings.BASE_DIR) / "README.md").read_text()


def table(heading: str) -> list[list[str]]:
    section = README.split(f"\n## {heading}\n")[1].split("\n## ")[0]
    rows = [line.strip("|").split("|") for line in section.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in row] for row in rows[2:]]


def code(text: str) -> str:
    return f"`{text}`" if text else ""


def test_the_settings_table_is_the_one_the_program_reads():
    assert table("Settings") == [[code(o.name), code(o.flag), code(o.default), o.means] for o in env.OPTIONS]


def test_the_program_reads_no_variable_that_is_not_in_the_table():
    read = set()
    for path in [
        *Path(settings.BASE_DIR, "buildlog").rglob("*.py"),
        *Path(settings.BASE_DIR, "inventory").rglob("*.py"),
    ]:
        read |= set(re.findall(r"""environ(?:\.get\(|\[)["'](\w+)["']""", path.read_text()))
    # What the program says to its own processes is no setting.
    ours = {"GUSSET_LISTENER", "GUSSET_STARTED_BY", "DYLD_FALLBACK_LIBRARY_PATH"}
    assert read - ours - set(env.BY_NAME) == set()


def test_up_has_the_options_of_the_table():
    parser = load_command_class("buildlog", "up").create_parser("manage.py", "up")
    has = {flag for action in parser._actions for flag in action.option_strings}
    assert {o.flag for o in env.OPTIONS if o.flag} | {"--demo"} <= has


def test_each_command_in_the_readme_is_there():
    from django.core.management import get_commands

    before_django = {"lock", "test"}  # taken by the bootstrap
    named = set(re.findall(r"manage\.py (\w+)", README))
    assert {"up", "test"} <= named
    assert named <= set(get_commands()) | before_django

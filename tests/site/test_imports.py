"""The directions of the house, held by import-linter; and calc packages that a wildcard could miss."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def test_imports_run_the_way_the_house_says():
    answer = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert answer.returncode == 0, answer.stdout[-3000:]
    assert "0 broken" in answer.stdout


def test_there_are_calc_packages_for_the_rule_to_hold():
    found = {
        str(path.relative_to(ROOT))
        for app in ("inventory", "buildlog")
        for path in (ROOT / app).glob("*/calc/__init__.py")
    }
    assert {"inventory/places/calc/__init__.py", "inventory/finding/calc/__init__.py"} <= found


def test_the_code_is_written_as_ruff_wants_it():
    ruff = Path(sys.executable).with_name("ruff")
    for command in (["check", "."], ["format", "--check", "."]):
        answer = subprocess.run([ruff, *command], cwd=ROOT, capture_output=True, text=True, check=False)
        assert answer.returncode == 0, answer.stdout[-2000:]

"""The directions of the house, held by import-linter; and calc packages that a wildcard could miss."""

import subprocess
import sys
from pathlib import Path

import grimp

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


LAYERS = ("calc", "models", "queries", "actions", "forms", "views", "urls")  # the lowest first


def layer(module: str) -> int | None:
    """Which layer of its feature a module such as inventory.parts.views_moves belongs to; None for any other."""
    pieces = module.split(".")
    word = pieces[2].partition("_")[0] if len(pieces) > 2 else ""
    return LAYERS.index(word) if word in LAYERS else None


def test_inside_a_feature_views_stand_on_forms_forms_on_actions_actions_on_models():
    graph = grimp.build_graph("buildlog", "inventory", cache_dir=None)
    layered = [module for module in graph.modules if layer(module) is not None]
    assert len(layered) > 100
    upwards = [
        f"{module} imports {other}"
        for module in layered
        for other in graph.find_modules_directly_imported_by(module)
        if module.split(".")[:2] == other.split(".")[:2] and layer(other) is not None and layer(other) > layer(module)
    ]
    assert upwards == []


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

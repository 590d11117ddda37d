"""The house: what stands where, which way imports and links run, and what no template may hold."""

import ast
import re
import subprocess
from pathlib import Path

import pytest
from django.apps import apps

ROOT = Path(__file__).resolve().parents[2]
TOP = {
    "README.md", "DEVELOPERS.md", "LICENSE", "manage.py", "pyproject.toml", "requirements.lock",
    "buildlog", "inventory", "templates", "static", "tests",
}  # fmt: skip
LONGEST = 400


def tracked(*patterns: str) -> list[Path]:
    listing = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard", *patterns],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return [ROOT / line for line in listing.stdout.splitlines() if (ROOT / line).is_file()]


def in_git() -> bool:
    return (ROOT / ".git").exists()


needs_git = pytest.mark.skipif(not in_git(), reason="not a checkout")


@needs_git
def test_the_top_level_holds_what_the_plan_says():
    names = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert {name for name in names if not name.startswith(".")} - TOP == set()


@needs_git
def test_no_file_has_grown_past_one_idea():
    long = {}
    for path in tracked("*.py", "*.html", "*.js", "*.css"):
        if {"vendor", "migrations"} & set(path.parts):
            continue
        lines = len(path.read_text().splitlines())
        if lines > LONGEST:
            long[str(path.relative_to(ROOT))] = lines
    assert long == {}


@pytest.mark.parametrize("app", ["inventory", "buildlog"])
def test_models_and_urls_of_an_app_only_re_export(app):
    for name in ("models.py", "urls.py"):
        tree = ast.parse((ROOT / app / name).read_text())
        assert [node for node in tree.body if isinstance(node, (ast.ClassDef, ast.FunctionDef))] == []


TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
FORBIDDEN = {
    "inline script": r"<script(?![^>]*\bsrc=)[^>]*>",
    "style attribute": r"<[^>]*\sstyle=",
    "style element": r"<style",
    "event attribute": r"<[^>]*\son[a-z]+=",
    "hx-on": r"hx-on",
    "js: value": r"\bjs:",
    "javascript: link": r"javascript:",
    "trigger filter": r"hx-trigger=\"[^\"]*\[",
    "another host": r"(?:src|href|action)=\"https?://",
}


def test_no_template_holds_what_the_policy_forbids():
    assert len(TEMPLATES) >= 20
    found = []
    for path in TEMPLATES:
        if "print" in path.parts:
            continue  # paper: rendered to PDF, never served
        text = path.read_text()
        found += [f"{path.name}: {what}" for what, pattern in FORBIDDEN.items() if re.search(pattern, text)]
    assert found == []


def test_inventory_templates_never_reach_up_to_the_log():
    reaching = [
        path.name for path in TEMPLATES if "inventory" in path.parts and re.search(r"buildlog[/:]", path.read_text())
    ]
    assert reaching == []


def test_no_inventory_model_points_at_the_log_nor_is_it_reached_from_there_by_a_hidden_name():
    for model in apps.get_app_config("inventory").get_models():
        for field in model._meta.get_fields():
            other = getattr(field, "related_model", None)
            if other is not None and other._meta.app_label == "buildlog":
                assert field.auto_created, f"{model.__name__}.{field.name} points up at the log"
                assert field.hidden, f"{model.__name__}.{field.name} comes from the log: related_name='+'"

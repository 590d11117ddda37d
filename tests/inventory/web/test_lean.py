"""Scripts as they travel."""

import json

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.management import call_command

from buildlog.config.settings import STORAGES as SERVED
from inventory.web.lean import LeanStorage, lean


def test_it_leaves_out_comments_and_indents_and_nothing_else():
    script = (
        '// what it is for\nconst url = `https://a/`; // why\n  // and this\n\n  f(/[/]{2}/, "a // b"); // isn\'t it\n'
    )
    assert lean(script) == 'const url = `https://a/`;\nf(/[/]{2}/, "a // b"); // isn\'t it\n'


def test_no_script_of_ours_has_a_text_over_the_end_of_a_line():
    for path in (settings.BASE_DIR / "static" / "js").glob("*.js"):
        for line in path.read_text(encoding="utf-8").splitlines():
            code = line.partition(" // ")[0] if not line.strip().startswith("//") else ""
            assert code.replace("\\`", "").count("`") % 2 == 0, f"{path.name}: {line}"


def test_what_is_collected_is_lean_but_for_what_came_with_a_licence(tmp_path):
    storage = LeanStorage(location=tmp_path)
    for name in ("js/a.js", "vendor/a.js", "css/a.css"):
        storage.save(name, ContentFile(b"// a line\nf();\n"))
    assert (tmp_path / "js/a.js").read_text() == "f();\n"
    assert (tmp_path / "vendor/a.js").read_text() == (tmp_path / "css/a.css").read_text() == "// a line\nf();\n"


def test_every_script_is_served_under_its_hash_with_all_of_its_code(tmp_path, settings):
    settings.STATIC_ROOT, settings.STORAGES = tmp_path, SERVED
    call_command("collectstatic", interactive=False, verbosity=0)
    names = json.loads((tmp_path / "staticfiles.json").read_text())["paths"]
    scripts = [
        path.relative_to(settings.BASE_DIR / "static").as_posix() for path in settings.BASE_DIR.glob("static/js/*.js")
    ]
    assert len(scripts) > 5
    for name in scripts:
        assert (tmp_path / names[name]).read_text() == lean((settings.BASE_DIR / "static" / name).read_text()), name

"""Scripts as they travel."""

from django.core.files.base import ContentFile

from inventory.web.lean import LeanStorage, lean


def test_it_leaves_out_lines_of_comment_and_nothing_else():
    script = "// what it is for\nconst url = `https://a/`; // why\n  // and this\nf(/[/]{2}/);\n"
    assert lean(script) == "const url = `https://a/`; // why\nf(/[/]{2}/);\n"


def test_what_is_collected_is_lean_but_for_what_came_with_a_licence(tmp_path):
    storage = LeanStorage(location=tmp_path)
    for name in ("js/a.js", "vendor/a.js", "css/a.css"):
        storage.save(name, ContentFile(b"// a line\nf();\n"))
    assert (tmp_path / "js/a.js").read_text() == "f();\n"
    assert (tmp_path / "vendor/a.js").read_text() == (tmp_path / "css/a.css").read_text() == "// a line\nf();\n"

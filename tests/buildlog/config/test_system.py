"""What the machine must bring, in the words of its own package manager."""

import pytest

from buildlog.config.setup import system, testing


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("apt-get", "sudo apt-get install -y libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"),
        ("dnf", "sudo dnf install -y pango harfbuzz"),
        ("pacman", "sudo pacman -S --needed pango"),
        ("brew", "brew install pango"),
    ],
)
def test_the_printing_libraries_are_asked_for_in_one_exact_command(monkeypatch, name, line):
    monkeypatch.setattr(system, "_root", lambda: False)
    assert system.command("printing", name) == line


def test_root_needs_no_sudo(monkeypatch):
    monkeypatch.setattr(system, "_root", lambda: True)
    assert system.command("browser", "apt-get") == "apt-get install -y chromium"


def test_an_unknown_machine_is_still_told_what_is_missing(monkeypatch):
    monkeypatch.setattr(system, "manager", lambda: None)
    assert "Pango and HarfBuzz" in system.printing_hint()


def test_printing_is_off_when_one_library_is_missing(monkeypatch):
    monkeypatch.setattr(system, "_opens", lambda names: "libharfbuzz-subset.so.0" not in names)
    assert system.printing_available.__wrapped__() is False
    monkeypatch.setattr(system, "_opens", lambda names: True)
    assert system.printing_available.__wrapped__() is True


def test_nothing_is_installed_where_it_would_take_a_password(monkeypatch):
    monkeypatch.setattr(system, "_root", lambda: False)
    monkeypatch.setattr(system, "_sudo", lambda: False)
    monkeypatch.setattr(system.subprocess, "run", lambda *a, **k: pytest.fail("nothing may be run"))
    assert system.install("printing") is False


def test_the_test_command_names_what_it_cannot_install(monkeypatch, capsys):
    monkeypatch.setattr(testing, "NEEDS", (("browser", lambda: None, "Chromium is missing."),))
    monkeypatch.setattr(system, "install", lambda need: False)
    monkeypatch.setattr(system, "manager", lambda: "dnf")
    monkeypatch.setattr(testing.subprocess, "call", lambda *a, **k: pytest.fail("no tests without their needs"))
    assert testing.run([]) == 2
    assert "dnf install -y chromium" in capsys.readouterr().err


def test_the_test_command_passes_pytests_answer_on(monkeypatch):
    calls = []
    monkeypatch.setattr(testing, "NEEDS", ())
    monkeypatch.setattr(testing.subprocess, "call", lambda words, **k: calls.append(words[1:]) or 5)
    assert testing.run(["tests/trade", "-x"]) == 5
    assert calls == [["-m", "pytest", "tests/trade", "-x"]]

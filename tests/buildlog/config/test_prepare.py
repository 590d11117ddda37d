"""Before serving: a snapshot ahead of each update, a newer shop's data refused, static files made once."""

import sqlite3

import pytest
from django.core.management import CommandError
from django.db.migrations.recorder import MigrationRecorder

from buildlog.config.serving import prepare

from ...factories import make_person


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "data"
    settings.STATIC_ROOT = settings.DATA_DIR / "static"
    prepare.data_folder()
    return settings.DATA_DIR


@pytest.fixture
def said():
    return []


def test_a_data_folder_that_cannot_be_made_is_said_with_what_mends_it(settings, tmp_path):
    (tmp_path / "file").write_text("")
    settings.DATA_DIR = tmp_path / "file" / "data"
    with pytest.raises(CommandError, match="Set DATA_DIR to a folder you may write to"):
        prepare.data_folder()


def test_the_data_folder_is_ours_alone(folder):
    assert folder.stat().st_mode & 0o777 == 0o700


@pytest.mark.django_db(transaction=True)
def test_nothing_pending_takes_no_snapshot(folder, said):
    prepare.database(said.append)
    assert said == []
    assert not (folder / "snapshots").exists()


@pytest.mark.django_db(transaction=True)
def test_a_snapshot_is_taken_before_an_update(folder, said, monkeypatch):
    make_person("owner", name="Olga")
    done = MigrationRecorder.Migration.objects.filter(app="sessions").latest("id")
    ran = []
    monkeypatch.setattr(prepare, "call_command", lambda *words, **more: ran.append(words))
    done.delete()
    try:
        prepare.database(said.append)
    finally:
        done.save()
    assert ran == [("migrate",)]
    (copy,) = (folder / "snapshots").iterdir()
    assert f"before-sessions-{done.name}" in copy.name
    assert str(copy) in said[0]
    assert copy.stat().st_mode & 0o777 == 0o600
    with sqlite3.connect(copy) as taken:
        assert taken.execute("SELECT name FROM inventory_person").fetchall() == [("Olga",)]
        assert taken.execute("PRAGMA integrity_check").fetchone() == ("ok",)


@pytest.mark.django_db(transaction=True)
def test_only_the_newest_snapshots_are_kept(folder):
    (folder / "snapshots").mkdir()
    for number in range(12):
        (folder / "snapshots" / f"2020-01-{number + 1:02}-000000-old.sqlite3").touch()
    newest = prepare.snapshot("new")
    kept = sorted((folder / "snapshots").iterdir())
    assert len(kept) == prepare.SNAPSHOTS_KEPT
    assert kept[-1] == newest


@pytest.mark.django_db(transaction=True)
def test_data_of_a_newer_gusset_is_refused(said):
    newer = MigrationRecorder.Migration.objects.create(app="inventory", name="9999_from_the_future")
    try:
        with pytest.raises(CommandError, match="newer Gusset .*9999_from_the_future"):
            prepare.database(said.append)
    finally:
        newer.delete()


def test_static_files_are_made_again_only_when_one_changed(settings, tmp_path):
    source = tmp_path / "source"
    source.mkdir()
    (source / "a.css").write_text("a{}")
    settings.STATICFILES_DIRS = [source]
    settings.STATICFILES_FINDERS = ["django.contrib.staticfiles.finders.FileSystemFinder"]
    from django.contrib.staticfiles import finders

    finders.get_finder.cache_clear()
    try:
        assert prepare.static_files() is True
        assert (settings.STATIC_ROOT / "a.css").read_text() == "a{}"
        assert prepare.static_files() is False
        (source / "a.css").write_text("a{b:c}")
        assert prepare.static_files() is True
        assert (settings.STATIC_ROOT / "a.css").read_text() == "a{b:c}"
    finally:
        finders.get_finder.cache_clear()

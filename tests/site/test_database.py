"""SQLite as it was measured to be safe: nothing acknowledged is lost, nobody is told the database is locked."""

import threading

import pytest
from django.core.management import call_command
from django.db import OperationalError, connection, transaction
from django.test import Client

from inventory.people.models import Person
from tests.factories import make_build


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("pragma", "wanted"),
    # journal_mode and synchronous: sqlite.org/pragma.html (2 is FULL); busy_timeout in milliseconds.
    [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1), ("busy_timeout", 5000), ("temp_store", 2)],
)
def test_every_connection_has_the_pragmas(pragma, wanted):
    with connection.cursor() as cursor:
        assert cursor.execute(f"PRAGMA {pragma}").fetchone()[0] == wanted


@pytest.mark.django_db(transaction=True)
def test_reading_and_then_writing_at_once_from_eight_threads_is_never_locked_out():
    """A transaction that began by reading is refused at once when it wants to write after another did, however long it
    would wait (sqlite.org/rescode.html, SQLITE_BUSY_SNAPSHOT). How long it waits is no part of this: those who wait
    poll and stand in no queue, so that on a slow disk one of eight that begin again at once may be passed by for long.
    """
    person = Person.objects.create_user("Olga", None)
    trouble = []

    def read_then_write():
        try:
            with connection.cursor() as cursor:
                cursor.execute("PRAGMA busy_timeout = 60000")
            for _ in range(10):
                with transaction.atomic():
                    name = Person.objects.get(pk=person.pk).name
                    Person.objects.filter(pk=person.pk).update(name=name[:20] + "x")
        except Exception as error:  # noqa: BLE001 (whatever it was, it is what the test is about)
            trouble.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=read_then_write) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert trouble == []


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("error", "status", "says"),
    [("database is locked", 503, "send it again in a few seconds"), ("disk I/O error", 500, "Something broke")],
)
def test_a_lock_that_lasts_too_long_is_a_reason_to_come_back_not_a_fault(owner, monkeypatch, error, status, says):
    """Retry-After: RFC 9110, section 10.2.3. The words are SQLite's own for SQLITE_BUSY."""

    def held(**_):
        raise OperationalError(error)

    monkeypatch.setattr("buildlog.worklog.actions.start", held)
    make_build(code="HB-64")
    client = Client(raise_request_exception=False)
    client.force_login(owner)
    answer = client.post("/tonight/start/")
    assert (answer.status_code, answer.headers.get("Retry-After")) == (status, "5" if status == 503 else None)
    assert says in answer.text


@pytest.mark.django_db
def test_no_migration_is_missing():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)

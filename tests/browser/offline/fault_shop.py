"""The shop of the fault machine, in its own data folder and processes: made, served, killed, and asked at the end.

`python -m tests.browser.offline.fault_shop make|tell` runs in a process with that shop's settings and prints JSON.
"""

import json
import os
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from datetime import timedelta
from pathlib import Path
from time import monotonic, sleep

ROOT = Path(__file__).resolve().parents[3]
PATIENCE = 60


class Shop:
    """One shop on disk, with the real server in front of it."""

    def __init__(self, data: Path, port: int):
        self.port, self.process, self.kills = port, None, 0
        self.environ = {
            **os.environ, "DATA_DIR": str(data), "DJANGO_SETTINGS_MODULE": "buildlog.config.settings",
            "GUSSET_LISTENER": "http",
        }  # fmt: skip

    def ask(self, what: str) -> dict:
        words = [sys.executable, "-m", "tests.browser.offline.fault_shop", what]
        ran = subprocess.run(words, cwd=ROOT, env=self.environ, capture_output=True, text=True, check=False)
        assert ran.returncode == 0, ran.stderr
        return json.loads(ran.stdout)

    def start(self) -> None:
        words = [sys.executable, "-m", "buildlog.config.serving.child", "127.0.0.1", str(self.port)]
        self.process = subprocess.Popen(
            words, cwd=ROOT, env=self.environ, stdin=subprocess.PIPE, start_new_session=True
        )
        until = monotonic() + PATIENCE
        while monotonic() < until:
            try:
                with urllib.request.urlopen(f"http://127.0.0.1:{self.port}/healthz", timeout=2):
                    return
            except OSError:
                sleep(0.05)
        raise AssertionError("the shop does not answer")

    def kill(self) -> None:
        """As when the plug is pulled: every process of the server at once, in the middle of whatever it does."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        self.kills += 1

    def close(self) -> None:
        if self.process and self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()


def make() -> dict:
    """Two people signed in, bins with plenty of bolts, tasks, a donor whose cautions are read."""
    from django.test import Client
    from django.utils import timezone

    from buildlog.config.serving import prepare
    from inventory.donors.models import Donor
    from inventory.parts.models import Move
    from tests.factories import make_build, make_part, make_person, make_place, make_task
    from tests.inventory.donors.made import make_donor

    prepare.data_folder()
    prepare.database(say=lambda *_: None)
    prepare.static_files()
    people = [make_person("owner", name="Olga"), make_person("hand", name="Harald")]
    clients = [Client(), Client()]
    for client, person in zip(clients, people, strict=True):
        client.force_login(person)
    build = make_build()
    bins = [make_place("bin", short=str(number)) for number in (14, 15, 16)]
    bench = make_place("bench", short="B1")
    parts = [make_part(name, holds=dict.fromkeys(bins, 500)) for name in ("Hatch bolt", "Hinge pin")]
    titles = ("Cut the floor", "Hang the hatch", "Grind the welds", "Prime the frame")
    tasks = [make_task(title, build=build) for title in titles]
    Move.objects.update(at=timezone.now() - timedelta(days=1))  # all of it lay there the evening before
    donor = make_donor()
    Donor.objects.filter(pk=donor.pk).update(cautions_by=people[0], cautions_at=timezone.now())
    return {
        "people": [person.pk for person in people],
        "cookies": [client.cookies["sessionid"].value for client in clients],
        "bins": [one.pk for one in bins], "bench": bench.pk, "parts": [one.pk for one in parts],
        "tasks": [one.pk for one in tasks], "donor": donor.pk,
    }  # fmt: skip


def tell() -> dict:
    """What the shop holds."""
    from django.db import connection

    from buildlog.offline.models import Op
    from buildlog.tasks.models import Task
    from buildlog.worklog.models import Entry, WorkSession
    from inventory.donors.models import Pull
    from inventory.parts import audit
    from inventory.parts.models import Batch, Holding
    from inventory.photos.models import Photo
    from inventory.photos.sweep import state

    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check")
        sound = cursor.fetchone()[0]
    files = state()
    return {
        "sound": sound,
        "ops": [[str(op.pk), op.says] for op in Op.objects.order_by("received_at")],
        "tasks": [[task.pk, task.status, task.on_hold] for task in Task.objects.all()],
        "entries": [[str(entry.uid), entry.photos.count(), entry.by_id] for entry in Entry.objects.all()],
        "batches": {str(batch.pk): batch.moves.count() for batch in Batch.objects.all()},
        "pulls": [[str(pull.batch_id), pull.pictures.count()] for pull in Pull.objects.all()],
        "holdings": [[row.part_id, row.location_id, int(row.quantity)] for row in Holding.objects.all()],
        "differences": [str(one) for one in audit.differences()],
        "photos": Photo.objects.count(),
        "photos_missing": [str(photo.pk) for photo in files.missing],
        "running": WorkSession.objects.running().count(),
    }


if __name__ == "__main__":
    import django

    django.setup()
    json.dump({"make": make, "tell": tell}[sys.argv[1]](), sys.stdout)

"""The shop is killed at any moment, over and over, while two phones log: what was acknowledged is there, once.

kill -9 leaves a process no last word: SIGKILL can't be caught (POSIX.1-2017, signal.h). The rounds are bounded, the
moments random; the seed is in each failure.
"""

import http.client
import os
import random
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
import time
import uuid
from urllib.parse import urlencode

import pytest

from buildlog.config.setup.lock import ROOT
from tests.factories import PASSWORD
from tests.inventory.photos.hostile import image
from tests.ports import free_port

ROUNDS, PATIENCE = 5, 60
MAKE = f"""
from inventory.people.models import Person
from tests.factories import make_build, make_part, make_place
for name in ("Olga", "Harald"):
    Person.objects.create_user(name, {PASSWORD!r}, role="owner")
make_build("HB-64")
drawer = make_place("drawer", short="B3")
make_place("bench", short="W1")
part = make_part("M8×25 hex bolt", holds={{drawer: 100000}})
print(part.holdings.get().pk)
"""


class Shop:
    """A shop on disk, served as `manage.py up` serves it."""

    def __init__(self, folder):
        self.data, self.port = folder / "data", free_port()
        self.environ = {**os.environ, "DATA_DIR": str(self.data), "DJANGO_SETTINGS_MODULE": "buildlog.config.settings"}
        self.run("migrate", "-v0")
        self.run("collectstatic", "--no-input", "-v0")
        self.holding = self.run("shell", "-v0", "-c", MAKE).strip()
        self.process = None

    def run(self, *words) -> str:
        command = [sys.executable, "manage.py", *words]
        ran = subprocess.run(command, cwd=ROOT, env=self.environ, capture_output=True, text=True, check=False)
        assert ran.returncode == 0, ran.stdout + ran.stderr
        return ran.stdout

    def start(self):
        self.process = subprocess.Popen(
            [sys.executable, "-m", "buildlog.config.serving.child", "127.0.0.1", str(self.port)],
            cwd=ROOT, env=self.environ, stdin=subprocess.PIPE, start_new_session=True,
        )  # fmt: skip
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            assert self.process.poll() is None, f"it ended by itself with {self.process.returncode}"
            try:
                with socket.create_connection(("127.0.0.1", self.port), timeout=1):
                    return
            except OSError:
                time.sleep(0.05)
        raise AssertionError("it did not come up")

    def kill(self):
        """The server and its worker, at once."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        self.process.stdin.close()

    def ask(self, sql: str) -> list[tuple]:
        with sqlite3.connect(self.data / "shop.sqlite3") as rows:
            return rows.execute(sql).fetchall()


class Phone:
    """Sends one line after another, and keeps each until it is acknowledged, as the page's script does."""

    def __init__(self, shop: Shop, name: str, chance: random.Random):
        self.shop, self.name, self.chance = shop, name, chance
        self.cookies: dict[str, str] = {}
        self.sent: list[dict] = []
        self.acknowledged: set[str] = set()

    def ask(self, method: str, path: str, body: bytes = b"", kind: str = "application/x-www-form-urlencoded"):
        line = http.client.HTTPConnection("127.0.0.1", self.shop.port, timeout=PATIENCE)
        headers = {"Host": f"localhost:{self.shop.port}", "Content-Type": kind}
        headers["Cookie"] = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        try:
            line.request(method, path, body, headers)
            answer = line.getresponse()
            text = answer.read().decode()
            for cookie in answer.headers.get_all("Set-Cookie") or []:
                name, _, value = cookie.partition(";")[0].partition("=")
                self.cookies[name] = value
            return answer, text
        finally:
            line.close()

    def sign_in(self):
        _, page = self.ask("GET", "/login/")
        self.token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)[1]
        form = {"username": self.name, "password": PASSWORD, "csrfmiddlewaretoken": self.token}
        answer, _ = self.ask("POST", "/login/", urlencode(form).encode())
        assert answer.status in (302, 303), answer.status
        _, page = self.ask("GET", "/tonight/")
        self.token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)[1]

    def send(self, line: dict) -> None:
        body, kind = multipart(line["form"] | {"csrfmiddlewaretoken": self.token}, line["photo"])
        until = time.monotonic() + PATIENCE
        while True:
            answer, text = self.ask("POST", "/tonight/log/", body, kind)
            if answer.status != 503 or time.monotonic() > until:
                break
            time.sleep(0.2)  # the shop says that it is busy: kept, and sent again
        assert answer.status == 303, (answer.status, text[:2000])
        self.acknowledged.add(line["form"]["uid"])

    def write_until_it_breaks(self):
        try:
            for line in [one for one in self.sent if one["form"]["uid"] not in self.acknowledged]:
                self.send(line)
            while True:
                number = len(self.sent)
                form = {"uid": str(uuid.uuid4()), "kind": "note", "text": f"{self.name} {number}"}
                if self.chance.random() < 0.3:
                    form |= {"kind": "part", "part": f"held:{self.shop.holding}", "quantity": "1", "happened": "used"}
                self.sent.append({"form": form, "photo": PHOTO if self.chance.random() < 0.2 else b""})
                self.send(self.sent[-1])
        except (OSError, http.client.HTTPException):
            return  # the shop was killed


PHOTO = image(size=(60, 40))


def multipart(fields: dict, photo: bytes) -> tuple[bytes, str]:
    edge = uuid.uuid4().hex
    parts = [
        f'--{edge}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode()
        for name, value in fields.items()
    ]
    if photo:
        head = 'Content-Disposition: form-data; name="photos"; filename="a.jpg"\r\nContent-Type: image/jpeg'
        parts.append(f"--{edge}\r\n{head}\r\n\r\n".encode() + photo + b"\r\n")
    return b"".join([*parts, f"--{edge}--\r\n".encode()]), f"multipart/form-data; boundary={edge}"


@pytest.fixture
def shop(tmp_path):
    made = Shop(tmp_path)
    yield made
    if made.process and made.process.poll() is None:
        made.kill()


def _until(phones: list[Phone], acknowledged: int) -> None:
    """Both phones together have so many lines acknowledged. Bounded by patience, however busy the machine."""
    until = time.monotonic() + PATIENCE
    while sum(len(phone.acknowledged) for phone in phones) < acknowledged and time.monotonic() < until:
        time.sleep(0.01)


def test_nothing_that_was_acknowledged_is_lost_when_it_is_killed_and_nothing_comes_twice(shop):
    seed = random.SystemRandom().randrange(10**6)
    chance = random.Random(seed)
    phones = [Phone(shop, name, random.Random(seed + n)) for n, name in enumerate(("Olga", "Harald"))]
    for turn in range(ROUNDS):
        shop.start()
        if turn == 0:
            [phone.sign_in() for phone in phones]
        writing = [threading.Thread(target=phone.write_until_it_breaks) for phone in phones]
        [one.start() for one in writing]
        _until(phones, 2 * (turn + 1))
        time.sleep(chance.uniform(0, 0.8))
        shop.kill()
        [one.join() for one in writing]
    there = {uuid.UUID(uid) for (uid,) in shop.ask("SELECT uid FROM buildlog_entry")}
    acknowledged = {uuid.UUID(uid) for phone in phones for uid in phone.acknowledged}
    assert len(acknowledged) >= 2 * ROUNDS
    assert acknowledged - there == set(), f"seed {seed}"
    assert shop.ask("PRAGMA integrity_check") == [("ok",)], f"seed {seed}"

    # The shop comes up again, and what was never acknowledged is sent once more: each line is there once.
    shop.start()
    for phone in phones:
        for line in phone.sent:
            phone.send(line)
    shop.kill()
    sent = [line for phone in phones for line in phone.sent]
    assert shop.ask("SELECT count(*) FROM buildlog_entry") == [(len(sent),)], f"seed {seed}"
    taken = sum(line["form"]["kind"] == "part" for line in sent)
    assert shop.ask(f"SELECT quantity FROM inventory_holding WHERE id = {shop.holding}") == [(1000 * (100000 - taken),)]
    assert shop.ask("SELECT count(*) FROM buildlog_entry_photos") == [(sum(bool(line["photo"]) for line in sent),)]
    for phone in phones:  # two phones at once: each one's lines stand in the order it wrote them
        who = f"(SELECT id FROM inventory_person WHERE name = '{phone.name}')"
        said = shop.ask(f"SELECT text FROM buildlog_entry WHERE by_id = {who} AND struck_at IS NULL ORDER BY id")
        assert [text for (text,) in said] == [line["form"]["text"] for line in phone.sent], f"seed {seed}"
    # Its own doctor: moves sum up to holdings, every photo has its files.
    shop.run("backup")
    assert "The shop is well" in shop.run("doctor")
    print(f"\n{len(sent)} lines of two phones, {ROUNDS} kills")

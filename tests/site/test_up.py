"""`manage.py up` as a person runs it: it answers on each address, tells what to do, and goes away when told to.

Every start here runs with the network cut off: a library that reached for another host would fail it.
"""

import os
import re
import signal
import socket
import ssl
import subprocess
import sys
import time
import urllib.error
import urllib.request

import pytest

from buildlog.config.setup import lock
from tests.ports import free_ports

PATIENCE = 60  # seconds; a bound for a busy machine, not a measure

# Loaded by each Python process of the shop before anything else. A datagram socket may be connected (that sends
# nothing and is how the machine's own address is learnt), a stream only to this machine.
CUT_OFF = """
import os, socket
_connect, _lookup = socket.socket.connect, socket.getaddrinfo
def refuse(what):
    with open(os.environ["REACHED_FOR"], "a") as out:
        out.write(repr(what) + "\\n")
    raise OSError("the network is cut off")
def connect(self, address):
    inside = self.family == socket.AF_UNIX or address[0] in ("127.0.0.1", "::1", "localhost")
    if not inside and self.type == socket.SOCK_STREAM:
        refuse(address)
    return _connect(self, address)
def lookup(host, *args, **kwargs):
    if host not in (None, "", "localhost", "127.0.0.1", "::1", "0.0.0.0"):
        refuse(host)
    return _lookup(host, *args, **kwargs)
socket.socket.connect, socket.getaddrinfo = connect, lookup
"""


class Shop:
    """One shop on disk, started and stopped."""

    def __init__(self, folder):
        self.data = folder / "data"
        self.reached = folder / "reached"
        self.port, self.https, self.trust = free_ports(3)
        (folder / "cut").mkdir()
        (folder / "cut" / "sitecustomize.py").write_text(CUT_OFF)
        self.environ = {
            **os.environ, "DATA_DIR": str(self.data), "REACHED_FOR": str(self.reached), "PYTHONUNBUFFERED": "1",
            "PYTHONPATH": str(folder / "cut"), "PYTHONIOENCODING": "utf-8",
        }  # fmt: skip
        self.environ.pop("DJANGO_SETTINGS_MODULE", None)
        self.process = None

    def start(self, *more):
        flags = ["--port", str(self.port), "--https-port", str(self.https), "--trust-port", str(self.trust)]
        self.process = subprocess.Popen(
            [sys.executable, "manage.py", "up", *flags, *more],
            cwd=lock.ROOT, env=self.environ, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )  # fmt: skip
        said = []
        for line in self.process.stdout:
            said.append(line)
            if "Ctrl-C stops it" in line:
                break
        return "".join(said)

    def end(self, number):
        self.process.send_signal(number)
        said, _ = self.process.communicate(timeout=PATIENCE)
        return self.process.returncode, said

    def ask(self, url):
        context = None
        if url.startswith("https"):
            context = ssl.create_default_context(cafile=self.data / "tls" / "ca.crt")
        with urllib.request.urlopen(url, timeout=PATIENCE, context=context) as answer:
            return answer.status, answer.read().decode()

    def ports_free(self):
        return all(map(bindable, (self.port, self.https, self.trust)))


def bindable(port):
    with socket.socket() as tried:
        tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            tried.bind(("0.0.0.0", port))
        except OSError:
            return False
    return True


@pytest.fixture
def shop(tmp_path):
    made = Shop(tmp_path)
    yield made
    if made.process and made.process.poll() is None:
        made.process.kill()
        made.process.wait()


def test_a_first_and_a_second_start_with_no_network(shop):
    said = shop.start()
    (code,) = re.findall(r"type the code  ([2-9A-Z]{5}-[2-9A-Z]{5})\n", said)
    assert f"http://localhost:{shop.port}/setup/" in said
    assert shop.ask(f"http://localhost:{shop.port}/healthz") == (200, "ok\n")
    # The authority made a moment ago, and nothing else, vouches for the secure address.
    assert shop.ask(f"https://localhost:{shop.https}/healthz") == (200, "ok\n")
    assert "Let this phone in" in shop.ask(f"http://localhost:{shop.trust}/")[1]
    status, page = shop.ask(f"http://localhost:{shop.port}/")
    assert (status, page.count("<h1")) == (200, 1)
    (style,) = re.findall(r'href="(/static/css/tokens\.[0-9a-f]+\.css)"', page)
    assert shop.ask(f"http://localhost:{shop.port}{style}")[0] == 200
    assert shop.end(signal.SIGTERM) == (0, "Gusset is down.\n")
    assert shop.ports_free()
    authority = (shop.data / "tls" / "ca.crt").read_bytes()

    again = shop.start()
    assert code not in again
    assert shop.ask(f"https://localhost:{shop.https}/healthz") == (200, "ok\n")
    assert shop.end(signal.SIGINT)[0] == 0
    assert shop.ports_free()
    assert (shop.data / "tls" / "ca.crt").read_bytes() == authority
    assert not shop.reached.exists()


def test_a_start_that_is_killed_takes_its_servers_with_it(shop):
    shop.start()
    shop.process.kill()
    shop.process.wait()
    until = time.monotonic() + PATIENCE
    while not shop.ports_free() and time.monotonic() < until:
        time.sleep(0.1)
    assert shop.ports_free()


def test_a_port_that_is_taken_is_told_with_the_way_out(shop):
    with socket.socket() as other:
        other.bind(("127.0.0.1", shop.port))
        other.listen()
        said = shop.start()
    assert shop.process.wait() == 1
    assert f"Port {shop.port} on 127.0.0.1 can't be had" in said
    assert f"--port {shop.port + 1}" in said
    assert "Traceback" not in said


def test_without_the_lan_only_this_computer_is_served(shop):
    shop.start("--no-lan")
    assert shop.ask(f"http://localhost:{shop.port}/healthz")[0] == 200
    assert bindable(shop.https)
    assert bindable(shop.trust)
    assert shop.end(signal.SIGTERM)[0] == 0

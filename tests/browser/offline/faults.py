"""Between the phone and the shop: a wire that cuts, delays, repeats, brings late and breaks, by seed.

What happens to a request is drawn from the seed, the operation's number and how often it has been tried, so that one
seed means the same troubles however the threads run. Only the outbox's own requests are troubled.
"""

import http.client
import random
import socket
import threading
import time
from collections import Counter
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

# What may happen, and of a hundred requests how many.
ODDS = {
    "pass": 58, "delay": 10, "cut before": 7, "cut after": 8, "repeat": 6, "late": 4, "broken before": 4,
    "broken after": 3,
}  # fmt: skip
PATIENCE = 40  # seconds the shop may take
# For engines that tell nobody what went wrong in a page: it goes first in each, from the wire's own address.
WATCH = b"""window.wrong = [];
addEventListener('error', event => wrong.push(event.message + ' ' + event.filename + ':' + event.lineno));
addEventListener('unhandledrejection', event => wrong.push('promise: ' + event.reason));"""
HOP = {"connection", "keep-alive", "transfer-encoding", "content-length", "date", "server"}


class Faults:
    """A proxy on a port of its own. `count` tells how often each thing happened; `watch`: pages note their errors."""

    def __init__(self, port: int, seed: int):
        self.port, self.seed, self.on, self.watch = port, seed, True, False
        self.count: Counter[str] = Counter()
        self.tried: Counter[str] = Counter()
        self.late: list[threading.Timer] = []
        self.lock = threading.Lock()
        faults = self

        class Handler(_Handler):
            wire = faults

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.server.daemon_threads = True
        self.url = f"http://localhost:{self.server.server_address[1]}"
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    def draw(self, name: str) -> tuple[str, float]:
        """What happens to this request, and a number between 0 and 1 for how much of it."""
        with self.lock:
            self.tried[name] += 1
            chance = random.Random(f"{self.seed} {name} {self.tried[name]}")  # noqa: S311
            what = chance.choices(list(ODDS), list(ODDS.values()))[0]
            self.count[what] += 1
        return what, chance.random()

    def forward(self, method: str, path: str, headers: dict, body: bytes):
        """(status, headers, body) of the shop; None where it is not there."""
        there = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        try:
            there.request(method, path, body, headers)
            answer = there.getresponse()
            return answer.status, answer.getheaders(), answer.read()
        except (OSError, http.client.HTTPException):
            return None
        finally:
            there.close()

    def later(self, seconds: float, *request) -> None:
        timer = threading.Timer(seconds, self.forward, request)
        timer.start()
        self.late.append(timer)

    def mend(self) -> None:
        """No more troubles; what was to come late has come."""
        self.on = False
        for timer in self.late:
            timer.join()

    def close(self) -> None:
        self.server.shutdown()
        self.server.server_close()


class _Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    wire: Faults

    def handle_any(self):
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        headers = {name: text for name, text in self.headers.items() if name.lower() not in HOP}
        if self.wire.watch:
            if self.path == "/wrong.js":
                return self.answer((200, [("Content-Type", "text/javascript")], WATCH))
            headers.pop("Accept-Encoding", None)
        request = (self.command, self.path, headers, body)
        ours = "X-Outbox" in self.headers or self.path.startswith("/sync/")
        what, much = self.wire.draw(self.headers.get("X-Outbox") or self.path) if ours and self.wire.on else ("pass", 0)
        if what == "delay":
            time.sleep(0.3 * much)
        if what == "late":
            self.wire.later(0.2 + much, *request)
        if what in ("cut before", "late"):
            return self.cut()
        if what == "broken before":
            return self.answer((503 if much < 0.5 else 500, [], b"broken"))
        answer = self.wire.forward(*request)
        if what == "repeat":
            answer = self.wire.forward(*request)
        if answer is None or what == "cut after":
            return self.cut()
        return self.answer((502, [], b"broken") if what == "broken after" else answer)

    do_GET = do_POST = do_HEAD = handle_any

    def answer(self, said) -> None:
        status, headers, body = said
        if self.wire.watch:
            body = body.replace(b"<head>", b'<head><script src="/wrong.js"></script>', 1)
        self.send_response_only(status)
        for name, text in headers:
            if name.lower() not in HOP:
                self.send_header(name, text)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body)

    def cut(self) -> None:
        self.close_connection = True
        try:
            self.connection.shutdown(socket.SHUT_RDWR)
        except OSError:
            pass

    def handle(self):
        try:
            super().handle()
        except OSError:
            pass

    def log_message(self, *args):
        pass

"""The plain-http page on the network: it hands a phone the shop's certificate with the steps to trust it, and sends
everything else to the secure address. It has no form, sets no cookie and knows nothing of the shop."""

import threading
from collections.abc import Callable
from dataclasses import dataclass
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import quote, urlsplit

from django.conf import settings
from django.template.loader import render_to_string

from buildlog.config.serving.certificates import Shop

CSP = "default-src 'none'; style-src 'self'; font-src 'self'; img-src 'self'; frame-ancestors 'none'; base-uri 'none'"
FILES = {
    "/css/tokens.css": "text/css",
    "/css/base.css": "text/css",
    "/css/parts.css": "text/css",
    "/css/trust.css": "text/css",
    "/icons/gusset.svg": "image/svg+xml",
    "/fonts/barlow-semi-condensed-latin-400-normal.woff2": "font/woff2",
    "/fonts/barlow-semi-condensed-latin-600-normal.woff2": "font/woff2",
}
SLOWEST = 15  # seconds a client may take over its request


@dataclass(frozen=True)
class Answer:
    status: int
    kind: str = "text/plain; charset=utf-8"
    body: bytes = b""
    location: str = ""
    file: str = ""


@dataclass(frozen=True)
class Page:
    """What the trust page says. `names` are the hosts this shop answers to; `port` is the secure one."""

    shop: Shop
    names: Callable[[], list[str]]
    port: int

    def answer(self, path: str, host: str, browser: str) -> Answer:
        place = urlsplit(path)
        if place.path == "/":
            return Answer(HTTPStatus.OK, "text/html; charset=utf-8", self.html(host, browser).encode())
        if place.path == "/ca.cer":
            return Answer(HTTPStatus.OK, "application/x-x509-ca-cert", self.shop.as_der(), file="gusset-ca.cer")
        if place.path == "/ca.mobileconfig":
            kind = "application/x-apple-aspen-config"
            return Answer(HTTPStatus.OK, kind, self.shop.as_mobileconfig(), file="gusset-ca.mobileconfig")
        if place.path in FILES:
            body = (settings.BASE_DIR / "static" / place.path.lstrip("/")).read_bytes()
            return Answer(HTTPStatus.OK, FILES[place.path], body)
        # One slash in front, whatever came: what follows the port must never read as part of the host.
        rest = "/" + place.path.lstrip("/") + (f"?{place.query}" if place.query else "")
        return Answer(HTTPStatus.FOUND, location=self.secure(host) + quote(rest, safe="/?=&%+:~,"))

    def secure(self, host: str) -> str:
        """The secure address by the name the phone came by; a name we don't have is never sent on to."""
        known = self.names()
        try:
            name = urlsplit(f"//{host}").hostname
        except ValueError:
            name = None
        return f"https://{name if name in known else known[0]}:{self.port}"

    def html(self, host: str, browser: str) -> str:
        return render_to_string(
            "buildlog/config/trust.html",
            {
                "secure": self.secure(host),
                "fingerprint": self.shop.fingerprint().split(":"),
                "android": "Android" in browser,
                "name": self.shop.authority().subject.rfc4514_string().partition("=")[2],
            },
        )


def serve(page: Page, host: str, port: int) -> ThreadingHTTPServer:
    """Serve the page from a thread. Stop it with .shutdown() and .server_close()."""

    class Handler(BaseHTTPRequestHandler):
        timeout = SLOWEST

        def do_GET(self):
            self.send(page.answer(self.path, self.headers.get("Host", ""), self.headers.get("User-Agent", "")))

        do_HEAD = do_GET

        def __getattr__(self, name):
            if name.startswith("do_"):  # any other method
                return lambda: self.send(Answer(HTTPStatus.METHOD_NOT_ALLOWED, body=b"Only GET.\n"))
            raise AttributeError(name)

        def send(self, answer: Answer):
            self.send_response(answer.status)
            self.send_header("Content-Type", answer.kind)
            self.send_header("Content-Length", str(len(answer.body)))
            self.send_header("Content-Security-Policy", CSP)
            self.send_header("X-Content-Type-Options", "nosniff")
            self.send_header("Referrer-Policy", "no-referrer")
            self.send_header("Cache-Control", "no-store")
            if answer.location:
                self.send_header("Location", answer.location)
            if answer.file:
                self.send_header("Content-Disposition", f'attachment; filename="{answer.file}"')
            if answer.status == HTTPStatus.METHOD_NOT_ALLOWED:
                self.send_header("Allow", "GET, HEAD")
            self.end_headers()
            if self.command != "HEAD":
                self.wfile.write(answer.body)

        def version_string(self):
            return "Gusset"

        def log_message(self, *args):
            """Nothing: the terminal is for the person."""

    server = ThreadingHTTPServer((host, port), Handler)
    server.daemon_threads = True
    threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True).start()
    return server

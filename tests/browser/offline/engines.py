"""Two more browser engines, driven by what they bring along: Firefox by Marionette, WebKitGTK by its WebDriver.

Both speak W3C WebDriver's commands (https://www.w3.org/TR/webdriver2/), the one over a socket of its own, the other
over HTTP. Only what a phone needs here is in: open a page, be signed in, run a function in the page.
"""

import json
import os
import shutil
import signal
import socket
import subprocess
import urllib.error
import urllib.request
from pathlib import Path
from time import monotonic, sleep

from tests.ports import free_port

PATIENCE = 60
CALL = """const [argument, answer] = arguments;
Promise.resolve((%s)(argument)).then(said => answer({said}), error => answer({error: String(error)}));"""


class Engine:
    """A browser with one page. `base` is where the shop is."""

    name = program = ""
    process = None

    def __init__(self, base: str, folder: Path):
        self.base, self.folder, self.port = base, folder, free_port()
        try:
            self.open()
        except BaseException:
            self.close()
            raise

    @classmethod
    def missing(cls) -> str:
        """Which program is not on this machine; '' when all are."""
        return "" if shutil.which(cls.program) else cls.program

    def goto(self, path: str) -> None:
        self.command("navigate", url=self.base + path)

    def sign_in(self, cookie: str) -> None:
        self.goto("/login/")
        self.command("cookie", cookie={"name": "sessionid", "value": cookie, "path": "/", "httpOnly": True})

    def evaluate(self, function: str, argument=None):
        """What a function of the page answers or promises."""
        said = self.command("run", script=CALL % function, args=[argument])
        if "error" in said:
            raise AssertionError(said["error"])
        return said.get("said")

    def wait_for_timeout(self, milliseconds: int) -> None:
        sleep(milliseconds / 1000)

    def run(self, words: list[str], **environ) -> None:
        self.log = (self.folder / "browser.log").open("wb")
        self.process = subprocess.Popen(
            words, env={**os.environ, **environ}, stdout=self.log, stderr=self.log, start_new_session=True
        )

    def close(self) -> None:
        if self.process:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
            self.log.close()


class Firefox(Engine):
    name, program = "Firefox ESR", "firefox-esr"
    WORDS = {
        "navigate": "WebDriver:Navigate", "cookie": "WebDriver:AddCookie", "run": "WebDriver:ExecuteAsyncScript",
        "new": "WebDriver:NewSession", "timeouts": "WebDriver:SetTimeouts",
    }  # fmt: skip
    # Nothing but the shop is asked: no news of the browser's own.
    SETTINGS = {
        "browser.shell.checkDefaultBrowser": False, "datareporting.policy.dataSubmissionEnabled": False,
        "app.update.disabledForTesting": True, "network.captive-portal-service.enabled": False,
        "network.connectivity-service.enabled": False, "services.settings.server": "http://127.0.0.1:1",
        "browser.safebrowsing.update.enabled": False, "extensions.systemAddon.update.enabled": False,
    }  # fmt: skip

    def open(self):
        settings = {**self.SETTINGS, "marionette.port": self.port}
        lines = [f"user_pref({json.dumps(name)}, {json.dumps(value)});" for name, value in settings.items()]
        (self.folder / "user.js").write_text("\n".join(lines))
        home = {"HOME": str(self.folder), "MOZ_DISABLE_CONTENT_SANDBOX": "1"}
        self.run([self.program, "-marionette", "-headless", "-no-remote", "-profile", str(self.folder)], **home)
        self.wire = _connected(self.port)
        self.heard, self.number = b"", 0
        self.hear()
        self.command("new")
        self.command("timeouts", script=PATIENCE * 1000)

    def hear(self):
        """One message: its length, a colon, and so much JSON."""
        while b":" not in self.heard:
            self.heard += self._more()
        length, _, self.heard = self.heard.partition(b":")
        while len(self.heard) < int(length):
            self.heard += self._more()
        said, self.heard = self.heard[: int(length)], self.heard[int(length) :]
        return json.loads(said)

    def _more(self) -> bytes:
        data = self.wire.recv(65536)
        if not data:
            raise AssertionError("the browser is gone")
        return data

    def command(self, word: str, **said):
        self.number += 1
        text = json.dumps([0, self.number, self.WORDS[word], said]).encode()
        self.wire.sendall(b"%d:%s" % (len(text), text))
        _, _, error, answer = self.hear()
        assert error is None, error
        return answer.get("value") if isinstance(answer, dict) else answer


class WebKit(Engine):
    name, program = "WebKitGTK", "WebKitWebDriver"
    WORDS = {"navigate": "url", "cookie": "cookie", "run": "execute/async", "timeouts": "timeouts"}
    BROWSERS = sorted(Path("/usr/lib").glob("*/webkit2gtk-4.*/MiniBrowser"))

    @classmethod
    def missing(cls) -> str:
        gone = [name for name in (cls.program, "xvfb-run") if not shutil.which(name)]
        return ", ".join([*gone, *([] if cls.BROWSERS else ["MiniBrowser"])])

    def open(self):
        self.run(["xvfb-run", "-a", self.program, f"--port={self.port}"], HOME=str(self.folder))
        _connected(self.port).close()
        options = {"binary": str(self.BROWSERS[-1]), "args": ["--automation"]}
        made = self.ask("/session", {"capabilities": {"alwaysMatch": {"webkitgtk:browserOptions": options}}})
        self.session = made["sessionId"]
        self.command("timeouts", script=PATIENCE * 1000)

    def command(self, word: str, **said):
        return self.ask(f"/session/{self.session}/{self.WORDS[word]}", said)

    def ask(self, path: str, said: dict):
        request = urllib.request.Request(f"http://127.0.0.1:{self.port}{path}", json.dumps(said).encode())
        try:
            with urllib.request.urlopen(request, timeout=2 * PATIENCE) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            raise AssertionError(error.read().decode()) from error


def _connected(port: int) -> socket.socket:
    until = monotonic() + PATIENCE
    while monotonic() < until:
        try:
            return socket.create_connection(("127.0.0.1", port), timeout=2 * PATIENCE)
        except OSError:
            sleep(0.1)
    raise AssertionError("the browser does not answer")


ENGINES = [Firefox, WebKit]

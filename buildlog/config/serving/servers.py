"""The servers' processes: started, waited for until they answer, and stopped with their ports free."""

import os
import signal
import socket
import ssl
import subprocess
import sys
import time
import urllib.error
import urllib.request

from buildlog.config.env import ROOT
from buildlog.config.serving.plan import Server

PATIENCE = 30.0  # seconds a slow machine may take to answer for the first time
GRACE = 2.5  # seconds a server has to finish what it is answering


class Process:
    def __init__(self, server: Server):
        self.server = server
        words = [sys.executable, "-m", "buildlog.config.serving.child", server.host, str(server.port)]
        if server.cert:
            words += [str(server.cert), str(server.key)]
        # A session of its own: Ctrl-C reaches `up` alone, which then stops the servers in order.
        self.process = subprocess.Popen(
            words,
            cwd=ROOT,
            env={**os.environ, "GUSSET_LISTENER": server.scheme},
            stdin=subprocess.PIPE,
            start_new_session=True,
        )

    @property
    def running(self) -> bool:
        return self.process.poll() is None

    def answers(self) -> bool:
        """Whether /healthz says ok. The certificate is our own and the way is inside this machine: not checked."""
        context = ssl._create_unverified_context()  # noqa: S323
        try:
            address = f"{self.server.reached_at}/healthz"
            with urllib.request.urlopen(address, timeout=2, context=context) as answer:  # noqa: S310
                return answer.status == 200
        except OSError:
            return False


def wait_until_ready(processes: list[Process], stopped) -> bool:
    """True once each server answers; False when one gave up, or time or patience ran out."""
    until = time.monotonic() + PATIENCE
    waiting = list(processes)
    while waiting and time.monotonic() < until and not stopped.is_set():
        if not all(one.running for one in processes):
            return False
        waiting = [one for one in waiting if not one.answers()]
        if waiting:
            stopped.wait(0.05)
    return not waiting


def stop(processes: list[Process]) -> None:
    for one in processes:
        if one.running:
            one.process.send_signal(signal.SIGTERM)
    until = time.monotonic() + GRACE
    for one in processes:
        try:
            one.process.wait(max(until - time.monotonic(), 0.05))
        except subprocess.TimeoutExpired:
            os.killpg(one.process.pid, signal.SIGKILL)
            one.process.wait()
        one.process.stdin.close()


def taken(server: Server) -> bool:
    """Whether another program listens where this server should."""
    family = socket.AF_INET6 if ":" in server.host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as tried:
        # As a server does it, so that connections of the last run that linger don't count.
        tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            tried.bind((server.host, server.port))
        except OSError:
            return True
    return False

"""One server of the shop, as a process of its own: `python -m buildlog.config.serving.child HOST PORT [CERT KEY]`.

Its standard input is a pipe from `manage.py up`. When that closes, however the parent ended, this server ends too.
"""

import os
import signal
import sys
import threading
from pathlib import Path

from granian import Granian
from granian.constants import Interfaces, SSLProtocols
from granian.http import HTTP1Settings
from granian.log import LogLevels

THREADS = 8  # one worker with eight threads: SQLite has one writer, and a waiting one must not hold up readers


def main(host: str, port: str, cert: str = "", key: str = "") -> None:
    threading.Thread(target=_end_with_parent, daemon=True).start()
    Granian(
        "buildlog.config.wsgi:application",
        address=host,
        port=int(port),
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=THREADS,
        websockets=False,
        log_level=LogLevels.error,  # a warning on eight threads would greet every start
        respawn_failed_workers=True,
        workers_kill_timeout=2,
        http1_settings=HTTP1Settings(header_read_timeout=10_000),
        ssl_cert=Path(cert) if cert else None,
        ssl_key=Path(key) if key else None,
        ssl_protocol_min=SSLProtocols.tls12,
    ).serve()


def _end_with_parent() -> None:
    # Not sys.stdin: its lock, held here, would be copied into the forked worker and never given back.
    while os.read(0, 1024):
        pass
    os.kill(os.getpid(), signal.SIGTERM)


if __name__ == "__main__":
    main(*sys.argv[1:])

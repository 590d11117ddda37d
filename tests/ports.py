"""Ports for servers that tests start, kill and start again.

A port that the system gives for the asking lies in the range that near ends of connections come from (Linux ip(7),
ip_local_port_range). Between two starts of a server any busy browser may be given it, and who knocks at it while nobody
listens may meet himself (TCP's simultaneous open, RFC 9293, 3.5). So these lie outside.
"""

import random
import socket
from pathlib import Path

RANGE = Path("/proc/sys/net/ipv4/ip_local_port_range")


def outside() -> range:
    first, last = map(int, RANGE.read_text().split()) if RANGE.exists() else (49152, 65535)
    return range(10_000, first) if first > 11_000 else range(last + 1, 65_536)


def free_ports(count: int) -> list[int]:
    """So many that nobody listens at."""
    found: list[socket.socket] = []
    try:
        for port in random.SystemRandom().sample(outside(), 100 + count):
            one = socket.socket()
            try:
                one.bind(("127.0.0.1", port))
            except OSError:
                one.close()
                continue
            found.append(one)
            if len(found) == count:
                return [one.getsockname()[1] for one in found]
    finally:
        for one in found:
            one.close()
    raise AssertionError(f"fewer than {count} ports are free")


def free_port() -> int:
    return free_ports(1)[0]

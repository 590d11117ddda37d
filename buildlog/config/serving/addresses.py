"""What this machine is called and where it is reached on the local network. No packet is sent to find out."""

import contextlib
import ipaddress
import re
import socket
import struct
import sys

# An interface's first IPv4 address: the request of the ioctl on Linux, and on a Mac.
SIOCGIFADDR = 0xC0206921 if sys.platform == "darwin" else 0x8915
# Networks between containers and virtual machines on this machine: no phone is ever on them.
INSIDE = ("lo", "docker", "br-", "veth", "virbr", "vmnet", "cni", "podman")
# RFC 5737 sets this network aside for examples: asking for the way there names our own address and sends
# nothing.
ELSEWHERE = ("192.0.2.1", 9)


def hostname() -> str:
    """The machine's bare name, in letters a certificate can carry; empty when it has none."""
    bare = socket.gethostname().split(".")[0].lower()
    return bare if re.fullmatch(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?", bare) and bare != "localhost" else ""


def lan_addresses() -> list[str]:
    """This machine's IPv4 addresses on private networks, the one towards the router first."""
    found = {address for name, address in _interfaces() if not name.startswith(INSIDE)}
    route = _towards_router()
    if route:
        found.add(route)
    usable = sorted((one for one in found if is_private(one)), key=ipaddress.ip_address)
    return sorted(usable, key=lambda one: one != route)


def is_private(address: str) -> bool:
    """Whether the address is on a network of one's own, where the shop's certificate may speak."""
    number = ipaddress.ip_address(address)
    return any(number in network for network in PRIVATE if network.version == number.version) and not number.is_loopback


PRIVATE = [
    ipaddress.ip_network(text)
    for text in (
        "10.0.0.0/8",  # RFC 1918
        "172.16.0.0/12",
        "192.168.0.0/16",
        "169.254.0.0/16",  # RFC 3927, link-local
        "100.64.0.0/10",  # RFC 6598, shared; also what home VPNs use
        "127.0.0.0/8",
        "fc00::/7",  # RFC 4193, unique local
        "fe80::/10",  # RFC 4291, link-local
        "::1/128",
    )
]


def _interfaces() -> list[tuple[str, str]]:
    import fcntl

    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        for _, name in socket.if_nameindex():
            with contextlib.suppress(OSError):  # an interface without an address
                answer = fcntl.ioctl(asked, SIOCGIFADDR, struct.pack("256s", name.encode()[:15]))
                found.append((name, socket.inet_ntoa(answer[20:24])))
    return found


def _towards_router() -> str:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(ELSEWHERE)
            return asked.getsockname()[0]
        except OSError:  # no network at all
            return ""

"""Which of a machine's addresses a phone can reach (ranges: RFC 1918, 3927, 4193, 6598)."""

import pytest

from buildlog.config.serving import addresses


@pytest.mark.parametrize("one", ["10.1.2.3", "172.31.0.1", "192.168.0.9", "100.100.1.1", "169.254.3.3", "fd12::1"])
def test_an_address_of_ones_own_network_is_private(one):
    assert addresses.is_private(one)


@pytest.mark.parametrize("one", ["8.8.8.8", "172.32.0.1", "203.0.113.9", "100.128.0.1", "127.0.0.1", "2001:db8::1"])
def test_any_other_is_not(one):
    assert not addresses.is_private(one)


def test_the_address_towards_the_router_comes_first(monkeypatch):
    seen = [("lo", "127.0.0.1"), ("docker0", "172.17.0.1"), ("eth0", "10.0.0.5"), ("wlan0", "192.168.1.20")]
    monkeypatch.setattr(addresses, "_interfaces", lambda: seen)
    monkeypatch.setattr(addresses, "_towards_router", lambda: "192.168.1.20")
    assert addresses.lan_addresses() == ["192.168.1.20", "10.0.0.5"]


def test_a_machine_on_no_network_has_none(monkeypatch):
    monkeypatch.setattr(addresses, "_interfaces", lambda: [("lo", "127.0.0.1")])
    monkeypatch.setattr(addresses, "_towards_router", lambda: "")
    assert addresses.lan_addresses() == []


@pytest.mark.parametrize(
    ("said", "bare"),
    [("Barn.lan", "barn"), ("barn-2", "barn-2"), ("my_box", ""), ("localhost", ""), ("", "")],
)
def test_the_bare_name_is_one_a_certificate_can_carry(monkeypatch, said, bare):
    monkeypatch.setattr(addresses.socket, "gethostname", lambda: said)
    assert addresses.hostname() == bare

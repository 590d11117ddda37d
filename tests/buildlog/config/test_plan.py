"""Which servers a start needs, and what the terminal tells a person."""

from pathlib import Path
from types import SimpleNamespace

import pytest

from buildlog.config import env
from buildlog.config.serving import announce
from buildlog.config.serving.plan import plan

OWN = Path("/own/cert.pem"), Path("/own/key.pem")
SHOP = Path("/shop/server.crt"), Path("/shop/server.key")


def laid(lan=("192.168.1.20", "10.0.0.5"), host="barn", **changed):
    settings = {option.name: option.read(option.default) for option in env.OPTIONS} | changed
    return plan(SimpleNamespace(**settings), lan=list(lan), host=host, cert=SHOP[0], key=SHOP[1])


def listening(one):
    return [(server.scheme, server.host, server.port) for server in filter(None, (one.desk, one.phones, one.trust))]


def test_a_plain_start_serves_the_desk_the_phones_and_the_certificate():
    one = laid()
    assert listening(one) == [("http", "127.0.0.1", 8000), ("https", "0.0.0.0", 8443), ("http", "0.0.0.0", 8080)]
    assert (one.desk_url, one.trust_url) == ("http://localhost:8000", "http://192.168.1.20:8080")
    assert one.phone_urls == ["https://192.168.1.20:8443", "https://barn.local:8443"]
    assert (one.phones.cert, one.phones.key) == SHOP


def test_without_the_lan_only_this_computer_is_served():
    one = laid(LAN=False)
    assert listening(one) == [("http", "127.0.0.1", 8000)]
    assert (one.phone_urls, one.trust_url) == ([], "")


def test_an_own_certificate_needs_no_page_that_hands_out_the_shops():
    one = laid(TLS_CERT=OWN[0], TLS_KEY=OWN[1], SITE_URL="https://shop.example.org:8443")
    assert listening(one) == [("http", "127.0.0.1", 8000), ("https", "0.0.0.0", 8443)]
    assert (one.phones.cert, one.phones.key) == OWN
    assert one.phone_urls == ["https://shop.example.org:8443"]


def test_behind_a_proxy_there_is_one_plain_server_and_one_address():
    one = laid(TRUSTED_PROXY=env.as_networks("172.18.0.1"), SITE_URL="https://shop.example.org", HOST="0.0.0.0")
    assert listening(one) == [("http", "0.0.0.0", 8000)]
    assert (one.desk_url, one.phone_urls) == ("https://shop.example.org", ["https://shop.example.org"])


def test_a_machine_on_no_network_says_so():
    one = laid(lan=())
    assert (one.phone_urls, one.trust_url) == ([], "")
    assert any("on no private network" in line for line in announce.lines(one))


@pytest.mark.parametrize(
    ("host", "asked_at"),
    [("0.0.0.0", "http://127.0.0.1:8000"), ("::1", "http://[::1]:8000"), ("192.168.1.20", "http://192.168.1.20:8000")],
)
def test_a_server_is_asked_for_its_health_where_it_listens(host, asked_at):
    assert laid(HOST=host).desk.reached_at == asked_at


def test_the_terminal_says_where_to_go_and_what_to_compare():
    print_ = ":".join(f"{number:02X}" for number in range(32))
    said = announce.lines(laid(), fingerprint=print_, code="ABCDE-FGHJK", printing="Label printing is off")
    text = "\n".join(said)
    for part in ("http://localhost:8000", "https://192.168.1.20:8443", "https://barn.local:8443", "ABCDE-FGHJK"):
        assert part in text
    assert "http://192.168.1.20:8080" in text
    assert "\n    08 09 0A 0B 0C 0D 0E 0F\n" in text
    assert "Label printing is off" in text


def test_the_code_in_the_terminal_reads_as_the_address():
    """Read back by zxing-cpp, an independent reader."""
    import numpy
    import zxingcpp

    rows = announce.draw("http://192.168.1.20:8080").splitlines()
    light = {" ": (0, 0), "▀": (1, 0), "▄": (0, 1), "█": (1, 1), "\xa0": (0, 0)}
    width = max(map(len, rows))
    dots = [[light[mark][half] for mark in row.ljust(width)] for row in rows for half in (0, 1)]
    picture = numpy.kron(numpy.array(dots, dtype="uint8") * 255, numpy.ones((8, 8), dtype="uint8"))
    (found,) = zxingcpp.read_barcodes(picture)
    assert found.text == "http://192.168.1.20:8080"

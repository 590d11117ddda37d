"""The plain-http page: it hands a phone the certificate and sends everything else to the secure address."""

import http.client

import pytest
from bs4 import BeautifulSoup
from cryptography import x509

from buildlog.config.serving import certificates, trust

IPHONE = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) Safari/604.1"
ANDROID = "Mozilla/5.0 (Linux; Android 14) Chrome/130 Mobile"


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    made = certificates.Shop(tmp_path_factory.mktemp("trust") / "tls")
    made.prepare(["localhost"], ["127.0.0.1"], host="barn")
    return made


@pytest.fixture
def ask(shop):
    page = trust.Page(shop, lambda: ["192.168.1.20", "barn.local"], 8443)
    server = trust.serve(page, "127.0.0.1", 0)

    def asked(path, method="GET", **headers):
        connection = http.client.HTTPConnection("127.0.0.1", server.server_address[1], timeout=10)
        connection.putrequest(method, path, skip_host="Host" in headers)
        for name, value in headers.items():
            connection.putheader(name.replace("_", "-"), value)
        connection.endheaders()
        answer = connection.getresponse()
        answer.body = answer.read()
        connection.close()
        return answer

    yield asked
    server.shutdown()
    server.server_close()


def test_the_page_has_the_steps_the_fingerprint_and_the_way_on(ask, shop):
    page = BeautifulSoup(ask("/", Host="barn.local:8080").body, "html.parser")
    assert [one.text for one in page.select("h1")] == ["Let this phone in"]
    links = {one["href"] for one in page.select("a")}
    assert links == {"/ca.mobileconfig", "/ca.cer", "https://barn.local:8443/", "https://barn.local:8443/phone/"}
    assert ":".join(one.text for one in page.select(".fingerprint span")) == shop.fingerprint()
    assert "Certificate Trust Settings" in page.text
    assert "Encryption & credentials" in page.text


@pytest.mark.parametrize(("browser", "first"), [(IPHONE, "iPhone or iPad"), (ANDROID, "Android")])
def test_the_steps_for_the_phone_at_hand_come_first(ask, browser, first):
    page = BeautifulSoup(ask("/", User_Agent=browser).body, "html.parser")
    assert page.select("h2")[0].text == first


def test_it_has_no_form_no_cookie_and_nothing_inline(ask):
    answer = ask("/")
    page = BeautifulSoup(answer.body, "html.parser")
    assert page.select("form, input, button, script, style, [style]") == []
    assert answer.getheader("Set-Cookie") is None
    assert answer.getheader("Content-Security-Policy").startswith("default-src 'none'; style-src 'self'")


def test_everything_the_page_loads_is_there(ask):
    page = BeautifulSoup(ask("/").body, "html.parser")
    for link in page.select("link"):
        answer = ask(link["href"])
        assert (answer.status, bool(answer.body)) == (200, True), link["href"]
        assert answer.getheader("Content-Type") == trust.FILES[link["href"]]


def test_the_certificate_is_handed_out(ask, shop):
    answer = ask("/ca.cer")
    assert answer.getheader("Content-Type") == "application/x-x509-ca-cert"
    assert x509.load_der_x509_certificate(answer.body) == shop.authority()
    profile = ask("/ca.mobileconfig")
    assert profile.getheader("Content-Type") == "application/x-apple-aspen-config"
    assert profile.body == shop.as_mobileconfig()


@pytest.mark.parametrize(
    ("path", "to"),
    [
        ("/places/3/?a=1&b=%20", "https://192.168.1.20:8443/places/3/?a=1&b=%20"),
        ("/b/7K2M9QX", "https://192.168.1.20:8443/b/7K2M9QX"),
        ("/ca.key", "https://192.168.1.20:8443/ca.key"),
        ("/../tls/ca.key", "https://192.168.1.20:8443/../tls/ca.key"),
        ("/css/../../manage.py", "https://192.168.1.20:8443/css/../../manage.py"),
        ("//evil.example/x", "https://192.168.1.20:8443/evil.example/x"),
        ("@evil.example/x", "https://192.168.1.20:8443/%40evil.example/x"),
        ("http://evil.example/x", "https://192.168.1.20:8443/x"),
    ],
)
def test_everything_else_goes_to_the_secure_address(ask, path, to):
    answer = ask(path, Host="192.168.1.20:8080")
    assert (answer.status, answer.getheader("Location"), answer.body) == (302, to, b"")


@pytest.mark.parametrize("host", ["evil.example", "192.168.1.99:8080", "", "[", "barn.local.evil.example", "a b"])
def test_a_name_the_shop_does_not_have_is_not_sent_on_to(ask, host):
    assert ask("/x", Host=host).getheader("Location") == "https://192.168.1.20:8443/x"


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "BREW"])
def test_nothing_can_be_sent_to_it(ask, method):
    answer = ask("/", method=method)
    assert (answer.status, answer.getheader("Allow")) == (405, "GET, HEAD")


def test_the_head_of_a_page_comes_alone(ask):
    answer = ask("/", method="HEAD")
    assert (answer.status, answer.body) == (200, b"")
    assert int(answer.getheader("Content-Length")) > 1000

"""The shop's certificate authority, judged by OpenSSL and by cryptography's path validation (RFC 5280)."""

import ipaddress
import plistlib
import ssl
import subprocess
from datetime import UTC, datetime, timedelta

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from buildlog.config.serving import certificates

NOW = datetime(2026, 3, 1, 21, 40, tzinfo=UTC)
NAMES = ["localhost", "barn", "barn.local"]
ADDRESSES = ["127.0.0.1", "192.168.1.20"]


@pytest.fixture
def shop(tmp_path):
    made = certificates.Shop(tmp_path / "tls")
    assert made.prepare(NAMES, ADDRESSES, host="barn", now=NOW)
    return made


def extension(cert, kind):
    return cert.extensions.get_extension_for_class(kind)


def leaf(shop):
    return x509.load_pem_x509_certificate(shop.cert_file.read_bytes())


def signed_by(shop, names, addresses=()):
    """What somebody who stole the authority's key could make."""
    key = ec.generate_private_key(ec.SECP256R1())
    ca_key = serialization.load_pem_private_key(shop.ca_key_file.read_bytes(), None)
    return certificates.issue(shop.authority(), ca_key, key.public_key(), list(names), list(addresses), NOW)


def validates(shop, cert, subject):
    check = PolicyBuilder().store(Store([shop.authority()])).time(NOW).build_server_verifier(subject)
    try:
        check.verify(cert, [])
    except VerificationError:
        return False
    return True


def openssl_says(shop, cert, tmp_path):
    path = tmp_path / "leaf.pem"
    path.write_bytes(cert.public_bytes(serialization.Encoding.PEM))
    words = ["openssl", "verify", "-purpose", "sslserver", "-attime", str(int(NOW.timestamp()))]
    return subprocess.run([*words, "-CAfile", shop.ca_file, path], capture_output=True, text=True)


@pytest.mark.parametrize("name", NAMES)
def test_the_certificate_is_good_for_each_name(shop, name):
    assert validates(shop, leaf(shop), x509.DNSName(name))


@pytest.mark.parametrize("address", ADDRESSES)
def test_the_certificate_is_good_for_each_address(shop, address):
    assert validates(shop, leaf(shop), x509.IPAddress(ipaddress.ip_address(address)))


def test_openssl_accepts_the_certificate(shop, tmp_path):
    said = openssl_says(shop, leaf(shop), tmp_path)
    assert said.returncode == 0, said.stderr


@pytest.mark.parametrize("name", ["bank.example", "barn.example", "mail.barn.example.com"])
def test_the_authority_can_not_speak_for_another_site(shop, tmp_path, name):
    forged = signed_by(shop, [name])
    assert not validates(shop, forged, x509.DNSName(name))
    said = openssl_says(shop, forged, tmp_path)
    assert said.returncode != 0
    assert "permitted subtree violation" in said.stderr


def test_the_authority_can_not_speak_for_a_public_address(shop, tmp_path):
    forged = signed_by(shop, [], ["203.0.113.9"])
    assert not validates(shop, forged, x509.IPAddress(ipaddress.ip_address("203.0.113.9")))
    assert "permitted subtree violation" in openssl_says(shop, forged, tmp_path).stderr


def test_the_authority_can_not_make_another_authority(shop):
    constraints = extension(shop.authority(), x509.BasicConstraints)
    assert (constraints.value.ca, constraints.value.path_length, constraints.critical) == (True, 0, True)
    assert extension(shop.authority(), x509.NameConstraints).critical


def test_the_certificate_is_one_phones_accept(shop):
    """Apple's rules for TLS servers: SAN, serverAuth, SHA-2, and not longer than 398 days (from memory)."""
    cert = leaf(shop)
    assert cert.not_valid_after_utc - cert.not_valid_before_utc <= timedelta(days=397)
    assert list(extension(cert, x509.ExtendedKeyUsage).value) == [x509.oid.ExtendedKeyUsageOID.SERVER_AUTH]
    assert isinstance(cert.signature_hash_algorithm, hashes.SHA256)
    san = extension(cert, x509.SubjectAlternativeName).value
    assert san.get_values_for_type(x509.DNSName) == sorted(NAMES)
    assert [str(one) for one in san.get_values_for_type(x509.IPAddress)] == sorted(ADDRESSES)


def test_keys_are_ours_alone(shop):
    assert shop.folder.stat().st_mode & 0o777 == 0o700
    assert shop.ca_key_file.stat().st_mode & 0o777 == 0o600
    assert shop.key_file.stat().st_mode & 0o777 == 0o600


def test_a_server_can_be_started_with_it(shop):
    ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(shop.cert_file, shop.key_file)


@pytest.mark.parametrize(
    ("names", "addresses", "later", "renewed"),
    [
        (NAMES, ADDRESSES, timedelta(0), False),
        (NAMES, list(reversed(ADDRESSES)), timedelta(days=300), False),
        (NAMES, [*ADDRESSES, "10.0.0.7"], timedelta(0), True),
        (NAMES, ["127.0.0.1", "192.168.1.21"], timedelta(0), True),
        (["localhost", "barn.local"], ADDRESSES, timedelta(0), True),
        (NAMES, ADDRESSES, timedelta(days=364), False),
        (NAMES, ADDRESSES, timedelta(days=367), True),
        (NAMES, ADDRESSES, timedelta(days=3000), True),
    ],
)
def test_the_certificate_is_renewed_when_an_address_changes_or_time_runs_out(shop, names, addresses, later, renewed):
    authority, before = shop.ca_file.read_bytes(), shop.cert_file.read_bytes()
    assert shop.prepare(names, addresses, host="barn", now=NOW + later) is renewed
    assert (shop.cert_file.read_bytes() != before) is renewed
    assert shop.ca_file.read_bytes() == authority


def test_a_damaged_certificate_is_made_anew(shop):
    shop.cert_file.write_text("half a fi")
    assert shop.prepare(NAMES, ADDRESSES, host="barn", now=NOW)
    assert validates(shop, leaf(shop), x509.DNSName("barn"))


def test_names_the_authority_may_not_speak_for_are_left_out(shop, tmp_path):
    """One name too many would make the whole certificate worthless."""
    shop.prepare([*NAMES, "renamed", "garage.example.com"], [*ADDRESSES, "203.0.113.9"], host="renamed", now=NOW)
    assert validates(shop, leaf(shop), x509.DNSName("barn.local"))
    assert openssl_says(shop, leaf(shop), tmp_path).returncode == 0
    assert shop.prepare([*NAMES, "renamed"], ADDRESSES, host="renamed", now=NOW) is False


def test_a_lost_key_stops_in_words_and_keeps_the_authority(shop):
    shop.ca_key_file.unlink()
    before = shop.ca_file.read_bytes()
    with pytest.raises(certificates.Unusable, match="from a backup"):
        shop.prepare(NAMES, ADDRESSES, host="barn", now=NOW)
    assert shop.ca_file.read_bytes() == before


def test_a_strange_key_stops_in_words(shop):
    shop.ca_key_file.write_bytes(shop.key_file.read_bytes())
    with pytest.raises(certificates.Unusable, match="don't belong together"):
        shop.authority()


def test_an_authority_past_its_time_stops_in_words(shop):
    with pytest.raises(certificates.Unusable, match="ran out on"):
        shop.prepare(NAMES, ADDRESSES, host="barn", now=NOW + timedelta(days=3660))


def test_the_phone_gets_the_authority_and_nothing_secret(shop):
    profile = plistlib.loads(shop.as_mobileconfig())
    (content,) = profile["PayloadContent"]
    assert (profile["PayloadType"], content["PayloadType"]) == ("Configuration", "com.apple.security.root")
    assert content["PayloadContent"] == shop.as_der()
    assert x509.load_der_x509_certificate(shop.as_der()) == shop.authority()
    assert profile["PayloadUUID"] != content["PayloadUUID"]
    assert shop.as_mobileconfig() == shop.as_mobileconfig()


def test_the_fingerprint_is_the_one_openssl_shows(shop):
    words = ["openssl", "x509", "-noout", "-fingerprint", "-sha256", "-in", shop.ca_file]
    shown = subprocess.run(words, capture_output=True, text=True, check=True).stdout
    assert shown.strip().partition("=")[2] == shop.fingerprint()

"""The shop's own certificate authority, which can speak for this shop and for nothing else.

The authority is made once and never changes by itself: every phone that trusts it would have to be walked
through its settings again. Its name constraints (RFC 5280, section 4.2.1.10; critical) leave it private
networks, local names and this machine's own name, so a stolen key can't stand in for a bank. The server's
certificate is short-lived and is made anew at a start when an address changed or its time runs out.
"""

import ipaddress
import os
import plistlib
import uuid
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from buildlog.config.serving.addresses import PRIVATE

AUTHORITY_LASTS = timedelta(days=3652)
SERVER_LASTS = timedelta(days=396)  # phones refuse more than 398 days of a public one; well inside it
RENEW_WITH_LEFT = timedelta(days=30)
BACKDATE = timedelta(days=1)  # a phone whose clock is slow must not see a certificate from tomorrow
LOCAL_NAMES = ("local", "lan", "home.arpa", "localhost")  # RFC 6762, common practice, RFC 8375, RFC 6761


class Unusable(Exception):
    """The files of the authority can't be used; the message says what to do."""


class Shop:
    """The certificates in one folder (0700, keys 0600)."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.ca_key_file, self.ca_file = folder / "ca.key", folder / "ca.crt"
        self.key_file, self.cert_file = folder / "server.key", folder / "server.crt"

    def prepare(self, names: list[str], addresses: list[str], *, host: str, now: datetime | None = None) -> bool:
        """See that both certificates are there and fit; True when the server's was made anew.

        names: DNS names, addresses: IP addresses, host: the machine's bare name, allowed for when the
        authority is made. What the authority may not speak for is left out.
        """
        now = now or datetime.now(UTC)
        self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self.folder.chmod(0o700)
        if not self.ca_file.exists() and not self.ca_key_file.exists():
            self._make_authority(host, now)
        ca = self.authority()
        if now >= ca.not_valid_after_utc:
            raise Unusable(
                f"The shop's certificate authority ran out on {ca.not_valid_after_utc:%d %B %Y}. "
                f"Remove the folder {self.folder} to make a new one; every phone then has to trust it anew."
            )
        wanted = {name for name in names if permits(ca, name)}, {one for one in addresses if permits(ca, one)}
        if self._fits(ca, *wanted, now):
            return False
        self._make_server(ca, *wanted, now)
        return True

    def authority(self) -> x509.Certificate:
        try:
            ca = x509.load_pem_x509_certificate(self.ca_file.read_bytes())
            fits = self._ca_key().public_key() == ca.public_key()
        except (OSError, ValueError) as error:
            raise Unusable(
                f"The shop's certificate authority in {self.folder} can't be read ({error}). "
                "Put ca.crt and ca.key back from a backup, or remove the folder to make a new one; "
                "every phone then has to trust it anew."
            ) from error
        if not fits:
            raise Unusable(f"ca.key and ca.crt in {self.folder} don't belong together. Put both back from one backup.")
        return ca

    def fingerprint(self) -> str:
        """SHA-256 of the authority, in pairs, as phones show it."""
        return self.authority().fingerprint(hashes.SHA256()).hex(":").upper()

    def as_der(self) -> bytes:
        return self.authority().public_bytes(serialization.Encoding.DER)

    def as_mobileconfig(self) -> bytes:
        """A configuration profile with the authority in it (Apple, 'Configuration Profile Reference')."""
        ca = self.authority()
        print_ = self.fingerprint()
        name = ca.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value

        def payload(kind: str, part: str, **more: object) -> dict[str, object]:
            number = str(uuid.uuid5(uuid.NAMESPACE_URL, f"{part}:{print_}")).upper()
            identifier = f"local.gusset.{part}.{number[:8].lower()}"
            return {
                "PayloadType": kind, "PayloadVersion": 1, "PayloadUUID": number, "PayloadIdentifier":
                identifier, "PayloadDisplayName": name, **more,
            }  # fmt: skip

        root = payload(
            "com.apple.security.root",
            "root",
            PayloadContent=self.as_der(),
            PayloadCertificateFileName="ca.cer",
        )
        about = "Lets this phone open the shop's secure address. It vouches for nothing outside your network."
        return plistlib.dumps(payload("Configuration", "profile", PayloadContent=[root], PayloadDescription=about))

    def _ca_key(self) -> ec.EllipticCurvePrivateKey:
        return serialization.load_pem_private_key(self.ca_key_file.read_bytes(), password=None)

    def _make_authority(self, host: str, now: datetime) -> None:
        key = ec.generate_private_key(ec.SECP256R1())
        name = _name(f"Gusset shop {host}".strip())
        allowed = [x509.DNSName(one) for one in dict.fromkeys([*LOCAL_NAMES, *([host] if host else [])])]
        allowed += [x509.IPAddress(network) for network in PRIVATE]
        ca = (
            _draft(name, name, key.public_key(), now, AUTHORITY_LASTS)
            .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
            .add_extension(_usage(key_cert_sign=True, crl_sign=True), critical=True)
            .add_extension(x509.NameConstraints(allowed, None), critical=True)
            .sign(key, hashes.SHA256())
        )
        _write(self.ca_key_file, _pem_key(key))
        _write(self.ca_file, ca.public_bytes(serialization.Encoding.PEM))

    def _make_server(self, ca: x509.Certificate, names: set[str], addresses: set[str], now: datetime) -> None:
        key = ec.generate_private_key(ec.SECP256R1())
        cert = issue(ca, self._ca_key(), key.public_key(), sorted(names), sorted(addresses), now)
        _write(self.key_file, _pem_key(key))
        _write(self.cert_file, cert.public_bytes(serialization.Encoding.PEM))

    def _fits(self, ca: x509.Certificate, names: set[str], addresses: set[str], now: datetime) -> bool:
        try:
            cert = x509.load_pem_x509_certificate(self.cert_file.read_bytes())
            key = serialization.load_pem_private_key(self.key_file.read_bytes(), password=None)
            cert.verify_directly_issued_by(ca)
            said = cert.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
        except Exception:  # missing, cut short, another authority's: a new one is the cure each time
            return False
        return (
            key.public_key() == cert.public_key()
            and set(said.get_values_for_type(x509.DNSName)) == names
            and {str(one) for one in said.get_values_for_type(x509.IPAddress)} == addresses
            and cert.not_valid_before_utc <= now < cert.not_valid_after_utc - RENEW_WITH_LEFT
        )


def permits(ca: x509.Certificate, name: str) -> bool:
    """Whether the authority may speak for this DNS name or IP address."""
    allowed = ca.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    try:
        number = ipaddress.ip_address(name)
    except ValueError:
        suffixes = [one.value for one in allowed if isinstance(one, x509.DNSName)]
        return any(name == suffix or name.endswith("." + suffix) for suffix in suffixes)
    return any(number in one.value for one in allowed if isinstance(one, x509.IPAddress))


def issue(ca, ca_key, public_key, names: list[str], addresses: list[str], now: datetime) -> x509.Certificate:
    """A server's certificate for these names, signed by the authority."""
    spoken = [x509.DNSName(name) for name in names]
    spoken += [x509.IPAddress(ipaddress.ip_address(one)) for one in addresses]
    return (
        _draft(_name("Gusset shop"), ca.subject, public_key, now, SERVER_LASTS)
        .add_extension(x509.SubjectAlternativeName(spoken), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(digital_signature=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(ca_key.public_key()), critical=False)
        .sign(ca_key, hashes.SHA256())
    )


def _draft(subject, issuer, public_key, now: datetime, lasts: timedelta) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public_key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - BACKDATE)
        .not_valid_after(now - BACKDATE + lasts)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public_key), critical=False)
    )


def _name(text: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text[:64])])


def _usage(**on: bool) -> x509.KeyUsage:
    every = (
        "digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement",
        "key_cert_sign", "crl_sign", "encipher_only", "decipher_only",
    )  # fmt: skip
    return x509.KeyUsage(**{name: on.get(name, False) for name in every})


def _pem_key(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def _write(path: Path, data: bytes) -> None:
    """The whole file or none of it, readable by us only."""
    part = path.with_name(path.name + ".part")
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as out:
        out.write(data)
        out.flush()
        os.fsync(out.fileno())
    part.replace(path)

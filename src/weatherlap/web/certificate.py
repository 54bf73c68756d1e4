"""A certificate for the local network, signed by this machine's own authority.

A phone that trusts the authority can keep the pages for when there is no signal. The authority is
good for nothing but private addresses and this machine's own name.
"""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address, ip_network
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

OWN_AUTHORITY, OWN_KEY = "authority.pem", "authority-key.pem"
SERVER = "server.pem"
"""Certificate, authority and key in one file, so that they always fit each other."""
PRIVATE = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8")
AUTHORITY_DAYS, SERVER_DAYS, RENEW_DAYS = 3650, 365, 30
SLACK = timedelta(days=1)
"""Phones' clocks may be a day behind."""


@dataclass(frozen=True, slots=True)
class Certificate:
    """The file that a server needs, and the authority as a phone takes it."""

    chain: Path
    authority_der: bytes

    @property
    def fingerprint(self) -> str:
        """What the phone shows of the authority, to compare: SHA-256 in pairs."""
        made = hashes.Hash(hashes.SHA256())
        made.update(self.authority_der)
        return made.finalize().hex(":").upper()


def certificate(folder: Path, names: Sequence[str], now: datetime | None = None) -> Certificate:
    """The certificate for these names, made again where it is missing, old, or for others.

    Parameters
    ----------
    folder : Path
        Where the authority and its key are kept.
    names : sequence of str
        Addresses and names under which devices reach this machine.
    """
    now = now or datetime.now(UTC)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    authority, key = _authority(folder, names, now)
    if not _holds(folder, authority, names, now):
        _sign_server(folder, authority, key, names, now)
    der = authority.public_bytes(serialization.Encoding.DER)
    return Certificate(folder / SERVER, der)


def _authority(
    folder: Path, names: Sequence[str], now: datetime
) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    place, key_place = folder / OWN_AUTHORITY, folder / OWN_KEY
    if place.exists() and key_place.exists():
        found = x509.load_pem_x509_certificate(place.read_bytes())
        key = serialization.load_pem_private_key(key_place.read_bytes(), None)
        if found.not_valid_after_utc > now + timedelta(days=SERVER_DAYS):
            assert isinstance(key, ec.EllipticCurvePrivateKey)
            return found, key
    made_key = ec.generate_private_key(ec.SECP256R1())
    name = _name(f"Weatherlap on this network {secrets.token_hex(3)}")
    constraints = x509.NameConstraints(_permitted(names), None)
    usage = _usage(signs=True)
    made = (
        _builder(name, name, made_key.public_key(), now, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(constraints, critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(made_key.public_key()), False)
        .sign(made_key, hashes.SHA256())
    )
    _write(key_place, _key_bytes(made_key))
    _write(place, made.public_bytes(serialization.Encoding.PEM))
    return made, made_key


def _permitted(names: Sequence[str]) -> list[x509.GeneralName]:
    """Private addresses, names that end in .local, and this machine's own names."""
    own = [n for n in names if not _is_address(n)]
    dns = [x509.DNSName(n) for n in dict.fromkeys(["local", "localhost", *own])]
    return [*dns, *(x509.IPAddress(ip_network(n)) for n in PRIVATE)]


def _holds(folder: Path, authority: x509.Certificate, names: Sequence[str], now: datetime) -> bool:
    place = folder / SERVER
    if not place.exists():
        return False
    found = x509.load_pem_x509_certificate(place.read_bytes())
    said = found.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    known = {str(v) for v in said.get_values_for_type(x509.IPAddress)}
    known |= set(said.get_values_for_type(x509.DNSName))
    fresh = found.not_valid_after_utc > now + timedelta(days=RENEW_DAYS)
    return fresh and found.issuer == authority.subject and set(names) <= known


def _sign_server(
    folder: Path,
    authority: x509.Certificate,
    key: ec.EllipticCurvePrivateKey,
    names: Sequence[str],
    now: datetime,
) -> None:
    own = ec.generate_private_key(ec.SECP256R1())
    said = [
        x509.IPAddress(ip_address(n)) if _is_address(n) else x509.DNSName(n)
        for n in dict.fromkeys([*names, "localhost", "127.0.0.1"])
    ]
    issuer = x509.AuthorityKeyIdentifier.from_issuer_public_key(key.public_key())
    served = (
        _builder(_name("Weatherlap"), authority.subject, own.public_key(), now, SERVER_DAYS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.SubjectAlternativeName(said), critical=False)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(issuer, critical=False)
        .sign(key, hashes.SHA256())
    )
    pem = serialization.Encoding.PEM
    chain = served.public_bytes(pem) + authority.public_bytes(pem)
    _write(folder / SERVER, chain + _key_bytes(own))


def _builder(
    subject: x509.Name,
    issuer: x509.Name,
    public: ec.EllipticCurvePublicKey,
    now: datetime,
    days: int,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - SLACK)
        .not_valid_after(now + timedelta(days=days))
    )


def _name(words: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, words)])


def _usage(*, signs: bool) -> x509.KeyUsage:
    """An authority signs certificates, a server signs its answers."""
    return x509.KeyUsage(
        digital_signature=not signs,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs,
        crl_sign=signs,
        encipher_only=False,
        decipher_only=False,
    )


def _key_bytes(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def _write(place: Path, data: bytes) -> None:
    """Write a file that only its owner can read, whole or not at all."""
    beside = place.with_name(f".{place.name}.{secrets.token_hex(4)}")
    beside.touch(mode=0o600)
    beside.write_bytes(data)
    beside.replace(place)


def _is_address(name: str) -> bool:
    try:
        ip_address(name)
    except ValueError:
        return False
    return True

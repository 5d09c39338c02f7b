"""A certificate for this machine's address, made on the spot: browsers give no microphone to a page without one.

Crosses the border: an address and a folder in, two files out (the key for its owner alone) and the fingerprint.  A certificate that still
holds for the address is used again, so that a phone which was told to trust it once needs not be told each day.
"""

from __future__ import annotations

import os
import ssl
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from hashlib import sha256
from ipaddress import ip_address
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.errors import PhoneError

if TYPE_CHECKING:
    from cryptography.x509 import Certificate

DAYS = 90
"""How long one holds; browsers refuse those of more than 398 days."""
_NAME = "site assistant"


@dataclass(frozen=True, slots=True)
class Credentials:
    """Files in PEM: the certificate and its key."""

    certificate: Path
    key: Path


def own(folder: Path, address: str) -> Credentials:
    """Credentials for an IP address, kept in a folder.  Raises PhoneError when none can be made or kept."""
    found = Credentials(folder / "certificate.pem", folder / "key.pem")
    try:
        if not _holds(found, address):
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            certificate, key = _made(address)
            _write(found.key, key)
            _write(found.certificate, certificate)
    except OSError as error:
        raise PhoneError(f"The certificate cannot be kept in {folder}: {error.strerror or error}.") from error
    return found


def context(credentials: Credentials) -> ssl.SSLContext:
    """For the server's sockets.  Raises PhoneError when the files are no certificate and its key."""
    made = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    made.minimum_version = ssl.TLSVersion.TLSv1_2
    try:
        made.load_cert_chain(credentials.certificate, credentials.key)
    except (OSError, ssl.SSLError) as error:
        raise PhoneError(
            f"{credentials.certificate} and {credentials.key} cannot be used: name a certificate and its key, both in PEM."
        ) from error
    return made


def fingerprint(path: Path) -> str:
    """SHA-256 of the certificate, as browsers show it: pairs of hexadecimal digits with colons between."""
    der = ssl.PEM_cert_to_DER_cert(_first(path.read_text(encoding="ascii")))
    return sha256(der).digest().hex(":").upper()


def _first(pem: str) -> str:
    """The first certificate of a file that may hold a chain."""
    end = "-----END CERTIFICATE-----"
    return pem[pem.index("-----BEGIN CERTIFICATE-----") : pem.index(end) + len(end)]


def _holds(found: Credentials, address: str) -> bool:
    """Whether the files are a pair for this address that still holds tomorrow."""
    if not found.certificate.is_file() or not found.key.is_file():
        return False
    from cryptography import x509

    try:
        certificate = x509.load_pem_x509_certificate(found.certificate.read_bytes())
        context(found)
    except (ValueError, PhoneError):
        return False
    return _addresses(certificate) == [address] and _until(certificate) > datetime.now(timezone.utc) + timedelta(days=1)


def _addresses(certificate: Certificate) -> list[str]:
    from cryptography import x509

    names = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return [str(one) for one in names.get_values_for_type(x509.IPAddress)]


def _until(certificate: Certificate) -> datetime:
    return certificate.not_valid_after_utc


def _made(address: str) -> tuple[bytes, bytes]:
    """(certificate, key) in PEM.  Raises PhoneError without the library."""
    try:
        from cryptography import x509
        from cryptography.hazmat.primitives import hashes, serialization
        from cryptography.hazmat.primitives.asymmetric import ec
        from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID
    except ImportError as error:
        raise PhoneError("A phone needs one more library: pip install 'site-assistant[phone]'.") from error
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, _NAME)])
    now = datetime.now(timezone.utc)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))  # the phone's clock may be behind
        .not_valid_after(now + timedelta(days=DAYS))
        .add_extension(x509.SubjectAlternativeName([x509.IPAddress(ip_address(address))]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(key, hashes.SHA256())
    )
    private = key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    return certificate.public_bytes(serialization.Encoding.PEM), private


def _write(path: Path, data: bytes) -> None:
    path.unlink(missing_ok=True)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(data)

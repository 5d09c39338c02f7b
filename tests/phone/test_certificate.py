"""The certificate made on the spot, read back by a library and by a TLS handshake."""

from __future__ import annotations

import hashlib
import ssl
import stat
from datetime import datetime, timedelta, timezone
from ipaddress import ip_address
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes

from assistant.errors import PhoneError
from assistant.phone import certificate
from assistant.phone.certificate import Credentials, context, fingerprint, own


def read(found: Credentials) -> x509.Certificate:
    return x509.load_pem_x509_certificate(found.certificate.read_bytes())


def test_it_names_the_address_and_holds_for_less_than_browsers_allow(tmp_path: Path) -> None:
    made = read(own(tmp_path / "phone", "192.0.2.7"))
    names = made.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert names.get_values_for_type(x509.IPAddress) == [ip_address("192.0.2.7")]
    assert made.not_valid_after_utc - made.not_valid_before_utc < timedelta(days=398)
    assert made.not_valid_before_utc < datetime.now(timezone.utc) < made.not_valid_after_utc


def test_the_key_is_for_its_owner_alone(tmp_path: Path) -> None:
    found = own(tmp_path / "phone", "127.0.0.1")
    assert stat.S_IMODE(found.key.stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "phone").stat().st_mode) == 0o700
    context(found)


def test_it_is_used_again_until_the_address_changes_or_it_ends(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = own(tmp_path, "192.0.2.7").certificate.read_bytes()
    assert own(tmp_path, "192.0.2.7").certificate.read_bytes() == first
    other = own(tmp_path, "192.0.2.8").certificate.read_bytes()
    assert other != first
    monkeypatch.setattr(certificate, "DAYS", 0.5)
    own(tmp_path, "192.0.2.9")
    ending = own(tmp_path, "192.0.2.9").certificate.read_bytes()
    assert own(tmp_path, "192.0.2.9").certificate.read_bytes() != ending


@pytest.mark.parametrize("name", ["certificate.pem", "key.pem"])
def test_damaged_files_are_made_anew(tmp_path: Path, name: str) -> None:
    own(tmp_path, "127.0.0.1")
    (tmp_path / name).write_bytes(b"\xff nothing")
    context(own(tmp_path, "127.0.0.1"))


def test_the_fingerprint_is_the_one_that_browsers_show(tmp_path: Path) -> None:
    found = own(tmp_path, "127.0.0.1")
    told = fingerprint(found.certificate)
    assert bytes.fromhex(told.replace(":", "")) == read(found).fingerprint(hashes.SHA256())
    assert told.count(":") == hashlib.sha256().digest_size - 1


def test_own_files_that_are_no_pair_are_refused_in_words(tmp_path: Path) -> None:
    one, other = own(tmp_path / "a", "127.0.0.1"), own(tmp_path / "b", "127.0.0.1")
    with pytest.raises(PhoneError, match="name a certificate and its key"):
        context(Credentials(one.certificate, other.key))
    with pytest.raises(PhoneError, match="name a certificate and its key"):
        context(Credentials(tmp_path / "missing", other.key))


def test_old_versions_of_the_protocol_are_not_spoken(tmp_path: Path) -> None:
    assert context(own(tmp_path, "127.0.0.1")).minimum_version >= ssl.TLSVersion.TLSv1_2


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("")
    with pytest.raises(PhoneError, match="cannot be kept"):
        own(tmp_path / "taken" / "phone", "127.0.0.1")

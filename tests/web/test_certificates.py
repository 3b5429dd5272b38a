"""The authority: what it signs, what it cannot vouch for, and what never lies on the disk.

Chains are judged by OpenSSL's own verification (RFC 5280, section 6), not by our reading of them.
"""

from __future__ import annotations

import datetime
import ipaddress
import shutil
import socket
import ssl
import subprocess
import threading
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from fastapi import FastAPI
from web_site import ADDRESS, OPEN, Clock, browser

from overslab.faces.web.certificates import (
    LEAF,
    LEAF_KEY,
    MIDDLE,
    MIDDLE_KEY,
    ROOT,
    Certificates,
    is_private,
    private_name,
)
from overslab.faces.web.site import Site
from overslab.job.store import Store

ADDRESSES = [ipaddress.ip_address("192.168.7.2")]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "keys"


@pytest.fixture
def made(folder: Path) -> Certificates:
    certificates = Certificates(folder, now=lambda: datetime.datetime.now(datetime.UTC))
    certificates.make_authority(host="Truck Laptop.lan")
    certificates.leaf_for(ADDRESSES)
    return certificates


def verified(folder: Path, leaf: Path, *more: str) -> bool:
    """OpenSSL's verdict on a leaf, with our root trusted and our intermediate at hand."""
    program = shutil.which("openssl")
    assert program is not None, "openssl is part of every machine this is tested on"
    command = [program, "verify", "-x509_strict", "-purpose", "sslserver"]
    command += ["-CAfile", str(folder / ROOT), "-untrusted", str(folder / MIDDLE), *more, str(leaf)]
    return subprocess.run(command, capture_output=True, check=False).returncode == 0


def signed_by_middle(folder: Path, *names: x509.GeneralName) -> Path:
    """A leaf that a thief of the intermediate's key would make."""
    middle = x509.load_pem_x509_certificate((folder / MIDDLE).read_bytes())
    key = serialization.load_pem_private_key((folder / MIDDLE_KEY).read_bytes(), None)
    assert isinstance(key, ec.EllipticCurvePrivateKey)
    own = ec.generate_private_key(ec.SECP256R1())
    now = datetime.datetime.now(datetime.UTC)
    leaf = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([]))
        .issuer_name(middle.subject)
        .public_key(own.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - datetime.timedelta(hours=1))
        .not_valid_after(now + datetime.timedelta(days=30))
        .add_extension(x509.SubjectAlternativeName(list(names)), critical=True)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(key.public_key()), critical=False
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(own.public_key()), critical=False)
        .add_extension(
            x509.ExtendedKeyUsage([x509.ExtendedKeyUsageOID.SERVER_AUTH]), critical=False
        )
        .sign(key, hashes.SHA256())
    )
    path = folder / "forged.pem"
    path.write_bytes(leaf.public_bytes(serialization.Encoding.PEM))
    return path


def test_a_phone_that_trusts_the_root_trusts_the_laptop(made: Certificates, folder: Path) -> None:
    assert verified(folder, made.chain_file, "-verify_ip", "192.168.7.2")
    assert verified(folder, made.chain_file, "-verify_hostname", "truck-laptop.local")
    assert not verified(folder, made.chain_file, "-verify_ip", "192.168.7.3")
    assert not verified(folder, made.chain_file, "-verify_hostname", "example.org")


@pytest.mark.parametrize(
    ("name", "good"),
    [
        (x509.DNSName("truck-laptop.local"), True),
        (x509.IPAddress(ipaddress.ip_address("10.200.3.4")), True),
        (x509.IPAddress(ipaddress.ip_address("172.31.255.1")), True),
        (x509.IPAddress(ipaddress.ip_address("fd00::7")), True),
        (x509.DNSName("example.org"), False),
        (x509.DNSName("bank.example"), False),
        (x509.DNSName("local"), False),
        (x509.DNSName("other-laptop.local"), False),
        (x509.IPAddress(ipaddress.ip_address("93.184.216.34")), False),
        (x509.IPAddress(ipaddress.ip_address("172.32.0.1")), False),
        (x509.IPAddress(ipaddress.ip_address("127.0.0.1")), False),
        (x509.IPAddress(ipaddress.ip_address("2001:db8::1")), False),
    ],
)
def test_whoever_steals_the_key_can_vouch_for_this_laptop_only(
    made: Certificates, folder: Path, name: x509.GeneralName, good: bool
) -> None:
    assert made.made
    assert verified(folder, signed_by_middle(folder, name)) == good
    both = signed_by_middle(folder, x509.DNSName("truck-laptop.local"), name)
    assert verified(folder, both) == good


def test_the_limits_are_critical_and_the_chain_is_two_deep(
    made: Certificates, folder: Path
) -> None:
    root = made.root()
    middle = x509.load_pem_x509_certificate((folder / MIDDLE).read_bytes())
    limits = middle.extensions.get_extension_for_class(x509.NameConstraints)
    assert limits.critical
    for one, depth in ((root, 1), (middle, 0)):
        told = one.extensions.get_extension_for_class(x509.BasicConstraints)
        assert told.critical
        assert told.value == x509.BasicConstraints(ca=True, path_length=depth)
    leaf = x509.load_pem_x509_certificate(made.chain_file.read_bytes())
    assert not leaf.extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    life = leaf.not_valid_after_utc - leaf.not_valid_before_utc
    assert life <= datetime.timedelta(days=397)


def test_the_key_of_the_root_is_nowhere(made: Certificates, folder: Path) -> None:
    keys = []
    for path in folder.iterdir():
        if b"PRIVATE KEY" in path.read_bytes():
            key = serialization.load_pem_private_key(path.read_bytes(), None)
            keys.append(key.public_key().public_bytes(*SPKI))
    root = made.root().public_key().public_bytes(*SPKI)
    assert len(keys) == 2
    assert root not in keys


SPKI = (serialization.Encoding.DER, serialization.PublicFormat.SubjectPublicKeyInfo)


def test_keys_are_for_the_owner_alone(made: Certificates, folder: Path) -> None:
    assert made.made
    assert folder.stat().st_mode & 0o777 == 0o700
    names = {path.name for path in folder.iterdir()}
    assert names == {ROOT, MIDDLE, MIDDLE_KEY, LEAF, LEAF_KEY}
    for path in folder.iterdir():
        assert path.stat().st_mode & 0o777 == 0o600


def test_a_leaf_is_made_anew_when_the_address_changes_or_its_end_is_near(
    folder: Path, clock: Clock
) -> None:
    certificates = Certificates(folder, now=clock)
    certificates.make_authority(host="laptop")
    assert certificates.leaf_for(ADDRESSES)
    assert not certificates.leaf_for(ADDRESSES)
    first = certificates.chain_file.read_bytes()
    assert certificates.leaf_for([ipaddress.ip_address("10.0.0.9")])
    assert certificates.chain_file.read_bytes() != first
    clock.forward(days=330)
    assert not certificates.leaf_for([ipaddress.ip_address("10.0.0.9")])
    clock.forward(days=6)
    assert certificates.leaf_for([ipaddress.ip_address("10.0.0.9")])
    assert certificates.made
    clock.forward(days=3000)
    assert not certificates.made, "a leaf of a year would outlive the authority"


@pytest.mark.parametrize("address", ["93.184.216.34", "8.8.8.8", "2001:db8::1", "127.0.0.1"])
def test_no_leaf_for_an_address_that_is_not_private(made: Certificates, address: str) -> None:
    assert not is_private(ipaddress.ip_address(address))
    with pytest.raises(ValueError, match="not private"):
        made.leaf_for([ipaddress.ip_address(address)])


@pytest.mark.parametrize("spoil", [ROOT, MIDDLE, MIDDLE_KEY])
def test_an_authority_with_a_part_missing_is_made_anew(
    made: Certificates, folder: Path, spoil: str
) -> None:
    (folder / spoil).unlink()
    assert not made.made
    (folder / spoil).write_bytes(b"not a certificate")
    assert not made.made
    made.make_authority(host="laptop")
    assert made.made
    made.leaf_for(ADDRESSES)
    assert verified(folder, made.chain_file, "-verify_ip", "192.168.7.2")


@pytest.mark.parametrize(
    ("host", "name"),
    [
        ("Truck Laptop.lan", "truck-laptop.local"),
        ("", "overslab.local"),
        ("---", "overslab.local"),
        ("büro", "b-ro.local"),
        ("x" * 90, "x" * 50 + ".local"),
    ],
)
def test_the_name_of_the_laptop(host: str, name: str) -> None:
    assert private_name(host) == name


def test_a_client_of_another_make_opens_the_line(made: Certificates, folder: Path) -> None:
    """A handshake over TLS by Python's ssl: trusted root, address checked, 1.2 at least."""
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(made.chain_file, made.key_file)
    client = ssl.create_default_context(cafile=str(folder / ROOT))
    near, far = socket.socketpair()

    def answer() -> None:
        with far, server.wrap_socket(far, server_side=True) as line:
            line.sendall(b"hello")

    thread = threading.Thread(target=answer)
    thread.start()
    with near, client.wrap_socket(near, server_hostname="192.168.7.2") as line:
        assert line.recv(5) == b"hello"
        assert line.version() in ("TLSv1.2", "TLSv1.3")
    thread.join()


def test_keys_are_in_no_backup_and_no_export(
    app: FastAPI, store: Store, job: str, tmp_path: Path
) -> None:
    site: Site = app.state.site
    assert site.entrance.certificates.made
    backup = store.backup(tmp_path / "carried")
    store.export_folder(job, tmp_path / "out")
    keys = [path.read_bytes() for path in (tmp_path / "keys").iterdir()]
    hashes_kept = [bytes(row[0]) for row in site.doors.read("select token_hash from session")]
    written = [backup, *(tmp_path / "carried").rglob("*"), *(tmp_path / "out").rglob("*")]
    for path in written:
        if path.is_file():
            content = path.read_bytes()
            assert b"PRIVATE KEY" not in content
            assert not any(key in content for key in [*keys, *hashes_kept])


def test_the_root_can_be_had_by_any_phone_and_holds_no_secret(app: FastAPI) -> None:
    answer = browser(app, at=OPEN).get("/trust/overslab.crt")
    assert answer.headers["content-type"] == "application/x-x509-ca-cert"
    site: Site = app.state.site
    root = x509.load_der_x509_certificate(answer.content)
    assert root == site.entrance.certificates.root()
    told = root.fingerprint(hashes.SHA256()).hex().upper()
    page = browser(app, at=OPEN).get("/trust").text
    assert site.entrance.certificates.fingerprint().replace(" ", "") == told
    assert site.entrance.certificates.fingerprint() in page
    assert ADDRESS in page

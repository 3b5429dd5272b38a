"""https for phones: an authority made at first run that can vouch for this laptop and nothing else.

The root signs one intermediate, limited by critical name constraints (RFC 5280, section 4.2.1.10)
to one private name and to private addresses; then the root's key is forgotten, never having been on
a disk. Whoever steals the rest can pretend to be this laptop on a private network, and no more. The
intermediate signs leaves for the address of the day.
"""

from __future__ import annotations

import datetime
import hashlib
import ipaddress
import os
import re
from collections.abc import Callable, Sequence
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from overslab.faces.web import faults
from overslab.ground.faults import Faulty

ROOT, MIDDLE, LEAF = "root.pem", "middle.pem", "leaf.pem"
MIDDLE_KEY, LEAF_KEY = "middle-key.pem", "leaf-key.pem"
# Private address ranges: RFC 1918, RFC 3927, RFC 4193, RFC 4291 (link-local).
PRIVATE = tuple(
    ipaddress.ip_network(text)
    for text in (
        "10.0.0.0/8",
        "172.16.0.0/12",
        "192.168.0.0/16",
        "169.254.0.0/16",
        "fc00::/7",
        "fe80::/10",
    )
)
AUTHORITY_LIFE = datetime.timedelta(days=3650)
# Phones refuse leaves that live longer than 398 or 825 days, by maker; a year is safe with all.
LEAF_LIFE = datetime.timedelta(days=365)
RENEW_BEFORE = datetime.timedelta(days=30)
_BACKDATED = datetime.timedelta(days=1)  # a phone's clock may be slow

Address = ipaddress.IPv4Address | ipaddress.IPv6Address


def is_private(address: Address) -> bool:
    return any(address in network for network in PRIVATE if network.version == address.version)


def private_name(host: str) -> str:
    """A name for this laptop on its own network, from what the machine is called."""
    plain = re.sub(r"[^a-z0-9-]+", "-", host.partition(".")[0].lower()).strip("-")[:50]
    return f"{plain or 'overslab'}.local"


class Certificates:
    """The authority and the leaf in one folder that only the owner can read."""

    def __init__(self, folder: Path, *, now: Callable[[], datetime.datetime]) -> None:
        self._folder = folder
        self._now = now

    @property
    def chain_file(self) -> Path:
        return self._folder / LEAF

    @property
    def key_file(self) -> Path:
        return self._folder / LEAF_KEY

    @property
    def made(self) -> bool:
        """Whether there is an authority whose parts are all there and not near their end."""
        try:
            middle, _ = self._middle()
            self.root()
        except (OSError, ValueError, TypeError):
            return False
        return self._now() + LEAF_LIFE < middle.not_valid_after_utc

    def root(self) -> x509.Certificate:
        return x509.load_pem_x509_certificate((self._folder / ROOT).read_bytes())

    def make_authority(self, *, host: str) -> None:
        """A new authority; phones that trusted an older one must trust this one anew."""
        name = private_name(host)
        self._prepare()
        root_key = ec.generate_private_key(ec.SECP256R1())
        middle_key = ec.generate_private_key(ec.SECP256R1())
        title = f"overslab on {name.removesuffix('.local')}"
        root_name, middle_name = _titled(f"{title}: root"), _titled(f"{title}: phones")
        root = (
            self._begun(root_name, root_name, root_key.public_key(), AUTHORITY_LIFE)
            .add_extension(x509.BasicConstraints(ca=True, path_length=1), critical=True)
            .add_extension(_usage(signs=True), critical=True)
            .add_extension(
                x509.SubjectKeyIdentifier.from_public_key(root_key.public_key()), critical=False
            )
            .sign(root_key, hashes.SHA256())
        )
        middle = (
            self._begun(middle_name, root_name, middle_key.public_key(), AUTHORITY_LIFE)
            .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
            .add_extension(_usage(signs=True), critical=True)
            .add_extension(
                x509.NameConstraints(
                    permitted_subtrees=[
                        x509.DNSName(name),
                        *(x509.IPAddress(network) for network in PRIVATE),
                    ],
                    excluded_subtrees=None,
                ),
                critical=True,
            )
            .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
            .add_extension(
                x509.SubjectKeyIdentifier.from_public_key(middle_key.public_key()), critical=False
            )
            .add_extension(
                x509.AuthorityKeyIdentifier.from_issuer_public_key(root_key.public_key()),
                critical=False,
            )
            .sign(root_key, hashes.SHA256())
        )
        del root_key  # this was the only place it ever stood
        self._write(MIDDLE_KEY, _key_bytes(middle_key))
        self._write(MIDDLE, middle.public_bytes(serialization.Encoding.PEM))
        self._write(ROOT, root.public_bytes(serialization.Encoding.PEM))
        for stale in (LEAF, LEAF_KEY):
            (self._folder / stale).unlink(missing_ok=True)

    def name(self) -> str:
        """The one name that the authority may vouch for."""
        middle, _ = self._middle()
        limits = middle.extensions.get_extension_for_class(x509.NameConstraints).value
        names = [
            one.value for one in limits.permitted_subtrees or () if isinstance(one, x509.DNSName)
        ]
        return str(names[0])

    def leaf_for(self, addresses: Sequence[Address]) -> bool:
        """See to it that there is a leaf for these addresses and the name; True when a new one was
        made. Raises ``ValueError`` for an address that the authority may not vouch for."""
        foreign = [str(address) for address in addresses if not is_private(address)]
        if foreign:
            raise ValueError(f"not private: {', '.join(foreign)}")
        name = self.name()
        if self._leaf_fits(name, addresses):
            return False
        middle, middle_key = self._middle()
        key = ec.generate_private_key(ec.SECP256R1())
        leaf = (
            self._begun(_titled(name), middle.subject, key.public_key(), LEAF_LIFE)
            .add_extension(
                x509.SubjectAlternativeName(
                    [x509.DNSName(name), *(x509.IPAddress(address) for address in addresses)]
                ),
                critical=False,
            )
            .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
            .add_extension(_usage(signs=False), critical=True)
            .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
            .add_extension(
                x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False
            )
            .add_extension(
                x509.AuthorityKeyIdentifier.from_issuer_public_key(middle_key.public_key()),
                critical=False,
            )
            .sign(middle_key, hashes.SHA256())
        )
        pem = serialization.Encoding.PEM
        self._write(LEAF_KEY, _key_bytes(key))
        self._write(LEAF, leaf.public_bytes(pem) + middle.public_bytes(pem))
        return True

    def fingerprint(self) -> str:
        """SHA-256 of the root as a phone shows it, to be compared by eye."""
        told = hashlib.sha256(self.root().public_bytes(serialization.Encoding.DER)).hexdigest()
        return " ".join(told[at : at + 4].upper() for at in range(0, len(told), 4))

    def root_der(self) -> bytes:
        return self.root().public_bytes(serialization.Encoding.DER)

    def _leaf_fits(self, name: str, addresses: Sequence[Address]) -> bool:
        try:
            leaf = x509.load_pem_x509_certificate(self.chain_file.read_bytes())
            self.key_file.read_bytes()
        except (OSError, ValueError):
            return False
        told = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
        held = {*told.get_values_for_type(x509.DNSName), *told.get_values_for_type(x509.IPAddress)}
        return {name, *addresses} <= held and self._now() + RENEW_BEFORE < leaf.not_valid_after_utc

    def _middle(self) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
        middle = x509.load_pem_x509_certificate((self._folder / MIDDLE).read_bytes())
        key = serialization.load_pem_private_key((self._folder / MIDDLE_KEY).read_bytes(), None)
        if not isinstance(key, ec.EllipticCurvePrivateKey):
            raise TypeError("the intermediate's key is of another kind")
        return middle, key

    def _begun(
        self,
        subject: x509.Name,
        issuer: x509.Name,
        key: ec.EllipticCurvePublicKey,
        life: datetime.timedelta,
    ) -> x509.CertificateBuilder:
        start = self._now() - _BACKDATED
        return (
            x509.CertificateBuilder()
            .subject_name(subject)
            .issuer_name(issuer)
            .public_key(key)
            .serial_number(x509.random_serial_number())
            .not_valid_before(start)
            .not_valid_after(start + life)
        )

    def _prepare(self) -> None:
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            self._folder.chmod(0o700)
        except OSError as trouble:
            raise self._refused(trouble) from None

    def _write(self, name: str, content: bytes) -> None:
        """Readable by the owner alone from the first byte on; whole or not at all."""
        new = self._folder / f"{name}.new"
        try:
            new.unlink(missing_ok=True)
            new.touch(mode=0o600, exist_ok=False)
            with new.open("r+b") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            new.replace(self._folder / name)
        except OSError as trouble:
            raise self._refused(trouble) from None

    def _refused(self, trouble: OSError) -> Faulty:
        why = trouble.strerror or str(trouble)
        return Faulty(faults.CERTIFICATE_FOLDER.met(value=self._folder, why=why))


def _titled(title: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, title[:64])])


def _usage(*, signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=True,
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

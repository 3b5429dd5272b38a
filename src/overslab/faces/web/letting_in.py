"""The front door to the network: shut until the owner opens it, one address, kept in step."""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import anyio
import anyio.to_thread
import ifaddr

from overslab.faces.web.certificates import Certificates, is_private
from overslab.faces.web.doors import Doors

_CHOICE, _LAST = "phones", "addresses"
_LAST_KEPT = 5


class Listeners(Protocol):
    """What really listens; the running server gives it."""

    async def listen(self, address: str) -> None:
        """Answer on this address, http and https, and on no other but loopback."""

    async def leave(self) -> None:
        """Answer on loopback only; open lines from elsewhere are ended."""


@dataclass(frozen=True, slots=True)
class Addresses:
    """Where a phone finds the laptop now. ``open_line`` is plain http."""

    address: str
    name: str
    open_line: str
    secure_line: str


class Entrance:
    """Whether phones may come in, and by which address."""

    def __init__(
        self,
        doors: Doors,
        certificates: Certificates,
        *,
        names: Sequence[str] = (),
        port: int,
        secure_port: int,
        host: str | None = None,
    ) -> None:
        self._doors = doors
        self.certificates = certificates
        self._names = tuple(name.lower() for name in names)
        self._port, self._secure_port = port, secure_port
        self._host = host or socket.gethostname()
        self._listeners: Listeners | None = None
        self._lock = anyio.Lock()
        self.now_at: Addresses | None = None

    def attach(self, listeners: Listeners) -> None:
        self._listeners = listeners

    @property
    def is_open(self) -> bool:
        return self.now_at is not None

    @property
    def was_open(self) -> bool:
        """Whether the owner left the door open when the program last ended."""
        return self._doors.said(_CHOICE) == "in"

    @property
    def can_open(self) -> bool:
        """False where nothing can be listened on: the application alone, without its server."""
        return self._listeners is not None

    def names(self) -> frozenset[str]:
        """Every name that is answered to from the network; none while the door is shut."""
        if self.now_at is None:
            return frozenset()
        return frozenset({bracketed(self.now_at.address), self.now_at.name, *self._names})

    def earlier(self) -> tuple[str, ...]:
        """Addresses this laptop had before, the latest first: unsent shots may sit under them."""
        current = self.now_at.address if self.now_at else ""
        return tuple(one for one in self._doors.said(_LAST).split() if one != current)

    async def open(self, address: str = "") -> Addresses | None:
        """Let phones in at ``address``, or at the one of the network; None without a network."""
        if self._listeners is None:
            return None
        async with self._lock:
            found = await anyio.to_thread.run_sync(addresses_here)
            chosen = address if address in found else (found[0] if found else "")
            self._doors.say(_CHOICE, "in")
            if not chosen:
                return None
            if self.now_at is None or self.now_at.address != chosen:
                await anyio.to_thread.run_sync(self._certify, chosen)
                await self._listeners.listen(chosen)
                self.now_at = Addresses(
                    address=chosen,
                    name=self.certificates.name(),
                    open_line=f"http://{bracketed(chosen)}:{self._port}",
                    secure_line=f"https://{bracketed(chosen)}:{self._secure_port}",
                )
                self._remember(chosen)
            return self.now_at

    async def close(self) -> None:
        """Shut the door and keep it shut."""
        async with self._lock:
            self._doors.say(_CHOICE, "")
            self.now_at = None
            if self._listeners is not None:
                await self._listeners.leave()

    async def follow_network(self) -> bool:
        """When the laptop's address changed, listen on the new one; True when it did."""
        if not self.was_open or self._listeners is None:
            return False
        found = await anyio.to_thread.run_sync(addresses_here)
        if not found or (self.now_at is not None and self.now_at.address in found):
            return False
        await self.open()
        return True

    def _certify(self, address: str) -> None:
        if not self.certificates.made:
            self.certificates.make_authority(host=self._host)
        self.certificates.leaf_for([ipaddress.ip_address(address)])

    def _remember(self, address: str) -> None:
        kept = [address, *(one for one in self._doors.said(_LAST).split() if one != address)]
        self._doors.say(_LAST, " ".join(kept[:_LAST_KEPT]))


def addresses_here() -> list[str]:
    """Private addresses of this machine: the one of the usual way out first, IPv4 before IPv6.

    Addresses that hold only on one cable (link-local) are left out: a phone cannot type them.
    """
    told = [ip.ip for adapter in ifaddr.get_adapters() for ip in adapter.ips]
    found = {ipaddress.ip_address(ip if isinstance(ip, str) else ip[0]) for ip in told}
    usual = _usual_way_out()
    usable = [one for one in found if is_private(one) and not one.is_link_local]
    return [
        str(one)
        for one in sorted(usable, key=lambda one: (one.version, str(one) != usual, int(one)))
    ]


def _usual_way_out() -> str:
    """The address a packet to elsewhere would leave from. Nothing is sent by asking."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # reserved for documentation, RFC 5737
        except OSError:
            return ""
        return str(probe.getsockname()[0])


def bracketed(address: str) -> str:
    """An address as it stands in an address line: IPv6 in brackets."""
    return f"[{address}]" if ":" in address else address

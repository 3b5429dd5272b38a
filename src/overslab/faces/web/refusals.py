"""A request that is refused: a fault in words, and the status that goes with it."""

from __future__ import annotations

from collections.abc import Mapping

from overslab.ground.faults import Fault


class Refused(Exception):
    """Raised anywhere below the gate; becomes a page or JSON with the fault's four parts."""

    def __init__(
        self, fault: Fault, *, status: int, headers: Mapping[str, str] | None = None
    ) -> None:
        self.fault = fault
        self.status = status
        self.headers = dict(headers or {})
        super().__init__(str(fault))

"""Events as a phone would make them. The people and readings are made up."""

from __future__ import annotations

import secrets
from typing import Any

from overslab.job.store import Event

PHONE, OTHER_PHONE = "a" * 32, "b" * 32
NOON = "2026-11-20T12:00:00+01:00"


def event(
    job: str,
    kind: str,
    body: dict[str, Any],
    *,
    seq: int,
    device: str = PHONE,
    id: str | None = None,
    made_at: str = NOON,
) -> Event:
    return Event(
        id=id or secrets.token_hex(16),
        job=job,
        device=device,
        seq=seq,
        kind=kind,
        body=body,
        made_at=made_at,
        who="Sam (made up)",
    )


def shot(
    job: str, point: str = "X1", *, seq: int, reading: str = "4' 6 1/4\"", **more: Any
) -> Event:
    return event(job, "shot-kept", cells(point, reading=reading), seq=seq, **more)


def cells(point: str, *, reading: str = "4' 6 1/4\"", x: str = "3 ft", note: str = "") -> dict:
    return {
        "point": point,
        "x": x,
        "y": "4 ft",
        "grid": "",
        "setup": "1",
        "reading": reading,
        "kind": "floor",
        "note": note,
    }


# A picture of one black point, written out by hand from the rules of the format (ISO 15948).
PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b55"
    "0000000a49444154789c6360000000020001e221bc330000000049454e44ae426082"
)

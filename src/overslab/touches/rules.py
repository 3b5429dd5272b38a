"""The limits that touches are held against, and the owner's own in place of one of them."""

from __future__ import annotations

from dataclasses import replace

from overslab.handbook.limits import Limit

WRITTEN_DOWN = "as written down for this job"


def owners(limit: Limit, value_m: float | None) -> Limit:
    """The owner's value instead of the handbook's, if one was written down."""
    if value_m is None:
        return limit
    return replace(limit, value=value_m, source=WRITTEN_DOWN, edition="", practice=True)

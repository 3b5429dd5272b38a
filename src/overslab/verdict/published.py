"""What published sources say beside the owner's practice, by topic of the handbook."""

from __future__ import annotations

from functools import cache

from overslab.handbook.limits import Limit, limits_for


@cache
def published(*topics: str) -> tuple[Limit, ...]:
    """Every limit of these topics that a source gives; the trade's default is not among them."""
    found = [one for topic in topics for one in limits_for(topic) if one.topic == topic]
    return tuple(dict.fromkeys(one for one in found if not one.practice))

"""When the new floor may be walked on, parked on, loaded: the handbook's days, or the owner's."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass
from typing import Literal

from overslab.handbook.curing import COMPOUND_LIMITS, CURING_LIMITS
from overslab.handbook.limits import Limit
from overslab.handbook.strength import (
    TRAFFIC_LIMITS,
    equivalent_age_arrhenius,
    strength_share_aci_209,
)
from overslab.handbook.working import Working, show
from overslab.price.promises import ProposalTexts

Use = Literal["walk", "cure", "park", "load"]
_HOURS_A_DAY = 24.0


@dataclass(frozen=True, slots=True)
class UseDate:
    """From which day of a use; ``days`` are counted from the day of the pour.

    ``strength`` is the share of the 28-day strength by then, near 70 F, None for a cold floor's
    stretched days and for the end of curing.
    """

    use: Use
    says: str
    days: int
    date: str  # ISO; empty while no day of the pour is set
    owners: bool  # the owner's own number of days
    source: str
    strength: float | None = None
    practice: bool = False  # common practice by the source


@dataclass(frozen=True, slots=True)
class UseAfter:
    """Days of use, in order; ``cold_share`` is what a day is worth beside one at 20 C, if less."""

    dates: tuple[UseDate, ...]
    cold_share: float | None
    workings: tuple[Working, ...]


def use_after(
    texts: ProposalTexts, *, pour_date: str | None, compound: bool, salt: bool
) -> UseAfter:
    """The days of use. A cold spell stretches the handbook's days; warmth never shortens them.

    ``compound``: a curing compound is sprayed, which bears no foot for its own time. ``salt``:
    salt will reach the floor, which wants a longer cure.
    """
    workings: list[Working] = []
    worth = 1.0
    if texts.air_c is not None:
        hour, working = show(
            equivalent_age_arrhenius,
            about="what an hour of cold days is worth",
            temperature_c=(texts.air_c,),
            spell_hours=(1.0,),
        )
        if hour < 1.0:
            worth = float(hour)
            workings.append(working)
    walk, park, load = (
        _limit(TRAFFIC_LIMITS, topic) for topic in ("foot traffic", "car traffic", "heavy traffic")
    )
    first = walk
    walk_days = walk.value
    dry = _limit(COMPOUND_LIMITS, "curing compound and traffic", common=False)
    if compound and dry.value / _HOURS_A_DAY > walk_days:
        first, walk_days = dry, dry.value / _HOURS_A_DAY
    cure = _limit(CURING_LIMITS, "curing with salt" if salt else "curing", common=not salt)
    found: list[UseDate] = []
    asked: tuple[tuple[Use, str, float, Limit, int | None], ...] = (
        ("walk", "walk on it", walk_days, first, texts.walk_days),
        ("park", "park a car on it", park.value, park, texts.park_days),
        ("load", "full load on it", load.value, load, texts.load_days),
    )
    for use, says, days, limit, own in asked:
        least = math.ceil(days / worth - 1e-9)
        share: float | None = None
        count = least if own is None else own
        if worth == 1.0 and count > 0:
            share, working = show(
                strength_share_aci_209, about=f"strength, {says}", age_days=float(count)
            )
            workings.append(working)
        day = _day(pour_date, count)
        owners = own is not None
        found.append(UseDate(use, says, count, day, owners, limit.source, share, limit.practice))
    own = texts.cure_days
    curing = math.ceil(cure.value / worth - 1e-9) if own is None else own
    kept = UseDate(
        "cure",
        "end of the cure",
        curing,
        _day(pour_date, curing),
        own is not None,
        cure.source,
        practice=cure.practice,
    )
    return UseAfter(
        tuple(sorted((*found, kept), key=lambda one: one.days)),
        None if worth == 1.0 else worth,
        tuple(workings),
    )


def _limit(table: tuple[Limit, ...], topic: str, *, common: bool = True) -> Limit:
    """The limit of a topic that common practice holds to, or the only one of it."""
    of_topic = [one for one in table if one.topic == topic]
    return next(one for one in of_topic if one.practice or not common)


def _day(pour_date: str | None, days: int) -> str:
    if not pour_date:
        return ""
    day = datetime.date.fromisoformat(pour_date) + datetime.timedelta(days=days)
    return day.isoformat()

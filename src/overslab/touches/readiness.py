"""Who waits for whom: the list that holds the pour date until everything on it is done."""

from __future__ import annotations

from collections.abc import Iterable

from overslab.touches.records import FloorDrain, Ready, Touch, Trade

# In the order in which they come to the site.
TRADES: tuple[Trade, ...] = (
    "owner",
    "plumber",
    "electrician",
    "heating fitter",
    "carpenter",
    "door technician",
    "crew",
)
SIGNED = "the heights at doors, stairs, drains and walls are signed by the owner"
ASKED = "the local office has said which rules hold here, and what it will look at"
FROZEN = "the heights are shot again and the grade sheet is frozen"


def trades_in(touches: Iterable[Touch]) -> tuple[Trade, ...]:
    """Trades with something to do, in order of work."""
    busy = {remedy.trade for touch in touches for remedy in touch.remedies}
    return tuple(trade for trade in TRADES if trade in busy)


def readiness(
    touches: tuple[Touch, ...],
    *,
    drains: tuple[FloorDrain, ...],
    put_right: tuple[str, ...] = (),
) -> tuple[Ready, ...]:
    """What must be done before a pour date is set; every entry stands after what it waits for.

    What the verdict on the old slab wants put right waits for nobody. Trades wait for the signed
    heights, at one touch in the order in which they come to the site; the last look at the heights
    waits for all. Empty when the floor meets nothing and nothing is to be put right.
    """
    found: list[Ready] = [Ready(what, "crew", about="the old slab") for what in put_right]
    if not touches:
        return tuple(found)
    if any(not check.passes for touch in touches for check in touch.checks):
        # First, for what the office says may change the heights that the owner signs.
        found.append(Ready(ASKED, "owner"))
    waits = tuple(one.what for one in found if one.what == ASKED)
    found.append(Ready(SIGNED, "owner", waits))
    for touch in touches:
        found += _of_touch(touch, drains=drains)
    found.append(Ready(FROZEN, "crew", tuple(one.what for one in found)))
    return tuple(found)


def _of_touch(touch: Touch, *, drains: tuple[FloorDrain, ...]) -> list[Ready]:
    found: list[Ready] = []
    waits: tuple[str, ...] = (SIGNED,)
    for one in drains:
        if one.name == touch.name and one.plan == "bury" and one.may_be_abandoned != "yes":
            what = f"the local office has said in writing that {one.name} may be given up"
            found.append(Ready(what, "owner", about=touch.name))
            waits = (*waits, what)
    told = dict.fromkeys((one.trade, one.ready) for one in touch.remedies if one.ready)
    for trade, what in sorted(told, key=lambda pair: TRADES.index(pair[0])):
        before = tuple(one.what for one in found if one.what not in waits and one.trade != trade)
        found.append(Ready(what, trade, (*waits, *before), touch.name))
    return found

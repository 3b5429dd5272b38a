"""Cover over and under the steel, held against the thinnest place of the new concrete."""

from __future__ import annotations

from overslab.ground.notes import Assumption
from overslab.handbook.checks import Check
from overslab.takeoff.asked import BarsAsked, WireAsked

ASKED = "asked for by the owner; published covers differ, see the handbook on reinforcement"
_SLACK_M = 1e-6
# Sheets lie on each other at a lap, each two wires high.
_WIRES_AT_LAP = 4

WIRE_ON_BARS = Assumption(
    about="wire and bars together",
    taken="the bars lie below, on the supports if there are any, and the wire lies on the bars",
    because="both are asked for, and not which of them lies below; the wire has no supports of "
    "its own",
)


def stack_m(asked: WireAsked | BarsAsked) -> float:
    """Steel from lowest to highest: two sheets at a lap of wire, both ways of bars."""
    if isinstance(asked, WireAsked):
        return _WIRES_AT_LAP * asked.wire_diameter_m
    return (2 if asked.across else 1) * asked.diameter_m


def room_for_steel(
    *, thinnest_m: float | None, stack_m: float, cover_top_m: float, cover_bottom_m: float
) -> tuple[Check, ...]:
    """Whether steel and both covers find room in the thinnest place.

    ``stack_m`` is the steel from its lowest to its highest point, where most of it lies on top of
    each other. Empty when the thinnest place is not known.
    """
    if thinnest_m is None:
        return ()
    return (
        Check(
            name="cover and steel in the thinnest place",
            quantity="thickness_m",
            found=thinnest_m,
            comparison="at least",
            allowed=cover_top_m + stack_m + cover_bottom_m,
            source=ASKED,
            slack=_SLACK_M,
        ),
    )


def cover_on_supports(
    *,
    thinnest_m: float | None,
    stack_m: float,
    height_m: float,
    cover_top_m: float,
    cover_bottom_m: float,
) -> tuple[Check, ...]:
    """Cover under and over steel that lies on supports of ``height_m``, in the thinnest place."""
    under = Check(
        name="cover under the steel, by the height of its supports",
        quantity="cover_m",
        found=height_m,
        comparison="at least",
        allowed=cover_bottom_m,
        source=ASKED,
        slack=_SLACK_M,
    )
    if thinnest_m is None:
        return (under,)
    over = Check(
        name="cover over the steel in the thinnest place",
        quantity="cover_m",
        found=thinnest_m - height_m - stack_m,
        comparison="at least",
        allowed=cover_top_m,
        source=ASKED,
        slack=_SLACK_M,
    )
    return (under, over)


def room_for_both(
    wire: WireAsked, bars: BarsAsked, *, thinnest_m: float, height_m: float | None
) -> tuple[Check, ...]:
    """Wire that lies on bars, by their common height; ``height_m`` of supports under the bars.

    Each keeps its own cover to the faces; the other's steel may lie in it.
    """
    high = stack_m(wire) + stack_m(bars)
    over = max(wire.cover_top_m, bars.cover_top_m - stack_m(wire))
    under = max(bars.cover_bottom_m, wire.cover_bottom_m - stack_m(bars))
    room = Check(
        name="covers, bars and the wire on them in the thinnest place",
        quantity="thickness_m",
        found=thinnest_m,
        comparison="at least",
        allowed=over + high + under,
        source=ASKED,
        slack=_SLACK_M,
    )
    if height_m is None:
        return (room,)
    on_supports = Check(
        name="cover over the wire that lies on the bars, in the thinnest place",
        quantity="cover_m",
        found=thinnest_m - height_m - high,
        comparison="at least",
        allowed=over,
        source=ASKED,
        slack=_SLACK_M,
    )
    return (room, on_supports)

"""Cover over and under the steel, held against the thinnest place of the new concrete."""

from __future__ import annotations

from overslab.handbook.checks import Check

ASKED = "asked for by the owner; published covers differ, see the handbook on reinforcement"
_SLACK_M = 1e-6


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

"""Building checks: heights before and after a topping, risers, ramps, steps, held against limits.

Every check is found beside allowed; none of them replaces the inspector.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from overslab.ground.units import to_si
from overslab.handbook import building
from overslab.handbook.checks import Check
from overslab.handbook.limits import Limit
from overslab.handbook.publications import ADA_2010
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

# Sums of inches in metres miss by less than this; it is no part of any rule.
_HAIR_M = 1e-9
# A bevel is this flat or flatter to count as one: rise over run.
BEVEL = 0.5
_GEOMETRY = "geometry"


@formula(
    equation="a = b - t",
    symbols={"before_m": "b", "topping_m": "t"},
    result=("after_m", "a"),
    source=f"{_GEOMETRY}: whatever stands still above a raised floor comes nearer by the topping",
    known="derived",
    valid="headroom, first riser up, drop to the floor, flame, siding, outlets; below 0 it is under"
    " the new floor",
    # By hand: a flame at 18-1/2 in, floor raised by 5/8 in.
    example={"before_m": 18.5, "topping_m": 0.625},
    example_result=17.875,
    printed_in={"before_m": "in", "topping_m": "in", "after_m": "in"},
)
def height_after_topping(*, before_m: float, topping_m: float) -> float:
    """Height of something above the floor after a topping."""
    hold(within("before_m", before_m), within("topping_m", topping_m), source=_GEOMETRY)
    return before_m - topping_m


def check_after_topping(
    limit: Limit,
    *,
    before_m: float,
    topping_m: float,
    where: str = "",
    at: tuple[float, float] | None = None,
) -> Check:
    """A height above the floor, less the topping, against a limit such as ``building.IGNITION``."""
    after = height_after_topping(before_m=before_m, topping_m=topping_m)
    return limit.check(found=after, where=where, at=at)


def risers_after(
    *, risers_m: Sequence[float], foot_raised_m: float = 0.0, head_raised_m: float = 0.0
) -> tuple[float, ...]:
    """Risers from the foot up after the floor at the foot or at the head has come up.

    The first riser loses what the floor at the foot gains; the last gains what its head gains.
    """
    hold(
        within("risers_count", len(risers_m), least=1),
        *(within("risers_m", riser, above=0, unit="in") for riser in risers_m),
        source=_GEOMETRY,
    )
    risers = list(risers_m)
    risers[0] -= foot_raised_m
    risers[-1] += head_raised_m
    return tuple(risers)


def riser_checks(
    *, risers_m: Sequence[float], most: Limit = building.RISER_MOST, where: str = ""
) -> tuple[Check, ...]:
    """The greatest riser and the difference within the flight, each found against allowed."""
    hold(within("risers_count", len(risers_m), least=1), source=_GEOMETRY)
    return (
        most.check(found=max(risers_m), where=where),
        building.RISER_DIFFERENCE.check(found=max(risers_m) - min(risers_m), where=where),
    )


@formula(
    equation="n = H/r, up to a whole number",
    symbols={"rise_m": "H", "riser_m": "r"},
    result=("riser_count", "n"),
    source=_GEOMETRY,
    known="derived",
    valid="rise of the whole flight; at least one riser",
    # By hand: 58 in at 7-3/4 in at most.
    example={"rise_m": 58.0, "riser_m": 7.75},
    example_result=8,
    printed_in={"rise_m": "in", "riser_m": "in"},
)
def riser_count(*, rise_m: float, riser_m: float) -> int:
    """Fewest risers that climb a height."""
    hold(
        within("rise_m", rise_m, above=0, unit="in"),
        within("riser_m", riser_m, above=0, unit="in"),
        source=_GEOMETRY,
    )
    return max(ceil(rise_m / riser_m - _HAIR_M), 1)


@formula(
    equation="r = H/n",
    symbols={"rise_m": "H", "risers": "n"},
    result=("riser_m", "r"),
    source=_GEOMETRY,
    known="derived",
    valid="all risers of the flight alike",
    # By hand: 58 in in 8 risers.
    example={"rise_m": 58.0, "risers": 8},
    example_result=7.25,
    printed_in={"rise_m": "in", "riser_m": "in"},
)
def even_riser(*, rise_m: float, risers: int) -> float:
    """Height of each riser when a flight is evened out."""
    hold(
        within("rise_m", rise_m, above=0, unit="in"),
        within("risers", risers, least=1),
        source=_GEOMETRY,
    )
    return rise_m / risers


@formula(
    equation="L = H/s",
    symbols={"rise_m": "H", "slope": "s"},
    result=("run_m", "L"),
    source=f"{ADA_2010}, section 405.2: 1:12",
    known="read",
    valid="level from end to end; landings come to it",
    # By hand: 2-1/2 in at 1:12.
    example={"rise_m": 0.0635, "slope": 1 / 12},
    example_result=0.762,
)
def ramp_run(*, rise_m: float, slope: float) -> float:
    """Length of a ramp that climbs a height."""
    hold(
        within("rise_m", rise_m, least=0, unit="in"),
        within("slope", slope, above=0),
        source=ADA_2010,
    )
    return rise_m / slope


def ramp_limit(*, rise_m: float, existing: bool) -> Limit:
    """The steepest ramp on an accessible way; existing sites allow more for a small rise."""
    if existing and rise_m <= to_si(3, "in") + _HAIR_M:
        return building.RAMP_SLOPE_3_IN
    if existing and rise_m <= to_si(6, "in") + _HAIR_M:
        return building.RAMP_SLOPE_6_IN
    return building.RAMP_SLOPE_ADA


def ramp_checks(
    *, rise_m: float, run_m: float, existing: bool = False, where: str = ""
) -> tuple[Check, ...]:
    """Slope and rise of one run of a ramp on an accessible way."""
    hold(
        within("rise_m", rise_m, least=0, unit="in"),
        within("run_m", run_m, above=0, unit="ft"),
        source=ADA_2010,
    )
    limit = ramp_limit(rise_m=rise_m, existing=existing)
    return (
        limit.check(found=rise_m / run_m, where=where),
        building.RAMP_RISE.check(found=rise_m, where=where),
    )


def level_change_check(*, step_m: float, bevel_slope: float | None, where: str = "") -> Check:
    """A change of level on an accessible way; ``bevel_slope`` is rise over run, None if upright.

    A bevel steeper than 1:2 counts as upright. What fails a bevel needs a ramp.
    """
    hold(within("step_m", step_m, least=0, unit="in"), source=ADA_2010)
    beveled = bevel_slope is not None and bevel_slope <= BEVEL + _HAIR_M
    limit = building.STEP_BEVELED if beveled else building.STEP_SQUARE
    return limit.check(found=step_m, where=where)


def door_drop_check(
    *, drop_m: float, required_exit: bool, outside: bool, swings_over: bool, where: str = ""
) -> Check:
    """Drop from the top of a threshold to the floor or landing beside it.

    ``required_exit``: the door that the code requires as the way out; ``outside``: the drop is on
    the outer side; ``swings_over``: the door swings over that side.
    """
    hold(within("drop_m", drop_m), source=building.EXIT_DROP.source)
    if not required_exit:
        limit = building.OTHER_DOOR_DROP
    elif outside and not swings_over:
        limit = building.EXIT_DROP_OUTSIDE
    else:
        limit = building.EXIT_DROP
    return limit.check(found=drop_m, where=where)

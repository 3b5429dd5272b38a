"""Against what else: the overlay beside tearing out, lifting, grinding and doing nothing.

Every way has its own takeoff and is priced from the same rates by the same rules. Nothing is
guessed: where a rate or the thickness of the old slab is missing there is no price, and what is
missing is named.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from overslab.ground.units import Units, write_thickness
from overslab.handbook.strength import TRAFFIC_LIMITS
from overslab.newtop.records import NewTop
from overslab.oldslab.records import OldSlab
from overslab.order.records import Order
from overslab.price.grinding import grind_and_patch
from overslab.price.lifting import lift_up
from overslab.price.problems import problems_of
from overslab.price.records import Alternative, BidLine, Measured, Rates
from overslab.price.tearing_out import tear_out
from overslab.price.ways import AFTER_POUR, Case, ConcreteOf, PriceOf, waiting
from overslab.takeoff.records import Takeoff
from overslab.touches.records import Touches
from overslab.verdict.records import Verdict

CAR_DAYS = next(one for one in TRAFFIC_LIMITS if one.topic == "car traffic" and one.practice)


def against(
    takeoff: Takeoff,
    order: Order,
    rates: Rates,
    *,
    oldslab: OldSlab,
    newtop: NewTop,
    verdict: Verdict,
    touches: Touches | None,
    units: Units,
    own_lines: Sequence[BidLine],
    own_price: Decimal | None,
    price_of: PriceOf,
    concrete_of: ConcreteOf,
    park_days: float | None = None,
) -> tuple[Alternative, ...]:
    """Every way, the overlay first.

    ``own_lines`` and ``own_price`` are those of the overlay; ``price_of`` turns lines into what is
    asked, ``concrete_of`` gives the plant's bill for an amount to order. ``park_days`` are the
    owner's own days from pour to cars.
    """
    case = Case(
        order=order,
        rates=rates,
        oldslab=oldslab,
        newtop=newtop,
        verdict=verdict,
        units=units,
        own_lines=tuple(own_lines),
        own_m3=takeoff.total.volume_m3.mean,
        problems=problems_of(oldslab, verdict, units, fall=newtop.wishes.least_fall),
        price_of=price_of,
        concrete_of=concrete_of,
        park_days=CAR_DAYS.value if park_days is None else park_days,
    )
    return (
        _overlay(case, takeoff, touches, own_price),
        tear_out(case),
        lift_up(case),
        grind_and_patch(case),
        _nothing(case),
    )


def _overlay(
    case: Case, takeoff: Takeoff, touches: Touches | None, own_price: Decimal | None
) -> Alternative:
    possible = case.verdict.ruling != "do not pour over this"
    ledger = case.ledger()
    ledger.keep(case.own_lines)
    before = ledger.hours - ledger.hours_of(AFTER_POUR)
    total, units = takeoff.total, case.units
    rise = f"The floor rises by {write_thickness(total.mean_thickness_m, units)} on average"
    leaves = list(case.problems.below)
    failing = 0 if touches is None else len(touches.failing)
    if failing:
        where = "one place" if failing == 1 else f"{failing} places"
        leaves.append(f"{rise}: doors, steps or walls to put right in {where}.")
    else:
        leaves.append(f"{rise}.")
    return Alternative(
        code="overlay",
        title="New slab over the old one",
        possible=possible,
        price=own_price if possible else None,
        lines=case.own_lines,
        days_out_of_use=ledger.days(before) + case.park_days if possible else None,
        solves=(*case.problems.on_top, f"A new surface with its fall, {case.problems.falls}."),
        leaves=tuple(leaves),
        why=f"New concrete {write_thickness(total.thinnest_m, units)} to "
        f"{write_thickness(total.thickest_m, units)} thick goes over the old slab"
        f"{_bound(case.verdict)}."
        if possible
        else "The old slab is not to be poured over: see the verdict.",
        measured=(
            Measured("concrete in place", "volume_m3", total.volume_m3.mean),
            Measured("area", "area_m2", total.area_m2),
        ),
        assumptions=(waiting(case.park_days),),
    )


def _bound(verdict: Verdict) -> str:
    """How the two slabs lie on each other, and what comes first."""
    how = "" if verdict.system is None else f", {verdict.system}"
    first = verdict.ruling == "put these right first"
    return f"{how}, once what the survey found is put right" if first else how


def _nothing(case: Case) -> Alternative:
    problems = case.problems
    return Alternative(
        code="nothing",
        title="Do nothing",
        possible=True,
        price=Decimal(0),
        lines=(),
        days_out_of_use=0.0,
        solves=(),
        leaves=(*problems.stays, *problems.in_slab, *problems.deep)
        or ("Nothing was found that must be put right.",),
        why="Costs nothing today. What it costs later is not told here.",
        measured=(
            Measured("water that stands", "volume_m3", problems.water_m3),
            Measured("deepest water", "thickness_m", problems.deepest_m),
            Measured("steps over the limit", "steps_count", problems.steps),
            Measured("hollow", "area_m2", case.verdict.hollow_m2),
        ),
    )

"""Tear out and replace: its own takeoff, from the old slab on the truck to the new one from grade.

The new slab gets the drawn top: the same heights at doors and the same falls. Under it everything
down to the old ground is gravel, tamped.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from overslab.ground.notes import Assumption
from overslab.ground.units import write_thickness, write_volume
from overslab.handbook.other_ways import (
    DUG_SWELL,
    GRAVEL_LOST,
    NEW_SLAB,
    SWELL,
    loose_volume,
)
from overslab.handbook.working import Working, show
from overslab.newtop.records import NewTop
from overslab.oldslab.records import OldSlab
from overslab.order.records import Plant
from overslab.price.chain import to_cents
from overslab.price.concreting import loads_of, number_of
from overslab.price.costing import SHORT_AND_OVER
from overslab.price.ledger import Ledger, WorkAsked
from overslab.price.records import Alternative, BidLine, Measured
from overslab.price.ways import AFTER_POUR, NO_THICKNESS, Case, waiting

# What only a top over an old slab needs, and what is taken anew here.
_OF_OVERLAY = frozenset(
    {
        "prepare-surface",
        "bond",
        "bonding-agent",
        "lay-breaker",
        "breaker",
        "breaker-tape",
        "fill",
        "patch",
        "place",
    }
)


@dataclass(frozen=True, slots=True)
class TearOut:
    """Volumes in place unless they are said to be loose."""

    area_m2: float
    sawn_m: float  # round the floor and round every post
    old_slab_m3: float
    broken_loose_m3: float
    dug_m3: float  # ground that stands too high for the new slab
    dug_loose_m3: float
    gravel_m3: float  # tamped
    gravel_loose_m3: float
    new_slab_m3: float
    new_thickness_m: float
    old_thickness_m: float
    workings: tuple[Working, ...] = ()


def take_off_tear_out(
    oldslab: OldSlab,
    newtop: NewTop,
    *,
    old_thickness_m: float,
    new_thickness_m: float = NEW_SLAB.value,
) -> TearOut:
    """What tearing out takes. Raises ``ValueError`` where no top is drawn."""
    top = newtop.top
    if top is None or top.surface is None:
        raise ValueError("no top is drawn")
    floor = oldslab.plan.polygon()
    lattice = oldslab.lattice
    cell_m2 = floor.area / float(lattice.inside.sum())
    over_m = top.surface.height_m(lattice.points_m) - oldslab.heights_m[lattice.inside]
    # From the underside of the new slab down to the ground that the old one lies on.
    room_m = over_m + old_thickness_m - new_thickness_m
    gravel_m3 = float(np.maximum(room_m, 0.0).sum() * cell_m2)
    dug_m3 = float(np.maximum(-room_m, 0.0).sum() * cell_m2)
    old_m3 = float(floor.area) * old_thickness_m
    broken_m3, broken = show(
        loose_volume,
        about="old slab, broken, on the truck",
        in_place_m3=old_m3,
        swell_share=SWELL.value,
    )
    loose_m3, gravel = show(
        loose_volume,
        about="gravel to buy",
        in_place_m3=gravel_m3,
        swell_share=GRAVEL_LOST.value,
    )
    return TearOut(
        area_m2=float(floor.area),
        sawn_m=float(floor.length),
        old_slab_m3=old_m3,
        broken_loose_m3=broken_m3,
        dug_m3=dug_m3,
        dug_loose_m3=loose_volume(in_place_m3=dug_m3, swell_share=DUG_SWELL.value),
        gravel_m3=gravel_m3,
        gravel_loose_m3=loose_m3,
        new_slab_m3=float(floor.area) * new_thickness_m,
        new_thickness_m=new_thickness_m,
        old_thickness_m=old_thickness_m,
        workings=(broken, gravel),
    )


def tear_out(case: Case) -> Alternative:
    title = "Tear out and pour anew"
    known_m = case.verdict.old_thickness_m
    solves = (
        *case.problems.on_top,
        *(("Cracks and hollow places go with the old slab.",) if case.problems.in_slab else ()),
        f"A new slab with its fall, {case.problems.falls}, on gravel that we have tamped.",
    )
    leaves = [f"Before any cut: {reason}" for reason in case.verdict.no_drilling]
    leaves += list(case.problems.deep)
    leaves.append("Noise, dust and trucks; walls and doors stand beside an open pit for days.")
    if known_m is None:
        return Alternative(
            "tear-out", title, True, None, (), None, solves, tuple(leaves),
            "Can be done; it cannot be priced before the thickness of the old slab is known.",
            missing=(NO_THICKNESS,),
        )  # fmt: skip
    out = take_off_tear_out(case.oldslab, case.newtop, old_thickness_m=known_m)
    ledger = case.ledger()
    loads = _tear_out_lines(case, ledger, out)
    before = ledger.hours - ledger.hours_of(AFTER_POUR)
    days = ledger.days(before)
    ledger.charges("tear-out", hours=ledger.hours, days=ledger.days(ledger.hours), loads=loads,
                   pours=1)  # fmt: skip
    units = case.units
    return Alternative(
        code="tear-out",
        title=title,
        possible=True,
        price=case.priced(ledger),
        lines=tuple(ledger.lines),
        days_out_of_use=days + case.park_days,
        solves=solves,
        leaves=tuple(leaves),
        why=f"{write_volume(out.old_slab_m3, units)} of old slab goes off, "
        f"{write_volume(out.gravel_m3, units)} of gravel goes in, and a slab of "
        f"{write_thickness(out.new_thickness_m, units)} goes on top, with the same heights at "
        "doors as drawn.",
        missing=tuple(ledger.missing),
        measured=(
            Measured("sawn", "length_m", out.sawn_m),
            Measured("old slab in place", "volume_m3", out.old_slab_m3),
            Measured("the same on the truck", "volume_m3", out.broken_loose_m3),
            Measured("ground dug off", "volume_m3", out.dug_m3),
            Measured("gravel, tamped", "volume_m3", out.gravel_m3),
            Measured("gravel to buy", "volume_m3", out.gravel_loose_m3),
            Measured("new slab", "volume_m3", out.new_slab_m3),
        ),
        assumptions=(
            Assumption(
                "old slab",
                write_thickness(out.old_thickness_m, units),
                "as found; taken to be the same everywhere, with no void below",
            ),
            Assumption(
                "new slab from grade",
                write_thickness(out.new_thickness_m, units),
                "common practice for cars; nobody has said another one",
            ),
            Assumption("swell of broken concrete", f"{SWELL.value:.0%}", "common practice"),
            Assumption("gravel lost to tamping", f"{GRAVEL_LOST.value:.0%}", "common practice"),
            waiting(case.park_days),
        ),
        workings=out.workings,
    )


def _tear_out_lines(case: Case, ledger: Ledger, out: TearOut) -> int:
    """Puts the lines down; gives the loads of concrete."""
    plant = case.order.plant
    amount_m3 = amount_for(out.new_slab_m3, plant)
    charges = {flat.code for flat in case.rates.flat}
    kept = [
        _as_here(line, share=out.new_slab_m3 / case.own_m3)
        for line in case.own_lines
        if line.group != "concrete" and line.code not in _OF_OVERLAY | charges
    ]
    for asked in (
        WorkAsked("saw-out", "saw the old slab free", "length_m", out.sawn_m,
                  "round the floor and every post"),
        WorkAsked("break-out", "break the old slab and load it", "volume_m3", out.old_slab_m3,
                  "area times thickness found"),
        WorkAsked("dig-out", "dig ground that stands too high", "volume_m3", out.dug_m3,
                  "above the underside of the new slab"),
        WorkAsked("spread-base", "spread and tamp gravel", "volume_m3", out.gravel_m3,
                  "from the old ground up to the new slab"),
        WorkAsked("grade-base", "grade the base", "area_m2", out.area_m2, "the whole floor"),
        WorkAsked("place", "place and strike concrete", "volume_m3", out.new_slab_m3,
                  "the new slab"),
    ):  # fmt: skip
        ledger.work(asked)
    ledger.stuff("haul-away", "haul off and dump", "haul",
                 volume_m3=out.broken_loose_m3 + out.dug_loose_m3,
                 why="old slab and ground, loose as they lie on the truck")  # fmt: skip
    ledger.stuff("base-gravel", "gravel for the base", "material",
                 volume_m3=out.gravel_loose_m3, why="loose, before tamping")  # fmt: skip
    ledger.keep(case.concrete_of(amount_m3))
    ledger.keep(kept)
    return len(loads_of(amount_m3, plant))


def _as_here(line: BidLine, *, share: float) -> BidLine:
    """A line of the overlay as it stands in this way; fibre goes by the volume of concrete."""
    if line.code == SHORT_AND_OVER:
        return replace(line, why="taken as for the new slab over the old one")
    if line.code == "fibre":
        number = number_of(float(line.number) * share)
        return replace(line, number=number, amount=to_cents(number * line.each))
    return line


def amount_for(in_place_m3: float, plant: Plant) -> float:
    """What to order for a slab on a graded base: with the plant's losses, in whole steps."""
    needed_m3 = in_place_m3 * (1.0 + plant.loss.mean)
    return math.ceil(needed_m3 / plant.order_step_m3 - 1e-9) * plant.order_step_m3

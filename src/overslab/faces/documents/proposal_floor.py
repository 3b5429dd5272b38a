"""The parts of a proposal that tell of the floor: what is wrong, what is proposed, what changes."""

from __future__ import annotations

import re

from overslab.faces.documents.blocks import Bullets, Column, Facts, Heading, Para, Table
from overslab.faces.documents.proposal_drawings import MOST_DOORS, plate
from overslab.faces.documents.proposal_parts import Part, PartBlock, own_words
from overslab.faces.documents.words import counted
from overslab.ground.units import (
    write_area,
    write_by_suffix,
    write_height,
    write_length,
    write_slope,
    write_thickness,
    write_volume,
)
from overslab.job.records import Walk
from overslab.job.touchfacts import touch_facts_for
from overslab.newtop.records import TopOption
from overslab.touches.records import Stair, Touch, Touches, TouchFacts

_RATE_OF = re.compile(r'\[\[\w+\]\] "([^"]+)"')
_IN_TIME = ("before the pour", "during the pour", "after the pour")
_SYSTEMS = {
    "unbonded": (
        "New concrete over the old floor, lying free on a sheet (unbonded): the two can move apart "
        "from each other, so that old cracks need not come through."
    ),
    "bonded": (
        "New concrete bonded to the old floor, so that the two work as one: joints of the old "
        "floor are carried through, and cracks that move come through."
    ),
}


def movement_warnings(walk: Walk) -> tuple[str, ...]:
    """What speaks of a floor that may go on moving; told before anything else."""
    found, told = walk.job.findings, []
    if walk.verdict.ruling == "do not pour over this":
        told.append(
            "As the floor was found, we do not pour over it. This proposal shows what would be "
            "built once that is put right; nothing is booked before."
        )
    elif walk.verdict.ruling == "put these right first":
        told.append(
            "Before the new floor is poured, this has to be put right: "
            f"{'; '.join(one.rstrip('.') for one in walk.verdict.put_right)}."
        )
    cause = f" ({found.cause})" if found.cause else ""
    if found.still_moving == "yes" or found.cause_cured == "no":
        told.append(
            f"What moved the old floor{cause} is still at work. The new floor lies on the old one "
            "and moves with it: new cracks, steps and puddles can come, and no thickness of "
            "concrete prevents that."
        )
    elif found.still_moving == "not known" or found.cause_cured == "not known":
        told.append(
            f"Nobody has shown yet that what moved the old floor{cause} has come to an end. If it "
            "has not, the new floor moves with the old one."
        )
    return tuple(told)


def problem(walk: Walk, *, wide: float) -> Part:
    """The problem, with the map of standing water."""
    old, units, found = walk.oldslab, walk.job.units, walk.job.findings
    blocks: list[PartBlock] = [*own_words(walk.job.proposal.problem)]
    told = (
        f"We measured the floor on {walk.job.date}: {write_area(old.area_m2, units)}, its lowest "
        f"place {write_thickness(old.highest_m - old.lowest_m, units)} lower than its highest. "
    )
    if old.low_spots:
        deepest = max(old.low_spots, key=lambda spot: spot.depth_m)
        area = write_area(sum(spot.area_m2 for spot in old.low_spots), units)
        told += (
            f"Water stands in {counted(len(old.low_spots), 'place', 'places')}, on {area} in all, "
            f"and {write_thickness(deepest.depth_m, units)} deep at the deepest."
        )
    else:
        told += "By these measurements no water stands on it."
    blocks.append(Para(told))
    if found.cause:
        ended = {
            "yes": "As far as could be found out, that has come to an end.",
            "no": "That has not come to an end.",
            "not known": "Whether that has come to an end, nobody has shown.",
        }[found.cause_cured]
        blocks.append(Para(f"Why it sank, as we believe: {found.cause}. {ended}"))
    if (drawn := plate(walk, "water", wide=wide)) is not None:
        blocks.append(drawn)
    return Part("problem", "What is wrong today", tuple(blocks))


def new_floor(walk: Walk, top: TopOption, *, wide: float) -> Part:
    """What is proposed: thickness, fall, water, the drawing and the cut through the door."""
    units, system = walk.job.units, walk.verdict.system
    blocks: list[PartBlock] = []
    if system is not None:
        blocks.append(Para(_SYSTEMS[system]))
    blocks.append(Facts(_figures(walk, top)))
    if (drawn := plate(walk, "top", wide=wide)) is not None:
        blocks.append(drawn)
    cuts = [plate(walk, f"door-{place + 1}", wide=wide) for place in range(MOST_DOORS)]
    drawn_cuts = [cut for cut in cuts if cut is not None]
    if drawn_cuts:
        blocks += drawn_cuts
        blocks.append(
            Para(
                f"The thickness of the new concrete stands above it, to "
                f"{write_length(units.mark_m, units)}. What is old is drawn without its own "
                "thickness.",
                "small",
            )
        )
    return Part("new-floor", "What we propose", tuple(blocks))


def _figures(walk: Walk, top: TopOption) -> tuple[tuple[str, str], ...]:
    units, drainage, mix = walk.job.units, top.drainage, walk.job.mix
    pairs = [
        (
            "Thickness",
            f"{write_thickness(top.thinnest_m, units)} at the thinnest, "
            f"{write_thickness(top.thickest_m, units)} at the thickest, "
            f"{write_thickness(top.mean_thickness_m, units)} on average",
        )
    ]
    if walk.takeoff is not None:
        volume = walk.takeoff.total.volume_m3
        pairs.append(
            (
                "Concrete in place",
                f"{write_volume(volume.mean, units)}, give or take "
                f"{write_volume(volume.plus_or_minus, units)}",
            )
        )
    if drainage is not None:
        least = write_slope(drainage.least_fall, units)
        pairs.append(("Fall", f"{least} at the least, along the way of the water"))
        share = round(100 * drainage.reaches_outlet)
        outlets = ", ".join(outlet.name for outlet in walk.newtop.wishes.outlets)
        pairs.append(("Water leaves at", f"{outlets} (from {share} % of the floor, as drawn)"))
    if mix.strength_pa is not None:
        strength = write_by_suffix("strength_pa", mix.strength_pa, units)
        pairs.append(("Concrete", f"{strength} at 28 days"))
    if top.moved:
        pairs.append(("Moved to fit", ", ".join(top.moved)))
    return tuple(pairs)


def scope(walk: Walk) -> Part:
    """What is done: the owner's list, else the works that the takeoff counts."""
    listed = walk.job.proposal.scope
    if not listed and walk.takeoff is not None:
        works = [item.what for item in walk.takeoff.items if item.kind == "work" and item.net > 0]
        listed = tuple(dict.fromkeys(works))
    return Part("scope", "What we will do", (Bullets(listed),) if listed else ())


def not_in_scope(walk: Walk) -> Part:
    """The owner's list, and what the price was worked out without."""
    listed = [*walk.job.proposal.not_in_scope, *_left_out(walk)]
    return Part("not-included", "What is not included", (Bullets(tuple(listed)),) if listed else ())


def _left_out(walk: Walk) -> list[str]:
    told = []
    names = _unpriced_items(walk)
    if names:
        told.append(f"Not in the price, because it is not priced yet: {'; '.join(names)}.")
    if walk.touches is not None and any(
        not _in_price(walk, touch, place)
        for touch in walk.touches.touches
        for place, _ in enumerate(touch.remedies)
    ):
        told.append('Work that is marked "no" under who does what.')
    for drain in walk.newtop.wishes.drains:
        if drain.plan == "bury":
            told.append(
                f"The concrete that fills the well of {drain.name}: it is seen when the drain is "
                "opened, and is no part of the volume above."
            )
    found = walk.job.findings
    if found.lift_posts != "no":
        told.append(
            "Pads and anchors for a vehicle lift: the new floor is not counted on to hold any, "
            "unless the maker of the lift and an engineer say so in writing."
        )
    return told


def _unpriced_items(walk: Walk) -> tuple[str, ...]:
    """Things of the takeoff that the bid has no rate for, in words; its own words name rates."""
    if walk.price is None or walk.takeoff is None:
        return ()
    known = {item.code: item.what for item in walk.takeoff.items}
    codes = [met[1] for one in walk.price.missing if (met := _RATE_OF.match(one))]
    return tuple(dict.fromkeys(known.get(code, code) for code in codes))


def _in_price(walk: Walk, touch: Touch, place: int) -> bool:
    """Whether a piece of a trade's work is in the price: the bid names those that are not."""
    if walk.price is None:
        return False
    remedy = touch.remedies[place]
    told = f"{remedy.trade}, {touch.name}: {_told(walk, touch, place)}"
    return told not in walk.price.missing


def who_does_what(walk: Walk, touches: Touches) -> Part:
    """Each trade's work in the order of time, and what holds the day of the pour."""
    rows = [
        (
            touch.name,
            _told(walk, touch, place),
            remedy.trade,
            remedy.when,
            "yes" if _in_price(walk, touch, place) else "no",
        )
        for touch in touches.touches
        for place, remedy in enumerate(touch.remedies)
    ]
    rows.sort(key=lambda row: _IN_TIME.index(row[3]))
    blocks: list[PartBlock] = []
    if rows:
        blocks.append(
            Table(
                (
                    Column("where", share=0.7, bold=True),
                    Column("what", share=1.6),
                    Column("who"),
                    Column("by when"),
                    Column("in the price"),
                ),
                tuple(rows),
            )
        )
    if touches.readiness:
        blocks += [
            Heading("Before a day for the pour is set"),
            Table(
                (
                    Column("what must be done", share=1),
                    Column("who"),
                    Column("ready on", share=0.3),
                ),
                tuple((ready.what, ready.trade, "") for ready in touches.readiness),
            ),
        ]
    return Part("who", "Who does what, and by when", tuple(blocks))


def _told(walk: Walk, touch: Touch, place: int) -> str:
    units = walk.job.units
    return touch.remedies[place].told(
        lambda quantity, value: write_by_suffix(quantity, value, units)
    )


def heights(walk: Walk, touches: Touches) -> Part:
    """Every height that changes, with a place for the customer's initials."""
    if not touches.touches:
        return Part("heights", "Heights that change", ())
    facts, _ = touch_facts_for(walk.job, walk.shots)
    units, beside = walk.job.units, _beside(facts)
    rows = tuple(
        (
            touch.name,
            write_height(touch.before_m, units),
            write_height(touch.after_m, units),
            write_thickness(touch.rise_m, units),
            _means(walk, touch, beside.get(touch.name), facts.stairs),
            "",
        )
        for touch in touches.touches
    )
    marks = walk.job.survey.benchmarks
    counted_from = "; ".join(
        f"{mark.name} ({mark.where}) = {write_height(mark.height_m, units)}"
        if mark.where
        else f"{mark.name} = {write_height(mark.height_m, units)}"
        for mark in marks
    )
    return Part(
        "heights",
        "Heights that change",
        (
            Para(
                "The floor rises at every place below. Please look at each one and put your "
                "initials behind it; what is agreed here is what is built."
            ),
            Table(
                (
                    Column("what", share=0.8, bold=True),
                    Column("floor today", "right"),
                    Column("floor after", "right"),
                    Column("rises", "right"),
                    Column("what that means there", share=1.4),
                    Column("agreed, initials", share=0.45),
                ),
                rows,
                name="Taken where the floor rises most along each.",
            ),
            Para(f"Heights are counted from {counted_from}.", "small"),
        ),
    )


def _beside(facts: TouchFacts) -> dict[str, tuple[str, float]]:
    """By name: what the floor lies beside, and how high that is."""
    known = {door.name: ("the sill", door.sill_m) for door in facts.overhead_doors}
    known |= {door.name: ("the threshold", door.threshold_m) for door in facts.side_doors}
    known |= {
        wall.name: ("the siding", wall.siding_m)
        for wall in facts.walls
        if wall.siding_m is not None
    }
    return known | {one.name: ("the ground outside", one.height_m) for one in facts.outside}


def _means(
    walk: Walk,
    touch: Touch,
    beside: tuple[str, float] | None,
    stairs: tuple[Stair, ...],
) -> str:
    told = []
    if beside is not None:
        what, height = beside
        told.append(
            f"{what}: floor {_above(walk, touch.before_m - height)} it today, "
            f"{_above(walk, touch.after_m - height)} it after"
        )
    if touch.moved:
        told.append("moved to fit")
    stair = next((one for one in stairs if one.name == touch.name and one.risers_m), None)
    if stair is not None and stair.goes == "up":
        first, units = stair.risers_m[0], walk.job.units
        told.append(
            f"the first step: {write_thickness(first, units)} high today, "
            f"{write_thickness(first - touch.rise_m, units)} after"
        )
    broken = [check.name for check in touch.checks if not check.passes]
    if broken:
        told.append(f"to be settled first: {', '.join(broken)}")
    return "; ".join(told)


def _above(walk: Walk, by_m: float) -> str:
    units = walk.job.units
    if abs(by_m) < units.mark_m / 2:
        return "level with"
    way = "above" if by_m > 0 else "below"
    return f"{write_thickness(abs(by_m), units)} {way}"

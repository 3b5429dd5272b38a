"""Findings and the owner's practice out of ``job.toml``; the heights that bound the new top."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from typing import Any

import shapely

from overslab.handbook.slab_corner import contact_radius_of_duals, contact_radius_of_tire
from overslab.job import faults
from overslab.job.findingkeys import LoadFacts
from overslab.job.floorplan import Plotter, Point
from overslab.job.floorthings import BreakFacts
from overslab.job.touches import or_none
from overslab.job.typed import told
from overslab.newtop.records import Wishes
from overslab.oldslab.records import FloorPlan
from overslab.verdict import (
    CrackFinding,
    CrackReading,
    Findings,
    HeightLimit,
    Hollow,
    LoadOnTop,
    Practice,
    common_practice,
    finding_faults,
    left_to_common,
    practice_faults,
    wish_faults,
)


def found_in(plotter: Plotter, *, plan: FloorPlan) -> Findings:
    """What was found at the old slab; faults go to the plotter."""
    facts = plotter.facts.findings
    findings = Findings(
        hollows=tuple(
            Hollow(one.name, plotter.spots(one.corners, "hollow", n, "corners"), one.found_by)
            for n, one in enumerate(plotter.facts.hollows)
        ),
        sounded=facts.sounded,
        cracks=tuple(
            _crack(one, *("break", n), plotter=plotter)
            for n, one in enumerate(plotter.facts.breaks)
        ),
        stands_on=facts.stands_on,
        cause=facts.cause.strip(),
        cause_cured=facts.cause_cured,
        still_moving=facts.still_moving,
        undermined=facts.undermined,
        frost_heave=facts.frost_heave,
        freezes=facts.freezes,
        deicers=facts.deicers,
        water_from=tuple(dict.fromkeys(facts.water_from)),
        sheet_test=facts.sheet_test,
        hose_test=facts.hose_test,
        drained=facts.drained,
        surface=tuple(dict.fromkeys(facts.surface)),
        profile_csp=facts.profile,
        pull_off_pa=or_none(facts.pull_off),
        thickness_m=or_none(facts.thickness),
        strength_pa=or_none(facts.strength),
        heating_pipes=facts.heating_pipes,
        heating_pipe_depth_m=or_none(facts.heating_pipe_depth),
        tendons=facts.tendons,
        lift_posts=facts.lift_posts,
        lift_on_own_pads=facts.lift_on_own_pads,
        subgrade_pa_per_m=or_none(facts.subgrade),
        loads=tuple(
            load
            for n, one in enumerate(plotter.facts.loads)
            if (load := _load(one, n, plotter)) is not None
        ),
    )
    if not plotter.found and shapely.Polygon(plan.outline).is_valid:
        file = plotter.source.file
        plotter.found += [told(fault, place=file) for fault in finding_faults(plan, findings)]
    return findings


def _crack(facts: BreakFacts, *path: str | int, plotter: Plotter) -> CrackFinding:
    """A width typed beside the line is a reading of the day of the survey."""
    readings = [
        CrackReading(one.date, one.width.value, or_none(one.step)) for one in facts.readings
    ]
    if facts.width is not None:
        day = plotter.facts.job.date
        if any(reading.date == day for reading in readings):
            plotter.found.append(
                faults.GIVE_ONE.met(
                    value=facts.width.text,
                    place=plotter.source.place(*path, "width"),
                    given="Both",
                    keys=f"width and a reading of {day}, the day of the survey",
                )
            )
        readings.append(CrackReading(day, facts.width.value, or_none(facts.step)))
    readings.sort(key=lambda reading: reading.date)
    return CrackFinding(facts.name, tuple(readings), facts.moves_under_wheel)


def _load(facts: LoadFacts, at: int, plotter: Plotter) -> LoadOnTop | None:
    if not plotter.exactly_one(facts, ("contact", "tire_pressure"), "load", at):
        return None
    load_n = facts.load.value
    if facts.tire_pressure is not None:
        end_n = load_n / 2 if facts.kind == "axle" else load_n
        pressure_pa = facts.tire_pressure.value
        if facts.twins_apart is None:
            radius_m = contact_radius_of_tire(load_n=end_n, tire_pressure_pa=pressure_pa)
        else:
            radius_m = contact_radius_of_duals(
                wheel_load_n=end_n / 2,
                tire_pressure_pa=pressure_pa,
                spacing_m=facts.twins_apart.value,
            )
        return LoadOnTop(facts.name, facts.kind, load_n, pi * radius_m**2)
    if facts.twins_apart is not None:
        plotter.found.append(
            faults.KEY_MISSING.met(
                value=facts.twins_apart.text,
                place=plotter.source.place("load", at, "twins_apart"),
                key="tire_pressure",
                meaning="twin tires press by their pressure and by how far apart they are.",
                how="Write tire_pressure = ... in place of contact.",
            )
        )
    return LoadOnTop(facts.name, facts.kind, load_n, or_none(facts.contact) or 0.0)


def practice_in(plotter: Plotter) -> Practice:
    """The owner's limits, common practice where he gives none; faults go to the plotter."""
    facts = plotter.facts.practice
    common = common_practice(facts.date or plotter.facts.job.date)
    typed = {
        "unbonded_least_m": facts.unbonded_least,
        "bonded_least_m": facts.bonded_least,
        "crack_step_most_m": facts.crack_step,
        "crack_growth_most_m": facts.crack_growth,
        "hollow_share_most": facts.hollow_share,
        "hollow_each_most_m2": facts.hollow_each,
        "pull_off_least_pa": facts.pull_off,
    }
    given: dict[str, Any] = {
        name: value.value for name, value in typed.items() if value is not None
    }
    if facts.profile is not None:
        given["profile_least_csp"] = facts.profile
    left_out = [name for name in (*typed, "profile_least_csp") if name not in given]
    practice = replace(
        common,
        **given,
        note=facts.note.strip() or ("" if given else common.note),
        taken=left_to_common(left_out, plotter.units),
    )
    wishes = plotter.facts.wishes
    wrong = [
        *practice_faults(practice, plotter.units),
        *wish_faults(
            practice,
            wished=wishes.system,
            least_thickness_m=or_none(wishes.least_thickness),
            units=plotter.units,
        ),
    ]
    plotter.found += [told(fault, place=plotter.source.file) for fault in wrong]
    return practice


def height_limits(wishes: Wishes, plan: FloorPlan) -> tuple[HeightLimit, ...]:
    """Every height that the new top may not pass: edges, drains that stay, levels wished.

    A drain that may be raised without a price bounds nothing.
    """
    limits = [
        HeightLimit(
            name=edge.name,
            a=edge.a,
            b=edge.b,
            highest_m=edge.highest_m,
            can_move_up_m=edge.move.up_m if edge.move else 0.0,
        )
        for edge in wishes.edges
        if edge.highest_m is not None
    ]
    limits += [
        HeightLimit(
            name=drain.name,
            a=drain.at,
            b=drain.at,
            highest_m=drain.rim_m + drain.drop_m,
            can_move_up_m=drain.move.up_m if drain.move else 0.0,
        )
        for drain in wishes.drains
        if drain.plan == "keep" or (drain.plan == "raise" and drain.move is not None)
    ]
    limits += [
        _area(zone.name, zone.corners, zone.highest_m)
        for zone in wishes.zones
        if zone.highest_m is not None
    ]
    if wishes.highest_m is not None:
        limits.append(_area("highest level", plan.outline, wishes.highest_m))
    return tuple(limits)


def _area(name: str, corners: tuple[Point, ...], highest_m: float) -> HeightLimit:
    return HeightLimit(name, corners[0], corners[0], highest_m, corners=corners)

"""Faults in what was written down about the old slab, all of them at once."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

import shapely

from overslab.ground.faults import Fault
from overslab.oldslab.records import FloorPlan
from overslab.verdict import faults
from overslab.verdict.practice import GREATEST_CSP
from overslab.verdict.records import Findings


def finding_faults(plan: FloorPlan, findings: Findings) -> list[Fault]:
    """Unknown breaks, bad days, measures below nothing, outlines off the floor, names twice."""
    return [
        *_cracks(plan, findings),
        *_measures(findings),
        *_hollows(plan, findings),
        *_twice([hollow.name for hollow in findings.hollows]),
        *_twice([load.name for load in findings.loads]),
    ]


def _cracks(plan: FloorPlan, findings: Findings) -> list[Fault]:
    found = []
    known = {line.name for line in plan.breaks}
    for crack in findings.cracks:
        place = f"break {crack.break_name}"
        if crack.break_name not in known:
            found.append(
                faults.BREAK_UNKNOWN.met(
                    value=crack.break_name,
                    place=place,
                    name=crack.break_name,
                    known=", ".join(sorted(known)) or "none",
                )
            )
        days = [reading.date for reading in crack.readings]
        found += [
            faults.READING_DATE.met(value=day, place=place, name=crack.break_name)
            for n, day in enumerate(days)
            if not _is_day(day) or day in days[:n]
        ]
        for reading in crack.readings:
            for thing, value in (("width", reading.width_m), ("step", reading.step_m)):
                if value is not None and value < 0:
                    found.append(
                        faults.MEASURE_SIGN.met(
                            value=value, place=place, thing=thing, wanted="0 or more"
                        )
                    )
    return found


def _is_day(text: str) -> bool:
    try:
        return datetime.date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _measures(findings: Findings) -> list[Fault]:
    wanted: list[tuple[str, str, float | None]] = [
        ("[findings]", "thickness", findings.thickness_m),
        ("[findings]", "strength", findings.strength_pa),
        ("[findings]", "pull_off", findings.pull_off_pa),
        ("[findings]", "subgrade", findings.subgrade_pa_per_m),
        ("[findings]", "heating_pipe_depth", findings.heating_pipe_depth_m),
    ]
    for load in findings.loads:
        wanted += [
            (f"load {load.name}", "load", load.load_n),
            (f"load {load.name}", "contact", load.contact_m2),
        ]
    found = [
        faults.MEASURE_SIGN.met(value=value, place=place, thing=thing, wanted="more than 0")
        for place, thing, value in wanted
        if value is not None and value <= 0
    ]
    grade = findings.profile_csp
    if grade is not None and not 1 <= grade <= GREATEST_CSP:
        found.append(
            faults.MEASURE_SIGN.met(
                value=grade,
                place="[findings]",
                thing="profile",
                wanted=f"a CSP grade from 1 to {GREATEST_CSP}",
            )
        )
    return found


def _hollows(plan: FloorPlan, findings: Findings) -> list[Fault]:
    floor = plan.polygon()
    found = []
    for hollow in findings.hollows:
        enough = len(set(hollow.corners)) >= 3
        outline = shapely.Polygon(hollow.corners) if enough else None
        if outline is None or not outline.is_valid or outline.area <= 0:
            kind = faults.HOLLOW_SHAPE
        elif not outline.intersection(floor).area > 0:
            kind = faults.HOLLOW_OUTSIDE
        else:
            continue
        corners = f"{len(hollow.corners)} corners"
        found.append(kind.met(value=corners, place=f"hollow {hollow.name}", name=hollow.name))
    return found


def _twice(names: Sequence[str]) -> list[Fault]:
    return [
        faults.NAME_TWICE.met(value=name, place=name, name=name)
        for n, name in enumerate(names)
        if name in names[:n]
    ]

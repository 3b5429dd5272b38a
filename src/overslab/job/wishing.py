"""From the wishes as written to the wishes of the new top, once the shots are reduced."""

from __future__ import annotations

from dataclasses import replace
from statistics import NormalDist, fmean

from overslab.ground import units
from overslab.ground.faults import Fault, Faulty
from overslab.ground.notes import Assumption
from overslab.ground.units import Units
from overslab.job import faults
from overslab.job.jobfile import JobFile
from overslab.job.records import Asked, HeightAsked, Job
from overslab.job.touches import Touches
from overslab.job.typed import Typed
from overslab.newtop.records import Drain, Edge, Outlet, Wishes
from overslab.order.records import Plant
from overslab.shots.records import Heights
from overslab.verdict import least_of
from overslab.verdict.records import Practice, Verdict

# What is taken when job.toml does not say; each becomes an assumption on the sheets.
SURE = 0.95  # one-sided; common practice for a least value
FINISH_ERROR = "1/16 in"  # common practice for a floor struck and floated by hand
FINISH_REACH = "3 ft"  # common practice
BIRDBATH = "1/16 in"  # about the thickness of a coin, the trade's own test; common practice
LEVEL_ENOUGH_M = 0.003  # shots of one sill that differ by more are told


def asked_of(
    facts: JobFile,
    *,
    touches: Touches,
    outlets: tuple[Outlet, ...],
    plant: Plant,
    practice: Practice,
    spoken: Units,
) -> tuple[Asked, tuple[Assumption, ...]]:
    """The wishes that are known before the shots are reduced, and what was assumed for them."""
    wishes = facts.wishes
    assumed: list[Assumption] = []

    def taken(key: str, typed: Typed | None, default: float, told: str, because: str) -> float:
        if typed is not None:
            return typed.value
        assumed.append(Assumption(about=f"{key} in [wishes]", taken=told, because=because))
        return default

    def length(key: str, typed: Typed | None, default: str) -> float:
        value_m = units.read_length_m(default, system=spoken.system)
        told = units.write_length(value_m, spoken)
        return taken(key, typed, value_m, told, "not given in job.toml; common practice")

    steepest = f"as much as the greatest fall, {wishes.greatest_fall.text}"
    cross, bend = (
        taken(key, typed, wishes.greatest_fall.value, steepest, "not given in job.toml")
        for key, typed in (("cross_fall", wishes.cross_fall), ("bend", wishes.bend))
    )
    common = "not given in job.toml; common practice for a least value"
    sure = taken("sure", wishes.sure, SURE, units.write_share(SURE), common)
    least_m = wishes.least_thickness.value if wishes.least_thickness else None
    settled = Wishes(
        least_thickness_m=least_m or least_of(wishes.system or "unbonded", practice),
        least_fall=wishes.least_fall.value,
        greatest_fall=wishes.greatest_fall.value,
        cross_fall=cross,
        bend=bend,
        straightedge_m=wishes.straightedge.value,
        mark_m=wishes.set_to.value,
        concrete_cost_per_m3=plant.concrete_cost_per_m3,
        currency=plant.currency,
        outlets=outlets,
        greatest_thickness_m=wishes.greatest_thickness.value if wishes.greatest_thickness else None,
        surety=NormalDist().inv_cdf(sure),
        finish_deviation_m=length("finish_error", wishes.finish_error, FINISH_ERROR),
        finish_length_m=length("finish_reach", wishes.finish_reach, FINISH_REACH),
        birdbath_m=length("birdbath", wishes.birdbath, BIRDBATH),
        choose=wishes.choose,
        seed=wishes.seed,
        firm=tuple(wishes.firm),
    )
    if wishes.kinds is not None:
        settled = replace(settled, kinds=tuple(dict.fromkeys(wishes.kinds)))
    highest = touches.height(wishes.highest, "wishes", "highest") if wishes.highest else None
    return (
        Asked(
            settled=settled,
            edges=touches.edges,
            drains=touches.drains,
            zones=touches.zones,
            highest=highest,
            system=wishes.system,
            least_thickness_m=least_m,
        ),
        tuple(assumed),
    )


def wishes_for(job: Job, heights: Heights) -> tuple[Wishes, tuple[Assumption, ...]]:
    """The wishes with every height that leans on a shot put in, and what was assumed for it.

    Raises ``Faulty`` when a shot that a wish leans on has no height.
    """
    lookup = Lookup(job, heights)
    asked = job.asked
    edges = []
    for edge in asked.edges:
        meets = lookup.height(edge.meets, about=edge.name)
        edges.append(
            Edge(
                name=edge.name,
                kind=edge.kind,
                a=edge.a,
                b=edge.b,
                lowest_m=None if edge.down_m is None else meets - edge.down_m,
                highest_m=None if edge.up_m is None else meets + edge.up_m,
                level=edge.level,
                move=edge.move,
                firm=edge.firm,
            )
        )
    drains = [
        Drain(
            name=drain.name,
            at=drain.at,
            rim_m=lookup.height(drain.rim, about=drain.name),
            plan=drain.plan,
            drop_m=drain.drop_m,
            move=drain.move,
            size_m=drain.size_m,
        )
        for drain in asked.drains
    ]
    zones = [
        replace(
            one.zone,
            highest_m=lookup.height(one.highest, about=one.zone.name) if one.highest else None,
        )
        for one in asked.zones
    ]
    highest_m = lookup.height(asked.highest, about="the whole top") if asked.highest else None
    if lookup.found:
        raise Faulty(lookup.found)
    wishes = replace(
        asked.settled,
        edges=tuple(edges),
        drains=tuple(drains),
        zones=tuple(zones),
        highest_m=highest_m,
    )
    return wishes, tuple(lookup.assumed)


def steered(wishes: Wishes, verdict: Verdict, job: Job) -> tuple[Wishes, tuple[Assumption, ...]]:
    """The wishes with the least thickness of the verdict's system, where the owner gave none."""
    if job.asked.least_thickness_m is not None:
        return wishes, ()
    system = verdict.system or "the thinner system, though there is room for neither"
    taken = units.write_thickness(verdict.least_thickness_m, job.units)
    stated = Assumption(
        about="least_thickness in [wishes]",
        taken=taken,
        because=f"not given; what the owner's practice of {verdict.practice.date} asks of {system}",
    )
    return replace(wishes, least_thickness_m=verdict.least_thickness_m), (stated,)


class Lookup:
    """Heights of shots by name, and what was met on the way."""

    def __init__(self, job: Job, heights: Heights) -> None:
        self.heights_m = {point.point: point.height_m for point in heights.points}
        self.units = job.units
        self.found: list[Fault] = []
        self.assumed: list[Assumption] = []

    def height(
        self, asked: HeightAsked, *, about: str, so: str = "the top is held to their mean"
    ) -> float:
        """The height; 0 (and a fault) when a shot has none."""
        if asked.height_m is not None:
            return asked.height_m
        missing = [shot for shot in asked.shots if shot not in self.heights_m]
        if missing:
            self.found.extend(
                faults.SHOT_UNKNOWN.met(value=asked.typed, place=about, shot=shot)
                for shot in missing
            )
            return 0.0
        shot_m = [self.heights_m[shot] for shot in asked.shots]
        apart_m = max(shot_m) - min(shot_m)
        if apart_m > LEVEL_ENOUGH_M:
            told = units.write_length(apart_m, self.units)
            self.assumed.append(
                Assumption(
                    about=f"height of {about}",
                    taken=f"the mean of {', '.join(asked.shots)}",
                    because=f"these shots differ by {told}; {so}",
                )
            )
        return fmean(shot_m) + asked.offset_m

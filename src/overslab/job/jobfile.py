"""The keys of ``job.toml``, one model a section; the reference page is made from these models.

A length is text with its unit ("24 ft", "4 ft 6 in", "7.3 m"). A place is two such lengths,
``["10 ft", "4 ft 6 in"]``, x to the right and y up the sheet, or a label of the taped grid, "C4".
A height is text: "shot S1", "shot S1 + 1/4 in", "shots S1, S2 - 1 in" (their mean), or a length
above the benchmark's datum. A slope is "1/8 in/ft", "2%" or "1:60".
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from overslab.job.findingkeys import FindingFacts, HollowFacts, LoadFacts, PracticeFacts
from overslab.job.floorthings import (
    BreakFacts,
    BurnerFacts,
    DoorFacts,
    DrainFacts,
    HoleFacts,
    LineFacts,
    OutsideFacts,
    PatchFacts,
    PostFacts,
    StairFacts,
    ThresholdFacts,
    TrenchFacts,
    WallFacts,
    ZoneFacts,
)
from overslab.job.layingkeys import (
    BondingFacts,
    BreakerFacts,
    CoverFacts,
    CureFacts,
    FillingFacts,
    FormFacts,
    IsolationFacts,
    JointFacts,
    SealerFacts,
    SteelFacts,
)
from overslab.job.mixkeys import MixFacts
from overslab.job.proposalkeys import ProposalFacts
from overslab.job.sections import Corners, EdgeNumber, Section
from overslab.job.typed import (
    Day,
    HeightAt,
    Length,
    Margin,
    Place,
    Rod,
    Size,
    Slope,
    Surety,
    Tilt,
    Words,
)


class JobFacts(Section):
    """[job]: what and where this is, and how it is written."""

    name: Words = Field(description='What the job is called, such as "Farm shop floor".')
    place: Words = Field(description='Where it is, in words, such as "Shop behind the barn".')
    date: Day = Field(description="Day of the survey, year-month-day: 2026-04-18.")
    pour_date: Day | None = Field(
        default=None,
        description="Day the new top is to be poured, once it is set: 2026-05-02.",
    )
    units: Literal["feet-inches", "tenths", "metric"] = Field(
        description='How lengths are written on the sheets: "feet-inches", "tenths" or "metric".'
    )
    mark: Size | None = Field(
        default=None,
        description='The finest length written on a sheet, a length: "1/16 in", "0.01 ft", "1 mm".',
    )
    made_up: bool = Field(
        default=False,
        strict=True,
        description="true for an invented job; every sheet then says so.",
    )


class BenchmarkFacts(Section):
    """[[survey.benchmark]]: a point that will outlive the pour."""

    name: Words = Field(description='Its name in the column point of shots.csv, such as "BM1".')
    height: Length = Field(description='Its height above your datum, a length: "100 ft".')
    where: Words = Field(
        description='What and where it is, so that anyone finds it: "cross cut in the north apron".'
    )


class StandFacts(Section):
    """[[survey.stand]]: where the laser stood; makes far shots count for less."""

    setup: Words = Field(description='The set-up as named in shots.csv, such as "1".')
    at: Place = Field(description='Its place on the plan: ["20 ft", "12 ft"] or a grid label.')


class TwoStandFacts(Section):
    """[survey.two_stand_check]: two marks read from halfway, then from close to one of them."""

    middle_a: Rod = Field(description="Rod reading on mark A from halfway between the marks.")
    middle_b: Rod = Field(description="Rod reading on mark B from halfway between the marks.")
    near_a: Rod = Field(description="Rod reading on mark A from the second stand.")
    near_b: Rod = Field(description="Rod reading on mark B from the second stand.")
    distance_to_a: Margin = Field(description='Second stand to mark A, a length: "10 ft".')
    distance_to_b: Margin = Field(description='Second stand to mark B, a length: "110 ft".')


class SurveyFacts(Section):
    """[survey]: how the shots were taken. The rod's convention holds for every reading."""

    rod: Literal["feet-inches", "tenths", "metric"] = Field(
        description=(
            'How the rod is read, for the whole survey: "feet-inches" (5\' 4 3/8"), '
            '"tenths" (5.37 ft) or "metric" (1.635 m).'
        )
    )
    resolution: Size = Field(
        description='Smallest step read on the rod, a length: "1/16 in", "0.01 ft", "1 mm".'
    )
    rod_error: Margin | None = Field(
        default=None,
        description=(
            "How far one reading is off two times out of three (rod out of plumb, its foot on a "
            'pebble), beside the rounding, a length: "1/16 in".'
        ),
    )
    laser: Tilt | None = Field(
        default=None,
        description=(
            "How far the laser's level is off at a distance two times out of three: "
            '"1/16 in per 100 ft".'
        ),
    )
    allowed_per_setup: Size | None = Field(
        default=None,
        description=(
            "How far a benchmark shot again may be off, for each set-up, a length: "
            '"1/8 in". Left out: a stated default.'
        ),
    )
    allowed_beam: Tilt | None = Field(
        default=None,
        description=(
            "How far out of level the two-stand check may show the beam: "
            '"1/8 in per 100 ft". Left out: a stated default.'
        ),
    )
    benchmarks: list[BenchmarkFacts] = Field(
        alias="benchmark",
        min_length=1,
        description="Points of known height; at least one, two show whether one has moved.",
    )
    stands: list[StandFacts] = Field(
        default=[], alias="stand", description="Where the laser stood, set-up by set-up, if noted."
    )
    two_stand_check: TwoStandFacts | None = Field(
        default=None, description="The check of the laser on two marks, if it was made."
    )


class FloorFacts(Section):
    """[floor]: the floor seen from above."""

    outline: Corners = Field(
        description=(
            "The corners in order, round either way, each a place; notches are simply corners. "
            'Edge 1 runs from corner 1 to corner 2: [["0 ft", "0 ft"], ["24 ft", "0 ft"], ...].'
        )
    )
    up_is: Words = Field(
        default="north",
        description='What lies at the top of the sheet, in words: "north", "the house".',
    )
    open_edges: list[EdgeNumber] = Field(
        default=[],
        description=(
            "Numbers of the edges without a wall, where water runs off: [1, 2]. "
            'Their names are "edge 1", "edge 2".'
        ),
    )


class TapedGrid(Section):
    """[taped_grid]: letters one way and numbers the other, taped on the slab."""

    origin: Place = Field(description='Where A1 lies on the plan, two lengths: ["0 ft", "0 ft"].')
    letters_run: Literal["right", "up"] = Field(
        default="right",
        description='Which way the letters go on the sheet: "right" (numbers up) or "up".',
    )
    letter_spacing: Size | None = Field(
        default=None, description='From letter to letter, a length: "5 ft".'
    )
    letters_at: list[Margin] | None = Field(
        default=None,
        description=(
            "Instead of letter_spacing: how far each letter's line lies from A, lengths: "
            '["0 ft", "4 ft 6 in", "9 ft"].'
        ),
    )
    number_spacing: Size | None = Field(
        default=None, description='From number to number, a length: "5 ft".'
    )
    numbers_at: list[Margin] | None = Field(
        default=None,
        description='Instead of number_spacing: distance of each line from 1: ["0 ft", "5 ft"].',
    )


TopKinds = Literal["plane", "planes", "strips", "level", "follow"]


class WishFacts(Section):
    """[wishes]: what the new top shall be."""

    water_to: list[Words] = Field(
        description=(
            "Where water shall go: names of doors, lines, kept or raised drains, or open edges "
            '("edge 2"): ["north door"].'
        )
    )
    system: Literal["unbonded", "bonded"] | None = Field(
        default=None,
        description=(
            'How the new top shall lie: "unbonded" on a sheet, or "bonded". Left out: the verdict '
            "chooses by the room there is and by what was found."
        ),
    )
    least_thickness: Size | None = Field(
        default=None,
        description=(
            'Thinnest place of the new concrete, a length: "3 in" unbonded, "1 1/2 in" bonded '
            "(common practice). Left out: what your practice asks of the system of the verdict."
        ),
    )
    greatest_thickness: Size | None = Field(
        default=None, description='Thickest place allowed, a length: "8 in". Left out: no limit.'
    )
    least_fall: Slope = Field(description='Least fall along the way of the water: "1/8 in/ft".')
    greatest_fall: Slope = Field(
        description='Greatest fall along the way of the water: "1/2 in/ft".'
    )
    cross_fall: Slope | None = Field(
        default=None, description='Greatest fall across the way of the water, a slope: "1/4 in/ft".'
    )
    bend: Slope | None = Field(
        default=None,
        description="Greatest change of slope a straightedge can strike at a pad line, a slope.",
    )
    straightedge: Size = Field(description='Length of your straightedge, a length: "12 ft".')
    set_to: Size = Field(
        description='Finest mark you set pads to, a length: "1/8 in", "0.01 ft", "2 mm".'
    )
    highest: HeightAt | None = Field(
        default=None, description='The top stays below this everywhere, a height: "shot W1 - 6 in".'
    )
    sure: Surety | None = Field(
        default=None,
        description=(
            "How sure you want to be of the least thickness at any one place, a share: "
            '"95%". The surface between shots is not known exactly.'
        ),
    )
    finish_error: Margin | None = Field(
        default=None,
        description=(
            'How far your finished surface is off two times out of three, a length: "1/16 in".'
        ),
    )
    finish_reach: Size | None = Field(
        default=None, description='How long such a bump or dip is, a length: "3 ft".'
    )
    birdbath: Size | None = Field(
        default=None, description='Depth of standing water that counts as a birdbath: "1/16 in".'
    )
    kinds: list[TopKinds] | None = Field(
        default=None,
        min_length=1,
        description='Kinds of top to try: "plane", "planes", "strips", "level", "follow".',
    )
    choose: TopKinds | None = Field(
        default=None, description="The kind you want drawn. Left out: the cheapest that passes."
    )
    firm: list[Words] = Field(
        default=[],
        description="Names of rules that must not be given up when wishes cannot all be met.",
    )
    seed: Annotated[int, Field(ge=0, strict=True)] = Field(
        default=1,
        description="Start number of the trial finishes; the same number, the same answer.",
    )


class JobFile(Section):
    """The whole of ``job.toml``."""

    job: JobFacts = Field(description="What and where this is.")
    survey: SurveyFacts = Field(description="How the shots were taken.")
    floor: FloorFacts = Field(description="The floor seen from above.")
    taped_grid: TapedGrid | None = Field(default=None, description="The grid taped on the slab.")
    holes: list[HoleFacts] = Field(
        default=[], alias="hole", description="What concrete goes round."
    )
    posts: list[PostFacts] = Field(default=[], alias="post", description="Posts in the floor.")
    breaks: list[BreakFacts] = Field(default=[], alias="break", description="Cracks and joints.")
    pits: list[PatchFacts] = Field(
        default=[], alias="pit", description="Pits with their own level."
    )
    trenches: list[TrenchFacts] = Field(default=[], alias="trench", description="Sunk strips.")
    pads: list[PatchFacts] = Field(
        default=[], alias="pad", description="Pads with their own level."
    )
    doors: list[DoorFacts] = Field(default=[], alias="door", description="Doors on the outline.")
    stairs: list[StairFacts] = Field(default=[], alias="stair", description="Feet of stairs.")
    thresholds: list[ThresholdFacts] = Field(
        default=[], alias="threshold", description="Doorways that stay above the top."
    )
    lines: list[LineFacts] = Field(default=[], alias="line", description="Other lines to meet.")
    drains: list[DrainFacts] = Field(default=[], alias="drain", description="Drains in the floor.")
    walls: list[WallFacts] = Field(
        default=[], alias="wall", description="Walls with siding, a curb or an outlet box."
    )
    burners: list[BurnerFacts] = Field(
        default=[], alias="burner", description="Heaters with a flame or a spark."
    )
    outside: list[OutsideFacts] = Field(
        default=[], alias="outside", description="Drive, apron or ground outside the doors."
    )
    zones: list[ZoneFacts] = Field(default=[], alias="zone", description="Parts with own wishes.")
    findings: FindingFacts = Field(
        default=FindingFacts(), description="What was found at the old slab."
    )
    hollows: list[HollowFacts] = Field(
        default=[], alias="hollow", max_length=500, description="Places that sound hollow."
    )
    loads: list[LoadFacts] = Field(
        default=[], alias="load", max_length=100, description="Wheels and posts on the new floor."
    )
    practice: PracticeFacts = Field(
        default=PracticeFacts(), description="Your own limits; common practice where left out."
    )
    wishes: WishFacts = Field(description="What the new top shall be.")
    mix: MixFacts = Field(default=MixFacts(), description="What goes on the order.")
    steel: SteelFacts = Field(
        default=SteelFacts(), description="Wire or bars in the new slab, and what holds them up."
    )
    joints: JointFacts | None = Field(default=None, description="Contraction joints.")
    isolation: IsolationFacts | None = Field(
        default=None, description="The strip at walls, posts and steps."
    )
    breaker: BreakerFacts | None = Field(
        default=None, description="The sheet under an unbonded top."
    )
    bonding: BondingFacts | None = Field(
        default=None, description="The bonding agent under a bonded top."
    )
    patch: FillingFacts | None = Field(
        default=None, description="What fills pits and hollow places before the top."
    )
    cure: CureFacts | None = Field(default=None, description="The curing compound.")
    cure_cover: CoverFacts | None = Field(
        default=None, description="Blankets or sheet that keep the new slab damp."
    )
    sealer: SealerFacts | None = Field(default=None, description="The sealer.")
    forms: FormFacts | None = Field(default=None, description="Boards and bulkheads.")
    proposal: ProposalFacts = Field(
        default=ProposalFacts(), description="The words of the proposal, as you write them."
    )

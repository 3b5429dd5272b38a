"""The keys of ``job.toml`` for what was found at the old slab, and for the owner's own limits."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from overslab.job.sections import Corners, Named, Section
from overslab.job.typed import (
    Area,
    Contact,
    Day,
    Force,
    Margin,
    Pressure,
    Share,
    Size,
    Stiffness,
)

Said = Literal["yes", "no", "not known"]
Grade = Annotated[int, Field(ge=1, le=10, strict=True)]
_NOT_KNOWN = 'Left out or "not known": nobody looked, which never counts as good.'


def _said(question: str) -> Said:
    said: Said = Field(default="not known", description=f'{question} "yes" or "no". {_NOT_KNOWN}')
    return said


class FindingFacts(Section):
    """[findings]: what was found at the old slab."""

    sounded: Said = _said("Was the whole floor sounded with hammer or chain?")
    stands_on: Literal["ground", "suspended", "not known"] = Field(
        default="not known",
        description=f'"ground", or "suspended" over a room or a void. {_NOT_KNOWN}',
    )
    cause: Annotated[str, Field(strict=True, max_length=200)] = Field(
        default="", description='Why it sank, as you believe: "fill over an old pit".'
    )
    cause_cured: Said = _said("Is that cause cured?")
    still_moving: Said = _said("Does the floor still move?")
    undermined: Said = _said("Is there a void under any of it?")
    frost_heave: Said = _said("Does frost lift it?")
    freezes: Said = _said("Does the finished floor, wet, meet frost?")
    deicers: Said = _said("Does salt reach it, also off vehicles?")
    water_from: list[
        Literal["rain", "vehicles", "wash-down", "ground", "plumbing", "not known"]
    ] = Field(
        default=["not known"],
        min_length=1,
        description='Where its water comes from: "rain", "vehicles", "wash-down", "ground", '
        '"plumbing"; with "not known" for what is still open.',
    )
    sheet_test: Literal["dry", "damp", "not done"] = Field(
        default="not done",
        description='Under a plastic sheet taped down for 48 hours it was "dry" or "damp".',
    )
    hose_test: Literal["stays away", "comes in", "not done"] = Field(
        default="not done",
        description='Water from a hose played on doors and walls outside "stays away" or '
        '"comes in".',
    )
    drained: Said = _said("Has ground water a drain and a place to go?")
    surface: list[Literal["clean", "oil", "paint", "adhesive", "scaled", "not known"]] = Field(
        default=["not known"],
        min_length=1,
        description='What is on its face: "clean", or "oil", "paint", "adhesive", "scaled".',
    )
    profile: Grade | None = Field(
        default=None, description="Roughness of the prepared face, CSP 1 to 10, a whole number."
    )
    pull_off: Pressure | None = Field(
        default=None, description='Least pull-off strength of the prepared face: "200 psi".'
    )
    thickness: Size | None = Field(
        default=None, description='Thickness of the old slab, a length: "4 in".'
    )
    strength: Pressure | None = Field(
        default=None, description='Strength of the old concrete: "3000 psi".'
    )
    heating_pipes: Said = _said("Are there heating pipes in it?")
    heating_pipe_depth: Size | None = Field(
        default=None,
        description='Cover over the pipes as proven, a length: "2 in". Left out: no drilling.',
    )
    tendons: Said = _said("Are there stressed tendons in it?")
    lift_posts: Said = _said("Is or will a vehicle lift be bolted to it?")
    lift_on_own_pads: Said = _said(
        "Does the lift stand on pads of its own that are no part of the new top?"
    )
    subgrade: Stiffness | None = Field(
        default=None, description='Stiffness of the ground under the old slab: "100 pci".'
    )


class HollowFacts(Named):
    """[[hollow]]: a place that sounds hollow."""

    corners: Corners = Field(description='Its corners in order, places: [["9 ft", "4 ft"], ...].')
    found_by: Annotated[str, Field(strict=True, max_length=200)] = Field(
        default="", description='How it was found: "hammer", "chain".'
    )


class LoadFacts(Named):
    """[[load]]: a wheel, an axle or a post that will stand on the new floor."""

    kind: Literal["wheel", "axle", "post"] = Field(
        description='"wheel", "axle" (half of its load at either end) or "post".'
    )
    load: Force = Field(description='Load of the one wheel, axle or post: "3000 lb", "13 kN".')
    contact: Contact | None = Field(
        default=None,
        description='Area it presses on, of an axle at one end, a small area: "20 in2".',
    )
    tire_pressure: Pressure | None = Field(
        default=None, description='Instead of contact, of a wheel or axle: tire pressure, "90 psi".'
    )
    twins_apart: Size | None = Field(
        default=None,
        description='Of twin tires, with tire_pressure: middle to middle, a length: "13 in".',
    )


class PracticeFacts(Section):
    """[practice]: your own limits, dated; what is left out is common practice and says so."""

    date: Day | None = Field(
        default=None,
        description="The day from which you hold to these, year-month-day. Left out: the survey's.",
    )
    unbonded_least: Size | None = Field(
        default=None, description='Least thickness of an unbonded top, a length: "3 in".'
    )
    bonded_least: Size | None = Field(
        default=None, description='Least thickness of a bonded top, a length: "1 1/2 in".'
    )
    crack_step: Margin | None = Field(
        default=None, description='Greatest step across a crack that is left, a length: "1/4 in".'
    )
    crack_growth: Margin | None = Field(
        default=None,
        description=(
            "Greatest change of a crack between readings that still counts as standing still, a "
            'length: "1/32 in".'
        ),
    )
    hollow_share: Share | None = Field(
        default=None, description='Greatest share of the floor that may sound hollow: "10%".'
    )
    hollow_each: Area | None = Field(
        default=None,
        description='Greatest hollow place that is left to itself, an area: "10 sq ft".',
    )
    profile: Grade | None = Field(
        default=None, description="Least roughness under a bonded top, CSP 1 to 10."
    )
    pull_off: Pressure | None = Field(
        default=None, description='Least pull-off strength under a bonded top: "150 psi".'
    )
    note: Annotated[str, Field(strict=True, max_length=200)] = Field(
        default="", description="Why you hold to these, in words."
    )


class CrackReadingFacts(Section):
    """[[break.reading]]: one dated look at a crack."""

    date: Day = Field(description="The day it was read, year-month-day.")
    width: Margin = Field(description='Its width that day, a length: "1/8 in", "3 mm".')
    step: Margin | None = Field(
        default=None, description='The step across it that day, a length: "3/8 in".'
    )


class Looked(Section):
    """What was seen of a break beside its line."""

    width: Margin | None = Field(
        default=None, description='Its width on the day of the survey, a length: "1/8 in".'
    )
    readings: list[CrackReadingFacts] = Field(
        default=[],
        alias="reading",
        max_length=500,
        description="Dated looks at it; two or more tell whether it still moves.",
    )
    moves_under_wheel: Said = _said("Does it move when a wheel rolls over it?")

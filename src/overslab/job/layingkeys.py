"""The keys of ``job.toml`` for what lies in, under and on the new slab beside the concrete.

A section that is left out means that the thing is not wanted: nothing is laid unasked.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from overslab.job.sections import Section
from overslab.job.typed import Area, Margin, Share, Size, Volume, Words, above_zero

Coverage = Annotated[Area, above_zero]
Filling = Annotated[Volume, above_zero]
Sizes = Annotated[list[Size], Field(min_length=1, max_length=20)]
Minutes = Annotated[int, Field(strict=True, ge=1, le=1440)]
Few = Annotated[int, Field(strict=True, ge=1, le=6)]
_WHAT = "What it is in the words you buy it by, without figures"


class WireFacts(Section):
    """[steel.wire]: welded wire in flat sheets."""

    style: Words = Field(description='Its style as it is sold: "6x6 W2.9".')
    sheet_length: Size = Field(description='Length of a sheet, a length: "20 ft".')
    sheet_width: Size = Field(description='Width of a sheet, a length: "8 ft".')
    spacing: Size = Field(description='From wire to wire, both ways, a length: "6 in".')
    wire: Size = Field(description='Thickness of one wire, a length: "0.192 in".')
    lap: Size = Field(
        description='How far sheets overlap, outermost wire to outermost wire: "8 in".'
    )
    edge: Margin = Field(
        description='How far the sheets end from edges, walls and posts, a length: "2 in".'
    )
    cover_top: Size = Field(description='Least concrete over the wire, a length: "1 in".')
    cover_bottom: Size = Field(description='Least concrete under the wire, a length: "3/4 in".')
    least_offcut: Size | None = Field(
        default=None,
        description='The shortest offcut still worth using, a length: "1 ft". Left out: 1 ft.',
    )
    overhang: Margin | None = Field(
        default=None,
        description="How far wires stand out beyond the outermost wire of a sheet, a length: "
        '"1 in". Left out: not at all.',
    )
    alike_both_ways: bool = Field(
        default=True, strict=True, description="false: sheets and pieces may not be turned."
    )
    tie_spacing: Size | None = Field(
        default=None,
        description='From tie to tie along the laps, a length: "2 ft". Left out: not counted.',
    )


class BarFacts(Section):
    """[steel.bars]: bars at even spacing."""

    size: Words = Field(description='Its size as it is sold: "#4", "10M".')
    diameter: Size = Field(description='Nominal thickness of a bar, a length: "1/2 in".')
    spacing: Size = Field(description='From bar to bar, a length: "18 in".')
    stock_length: Size = Field(description='Length of a bar as delivered, a length: "20 ft".')
    lap: Size = Field(description='How far two bars overlap, a length: "24 in".')
    edge: Margin = Field(
        description='How far bars end from edges, walls and posts, a length: "2 in".'
    )
    cover_top: Size = Field(description='Least concrete over the bars, a length: "1 in".')
    cover_bottom: Size = Field(description='Least concrete under the bars, a length: "3/4 in".')
    least_piece: Size | None = Field(
        default=None,
        description='The shortest piece still worth using, a length: "1 ft". Left out: 1 ft.',
    )
    both_ways: bool = Field(
        default=True, strict=True, description="false: only along the longer side of the floor."
    )


class SupportFacts(Section):
    """[steel.supports]: what holds the steel up while you pour."""

    kind: Literal["bolster", "chair"] = Field(description='"bolster" (in lines) or "chair".')
    spacing: Size = Field(description='From line to line or chair to chair, a length: "3 ft".')
    height: Size = Field(description='How high it holds the steel, a length: "1 1/2 in".')
    stock_length: Size | None = Field(
        default=None, description='Of a bolster: length of one piece, a length: "5 ft".'
    )
    box_of: Annotated[int, Field(strict=True, ge=1, le=10_000)] = Field(
        default=1, description="How many pieces are sold together, a whole number: 100."
    )


class SteelFacts(Section):
    """[steel]: wire or bars in the new slab, and what holds them up."""

    wire: WireFacts | None = Field(default=None, description="Welded wire in flat sheets.")
    bars: BarFacts | None = Field(default=None, description="Bars at even spacing.")
    supports: SupportFacts | None = Field(
        default=None, description="Bolsters or chairs under the steel."
    )


class JointFacts(Section):
    """[joints]: where the new slab may crack in a straight line."""

    kind: Literal["sawn", "early-entry", "tooled"] = Field(
        description='How they are made: "sawn", "early-entry" or "tooled".'
    )
    greatest_panel: Size | None = Field(
        default=None,
        description='Longest side of a panel, a length: "10 ft". Left out: the published rule for '
        "the thinnest place.",
    )
    greatest_aspect: Annotated[float, Field(strict=True, ge=1, le=5)] = Field(
        default=1.5, description="Longest side over shortest side of a panel, a plain number: 1.5."
    )
    depth: Share | None = Field(
        default=None,
        description='Depth of the cut, a share of the thickness: "25%". Left out: the published '
        "rule.",
    )
    step: Size | None = Field(
        default=None,
        description='Joints stand on whole steps from the corner of the floor, a length: "1 ft". '
        "Left out: 1 ft, or 300 mm in metric.",
    )
    at_doors: bool = Field(
        default=True, strict=True, description="false: no joints are wanted at the jambs of doors."
    )
    jambs: Literal["one", "both"] = Field(
        default="one", description='At how many jambs of a door a joint is wanted: "one", "both".'
    )
    least_strip: Size | None = Field(
        default=None,
        description='How far joints keep from walls and from each other at least, a length: "2 ft".'
        " Left out: 2 ft, or 600 mm in metric.",
    )
    filler: bool = Field(default=False, strict=True, description="true: the joints are filled.")


class IsolationFacts(Section):
    """[isolation]: the soft strip between the new slab and what stands still."""

    what: Words = Field(description=f'{_WHAT}: "asphalt-coated fibre strip".')
    roll_length: Size = Field(description='Length of one roll or piece, a length: "50 ft".')
    heights: Sizes = Field(
        description='Heights it can be had in, lengths: ["3 1/2 in", "4 in", "6 in"].'
    )
    lap: Margin | None = Field(
        default=None, description="How far pieces overlap, a length. Left out: they only meet."
    )
    at_doors: bool = Field(
        default=False,
        strict=True,
        description="true: the strip also runs across doors and open edges against a slab outside.",
    )


class BreakerFacts(Section):
    """[breaker]: the sheet under an unbonded top."""

    what: Words = Field(description=f'{_WHAT}: "polyethylene sheet".')
    roll_length: Size = Field(description='Length of a roll, a length: "100 ft".')
    roll_width: Size = Field(description='Width of a roll laid open, a length: "12 ft".')
    lap: Size = Field(description='How far courses and ends overlap, a length: "6 in".')
    layers: Few = Field(default=1, description="How many sheets lie on each other: 1 or 2.")
    upturn: Margin | None = Field(
        default=None,
        description='How far it is turned up at walls, a length: "4 in". Left out: not at all.',
    )
    tape_length: Size | None = Field(
        default=None,
        description='Length of a roll of tape for the laps, a length: "180 ft". Left out: laps '
        "are not taped.",
    )


class SpreadFacts(Section):
    """What is spread by area."""

    what: Words = Field(description=f"{_WHAT}.")
    covers: Coverage = Field(
        description='Floor that one unit covers in one coat, as its maker says, an area: "200 sq '
        'ft".'
    )
    unit: Words = Field(description='How it is sold: "5 gal bucket", "50 lb bag".')
    coats: Few = Field(default=1, description="How many coats, a whole number: 1.")


class BondingFacts(SpreadFacts):
    """[bonding]: the bonding agent or grout under a bonded top."""

    open_minutes: Minutes | None = Field(
        default=None,
        description="Minutes within which concrete must lie on it, as its maker says: 30. Left "
        "out: not known, and to be asked.",
    )


class CureFacts(SpreadFacts):
    """[cure]: the curing compound."""


class SealerFacts(SpreadFacts):
    """[sealer]: the sealer, once the concrete is old enough for it."""


class FillingFacts(Section):
    """[patch]: what fills pits and hollow places before the top."""

    what: Words = Field(description=f'{_WHAT}: "repair mortar".')
    fills: Filling = Field(
        description='Volume that one unit fills, as its maker says, a volume: "0.5 ft3", "12 L".'
    )
    unit: Words = Field(description='How it is sold: "60 lb bag", "25 kg bag".')
    hollow_depth: Size | None = Field(
        default=None,
        description='How deep hollow places are cut out, a length: "1 1/2 in". Left out: not '
        "known, and to be asked.",
    )
    pits: bool = Field(
        default=True,
        strict=True,
        description="false: pits and trenches are left for the concrete of the top to fill.",
    )


class CoverFacts(Section):
    """[cure_cover]: blankets or sheet that keep the new slab damp."""

    what: Words = Field(description=f'{_WHAT}: "wet curing blanket".')
    roll_length: Size = Field(description='Length of a roll, a length: "100 ft".')
    roll_width: Size = Field(description='Width of a roll, a length: "10 ft".')
    lap: Margin = Field(description='How far courses overlap, a length: "6 in".')


class FormFacts(Section):
    """[forms]: boards on open edges, and bulkheads where a day ends."""

    board_length: Size = Field(description='Length of a board, a length: "16 ft".')
    heights: Sizes | None = Field(
        default=None,
        description='Heights boards can be had in, lengths: ["3 1/2 in", "5 1/2 in"]. Left out: '
        "ripped to the thickness.",
    )
    stakes: Size = Field(description='From stake to stake, a length: "3 ft".')
    bulkheads: bool = Field(
        default=True,
        strict=True,
        description="false: no bulkhead is held ready where the pour may have to stop.",
    )
    day_ends: list[Words] = Field(
        default=[],
        max_length=50,
        description='Names of the strips after which a day of pouring ends: ["strip 2"].',
    )

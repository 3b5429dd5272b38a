"""The keys of ``job.toml`` for the mix: what is asked of the plant, and what the plant says."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from overslab.job.findingkeys import Said
from overslab.job.sections import Section
from overslab.job.typed import Density, Pressure, Share, Size

Number = Annotated[float, Field(strict=True)]
Minutes = Annotated[int, Field(strict=True, ge=1, le=600)]


class PlantMixFacts(Section):
    """[mix.plant]: what the plant says of the mix it offers, by a unit volume of concrete."""

    code: Annotated[str, Field(strict=True, max_length=60)] = Field(
        default="", description='The plant\'s own code of the mix: "A45".'
    )
    cement: Density | None = Field(
        default=None,
        description='All cementitious material, weight by volume: "564 lb/yd3", "335 kg/m3".',
    )
    water: Density | None = Field(
        default=None,
        description='All water, with what the aggregate brings: "254 lb/yd3", "150 kg/m3".',
    )
    stone: Density | None = Field(
        default=None, description='Stone, oven-dry, weight by volume: "1690 lb/yd3".'
    )
    sand: Density | None = Field(
        default=None, description='Sand, oven-dry, weight by volume: "1290 lb/yd3".'
    )
    air: Share | None = Field(default=None, description='Air that it is made for, a share: "6%".')
    fineness: Number | None = Field(
        default=None, description="Fineness modulus of the sand, a plain number: 2.80."
    )
    dry_rodded: Density | None = Field(
        default=None, description='Dry-rodded weight of the stone: "101 lb/ft3", "1620 kg/m3".'
    )
    stone_gravity: Number | None = Field(
        default=None, description="Specific gravity of the stone, oven-dry: 2.68."
    )
    sand_gravity: Number | None = Field(
        default=None, description="Specific gravity of the sand, oven-dry: 2.64."
    )


class MixFacts(Section):
    """[mix]: what goes on the order, as you want it; nothing is filled in for you."""

    strength: Pressure | None = Field(default=None, description='Strength: "4000 psi", "28 MPa".')
    stone: Size | None = Field(default=None, description='Greatest stone, a length: "3/4 in".')
    slump: Size | None = Field(default=None, description='Slump, a length: "4 in".')
    air: Share | None = Field(default=None, description='Air, a share: "6%"; "0%" for none.')
    water_cement: Number | None = Field(
        default=None,
        description="Greatest water-cement ratio by weight, a plain number: 0.45.",
    )
    steel: Said = Field(
        default="not known",
        description='Do wire or bars lie in the new slab? "yes" or "no"; salt asks more of the '
        "mix where they do.",
    )
    fibre: (
        Literal["none", "micro fibre", "fibrillated fibre", "macro fibre", "steel fibre"] | None
    ) = Field(default=None, description='Kind of fibre, or "none".')
    fibre_dose: Density | None = Field(
        default=None, description='Dose of the fibre: "1 lb/yd3", "0.6 kg/m3".'
    )
    reducer: Literal["none", "Type A", "Type D", "mid-range", "Type F", "Type G"] | None = Field(
        default=None, description='Kind of water reducer, or "none".'
    )
    water_cut: Share | None = Field(
        default=None,
        description='Water that the reducer takes off, as its maker says, a share: "8%".',
    )
    discharge_within: Minutes | None = Field(
        default=None,
        description="Minutes from batching until the truck is empty, as agreed with the plant: 90.",
    )
    durability_by: Literal["318-19", "318-08", "PCA 9-1"] | None = Field(
        default=None,
        description="Whose limits for frost and salt you hold to: ACI 318 of 2019, of 2008, or "
        "table 9-1 of the Portland Cement Association. Left out: that of 2019, and said so.",
    )
    notes: Annotated[str, Field(strict=True, max_length=2000)] = Field(
        default="", description="Anything else the plant shall read."
    )
    plant: PlantMixFacts = Field(
        default=PlantMixFacts(), description="What the plant says of the mix it offers."
    )

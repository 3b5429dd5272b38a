"""The mix out of ``job.toml``: what is asked of the plant, and what the plant says of its own."""

from __future__ import annotations

from overslab.job.floorplan import Plotter
from overslab.job.mixkeys import PlantMixFacts
from overslab.job.touches import or_none
from overslab.job.typed import told
from overslab.order import MixAsked, PlantMix, mix_faults


def mix_in(plotter: Plotter) -> MixAsked:
    """The mix as written; faults go to the plotter."""
    facts, steel = plotter.facts.mix, plotter.facts.steel
    laid = steel.wire is not None or steel.bars is not None
    mix = MixAsked(
        strength_pa=or_none(facts.strength),
        stone_m=or_none(facts.stone),
        slump_m=or_none(facts.slump),
        air=or_none(facts.air),
        notes=facts.notes.strip(),
        water_cement_ratio=facts.water_cement,
        steel="yes" if laid and facts.steel == "not known" else facts.steel,
        fibre=facts.fibre,
        fibre_kg_per_m3=or_none(facts.fibre_dose),
        reducer=facts.reducer,
        water_cut=or_none(facts.water_cut),
        discharge_minutes=facts.discharge_within,
        edition=facts.durability_by,
        tables="metric" if plotter.units.system == "metric" else "US",
        plant=_plant_mix(facts.plant),
    )
    place = plotter.source.place("mix")
    plotter.found += [told(fault, place=place) for fault in mix_faults(mix, plotter.units)]
    return mix


def _plant_mix(facts: PlantMixFacts) -> PlantMix:
    return PlantMix(
        code=facts.code.strip(),
        cement_kg_per_m3=or_none(facts.cement),
        water_kg_per_m3=or_none(facts.water),
        coarse_kg_per_m3=or_none(facts.stone),
        fine_kg_per_m3=or_none(facts.sand),
        air_share=or_none(facts.air),
        fineness_modulus=facts.fineness,
        dry_rodded_kg_per_m3=or_none(facts.dry_rodded),
        coarse_gravity=facts.stone_gravity,
        fine_gravity=facts.sand_gravity,
    )

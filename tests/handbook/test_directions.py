"""Which way every formula of the structural chapters goes with each of its inputs.

The directions are written down from what the formula is about, not from running it: ``+`` grows,
``-`` falls, ``>`` never falls, ``<`` never grows. Every input of every formula must be here.
"""

from __future__ import annotations

from itertools import pairwise
from math import isfinite

import pytest

from overslab.ground.faults import Faulty
from overslab.handbook.limits import load_chapters
from overslab.handbook.working import Formula, known_formulas

load_chapters()
CHAPTERS = {
    "building_checks", "crew_rates", "curling", "drainage_limits", "flatness", "joint_cuts",
    "joints", "overlay", "overlay_others", "punching", "reinforcement", "shrinkage",
    "slab_corner", "slab_loads", "slab_stress", "straightedge", "weight", "wire",
}  # fmt: skip
FORMULAS = {entry.name: entry for entry in known_formulas() if entry.chapter in CHAPTERS}

_CORPS = "new_strength_thickness_m+ old_strength_thickness_m+ old_thickness_m- condition-"
_FAA = "needed_thickness_m+ old_thickness_m- condition-"
_WORTH = "overlay_thickness_m+ old_thickness_m+ condition+"
_ROUND = "load_n+ slab_thickness_m- stiffness_radius_m+ contact_radius_m-"
_INSIDE = "load_n+ slab_thickness_m- stiffness_radius_m+ equivalent_radius_m-"
_DOWN = "load_n+ subgrade_pa_per_m- stiffness_radius_m- contact_radius_m-"
DIRECTIONS = {
    "overlay_corps_2001_bonded": "needed_thickness_m+ old_thickness_m-",
    "overlay_corps_2001_partly_bonded": _CORPS,
    "overlay_corps_2001_unbonded": _CORPS,
    "equivalent_ufc_2001_partly_bonded": _WORTH,
    "equivalent_ufc_2001_unbonded": _WORTH,
    "overlay_faa_1995_direct": _FAA,
    "overlay_faa_1995_over_leveling_course": _FAA,
    "overlay_faa_1995_bonded": "needed_thickness_m+ old_thickness_m-",
    "asphalt_overlay_faa_1995": "control+ needed_thickness_m+ condition- old_thickness_m-",
    "equivalent_ufc_2001_under_asphalt": "control- asphalt_thickness_m+ condition+"
    " old_thickness_m+",
    "effective_aashto_1993_bonded": "joints_factor+ durability_factor+ fatigue_factor+"
    " old_thickness_m+",
    "effective_aashto_1993_unbonded": "joints_factor+ old_thickness_m+",
    "effective_aashto_1993_by_life": "condition+ old_thickness_m+",
    "overlay_aashto_1993_bonded": "needed_thickness_m+ effective_thickness_m-",
    "overlay_aashto_1993_unbonded": "needed_thickness_m+ effective_thickness_m-",
    "stiffness_radius": "modulus_pa+ slab_thickness_m+ subgrade_pa_per_m- poisson+",
    "equivalent_radius": "contact_radius_m+",
    "interior_stress": _INSIDE,
    "interior_stress_any_poisson": f"{_INSIDE} poisson+",
    "interior_deflection": _DOWN,
    "edge_stress_circle": _ROUND,
    "edge_stress_semicircle": _ROUND,
    "edge_deflection_circle": _DOWN,
    "edge_deflection_semicircle": _DOWN,
    "corner_stress_westergaard": _ROUND,
    "corner_stress_ioannides": _ROUND,
    "corner_deflection_westergaard": _DOWN,
    "corner_deflection_ioannides": _DOWN,
    "corner_crack_distance": "contact_radius_m+ stiffness_radius_m+",
    "edge_stress_older": _INSIDE,
    "contact_radius_of_duals": "wheel_load_n+ tire_pressure_pa- spacing_m+",
    "contact_radius_of_tire": "load_n+ tire_pressure_pa-",
    "contact_radius_of_plate": "side_m+",
    # Past its peak at 8.9 the coefficient comes down to 1; its own test follows it there.
    "bradbury_coefficient": "",
    "curling_interior_stress": "modulus_pa+ expansion_per_c+ difference_c+ poisson+"
    " along_coefficient+ across_coefficient+",
    "curling_edge_stress": "coefficient+ modulus_pa+ expansion_per_c+ difference_c+",
    "curling_corner_stress": "modulus_pa+ expansion_per_c+ difference_c+ poisson+"
    " contact_radius_m+ stiffness_radius_m-",
    "uniform_load_tm_5_809_12": "allowed_stress_pa+ subgrade_pa_per_m+ slab_thickness_m+"
    " modulus_pa-",
    "wall_load_ufc_3_320_06a": "flexural_pa+ slab_thickness_m+ subgrade_pa_per_m+",
    "thickness_factor_ufc_3_320_06a": "subgrade_pa_per_m-",
    "ground_stiffness_from_cbr_packard": "cbr+",
    "ground_stiffness_from_cbr_faa_6e": "cbr+",
    "flexural_strength_tm_5_809_12": "strength_pa+",
    "flexural_strength_aci_318": "strength_pa+",
    "concrete_modulus": "strength_pa+",
    "safety_in_bending": "flexural_pa+ stress_pa-",
    "punching_perimeter": "side_m+ depth_m+",
    "plain_depth_on_soil": "slab_thickness_m+",
    "factored_load": "dead_n+ live_n+",
    "punching_strength_reinforced": "strength_pa+ perimeter_m+ depth_m+",
    "straight_shear_strength_reinforced": "strength_pa+ width_m+ depth_m+",
    "punching_strength_plain": "strength_factor+ strength_pa+ perimeter_m+ depth_m+",
    "bearing_strength": "strength_pa+ loaded_m2+ spread_m2>",
    "pressure_under_base": "load_n+ side_m-",
    "punching_demand": "pressure_pa+ side_m+ cut_side_m-",
    "straight_shear_demand": "pressure_pa+ side_m+ column_m- depth_m-",
    "bar_development_length": "yield_pa+ diameter_m+ strength_pa-",
    "added_weight": "thickness_m+ density_kg_per_m3+",
    "settlement_at_once": "added_pa+ subgrade_pa_per_m-",
    "consolidation_settlement": "compression_index+ layer_m+ void_ratio- stress_pa- added_pa+",
    "joint_spacing": "slab_thickness_m> times_thickness> cap_m>",
    "joint_spacing_pca_1983": "slab_thickness_m> times_thickness>",
    "joint_depth": "slab_thickness_m> part> least_m>",
    "joint_depth_bonded_across": "thickness_m+",
    "joint_depth_bonded_along": "thickness_m+",
    "subgrade_drag_steel": "friction+ length_m+ weight_pa+ steel_stress_pa-",
    "working_steel_stress": "yield_pa+",
    "bar_steel": "bar_m2+ spacing_m-",
    "steel_ratio": "steel_m2+ concrete_m2-",
    "steel_of_ratio": "steel_share+ slab_thickness_m+",
    "wire_steel": "wire_number+ spacing_m-",
    "lap_of_plain_wire": "spacing_m>",
    "lap_of_deformed_wire": "development_m>",
    "net_cover_of_sheet": "width_m+ length_m+ lap_m-",
    "supports_by_floor": "floor_m2> each_m2<",
    "shrinkage_share_aci_209_1992": "drying_days+",
    "humidity_factor_aci_209_1992": "humidity_share-",
    "humidity_factor_aci_209_older": "humidity_share-",
    "size_factor_aci_209_1992": "volume_to_surface_m-",
    "shrinkage_aci_209_1992": "shrinkage_share+ ultimate_strain+ humidity_factor+ size_factor+",
    "shrinkage_gl2000": "cement_factor+ mean_strength_pa- humidity_share- drying_days+"
    " volume_to_surface_m-",
    "shrinkage_ceb_mc90_99_drying": "humidity_share- notional_strain+ drying_days+"
    " volume_to_surface_m-",
    "joint_opening": "shrinkage_strain+ panel_m+",
    "restraint_stress_ceiling": "strain_difference+ aged_modulus_pa+",
    # Lines of heights have no direction; their own tests hold them.
    "floor_flatness": "",
    "floor_levelness": "",
    "straightedge_gap": "",
    "levelness_of_plane": "slope-",
    "flatness_of_wave": "amplitude_m- wave_m+",
    "combined_f_number": "first_number+ first_count- second_number+ second_count+",
    "overall_f_number": "first_number+ first_m2- second_number+ second_m2+",
    # As remembered it drops at 1600 ft2; its own test says so.
    "least_level_readings": "",
    "gap_of_flatness": "flatness_number-",
    "gap_din_18202": "span_m>",
    "gap_of_hollow": "curve_per_m+ straightedge_m+",
    "height_after_topping": "before_m+ topping_m-",
    "riser_count": "rise_m> riser_m<",
    "even_riser": "rise_m+ risers-",
    "ramp_run": "rise_m+ slope-",
    "fall_window": "least_fall- greatest_fall+",
    "finishing_hours": "floor_m2+ each_hour_m2-",
}
# A row of a table, a thickness that first narrows and then widens, a length that is 0 as a rule.
LEFT_OUT = {
    "gap_din_18202": {"row"},
    "equivalent_radius": {"slab_thickness_m"},
    "lap_of_plain_wire": {"development_m"},
}
CASES = [
    (name, word[:-1], word[-1]) for name, words in DIRECTIONS.items() for word in words.split()
]


def test_every_formula_and_every_input_has_its_direction():
    assert set(DIRECTIONS) == set(FORMULAS)
    for name, words in DIRECTIONS.items():
        if words:
            named = {word[:-1] for word in words.split()} | LEFT_OUT.get(name, set())
            assert named == set(FORMULAS[name].symbols), name


def values(entry: Formula, name: str) -> list[float]:
    """Results as one input goes through what the formula takes, the rest as in its example."""
    base = entry.example_si()
    got = []
    for times in (0.4, 0.6, 0.8, 0.9, 0.95, 1.0, 1.05, 1.1, 1.2, 1.5, 2.0):
        try:
            got.append(float(entry.function(**{**base, name: base[name] * times})))
        except Faulty:
            continue
    return got


@pytest.mark.parametrize(("name", "given", "way"), CASES)
def test_direction(name, given, way):
    entry = FORMULAS[name]
    got = values(entry, given)
    assert len(got) >= 4
    assert all(isfinite(value) for value in got)
    steps = [later - earlier for earlier, later in pairwise(got)]
    if way in "+-":
        signed = steps if way == "+" else [-step for step in steps]
        # A result that is held at 0 stays there.
        moving = [step for step, value in zip(signed, got, strict=False) if value != 0]
        assert all(step > 0 for step in moving)
        assert moving
    elif way == ">":
        assert all(step >= 0 for step in steps)
    else:
        assert all(step <= 0 for step in steps)

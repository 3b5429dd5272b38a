"""Overlay by other hands: Federal Aviation Administration 1995 and AASHTO 1993.

Kept beside the military's equations because sources that differ are all kept. None of them was
written for a thin topping on a floor.
"""

from __future__ import annotations

from math import sqrt

from overslab.handbook.overlay import (
    PARTLY_BONDED_POWER,
    UNBONDED_POWER,
    hold_thicknesses,
    left_over,
)
from overslab.handbook.publications import AASHTO_1993, FAA_1995, UFC_EVALUATION
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

# AASHTO 1993: in an unbonded overlay no more of the old slab than this counts (memory).
AASHTO_MOST_OLD_M = 0.254
_AASHTO = AASHTO_1993
_FAA = f"{FAA_1995}, concrete on concrete"
_FAA_SYMBOLS = {"needed_thickness_m": "h", "old_thickness_m": "he", "condition": "Cr"}
_FAA_PRINTED = {
    "needed_thickness_m": "in",
    "old_thickness_m": "in",
    "overlay_thickness_m": "in",
}


@formula(
    equation="hc = (h^1.4 - Cr*he^1.4)^(1/1.4)",
    symbols=_FAA_SYMBOLS,
    result=("overlay_thickness_m", "hc"),
    source=_FAA,
    known="memory",
    valid="no leveling course between; Cr 0.35, 0.75 or 1.0; 0 when the old slab is enough",
    # Closed form: 6 * 2^(1/1.4) is needed, 6 is there.
    example={"needed_thickness_m": 9.844, "old_thickness_m": 6.0, "condition": 1.0},
    example_result=6.0,
    printed_in=_FAA_PRINTED,
)
def overlay_faa_1995_direct(
    *, needed_thickness_m: float, old_thickness_m: float, condition: float
) -> float:
    """Overlay thickness on the old slab itself, Federal Aviation Administration."""
    hold_thicknesses(
        source=_FAA,
        condition=condition,
        needed_thickness_m=needed_thickness_m,
        old_thickness_m=old_thickness_m,
    )
    return left_over(
        needed_m=needed_thickness_m,
        taken_m=old_thickness_m,
        condition=condition,
        power=PARTLY_BONDED_POWER,
    )


@formula(
    equation="hc = (h^2 - Cr*he^2)^0.5",
    symbols=_FAA_SYMBOLS,
    result=("overlay_thickness_m", "hc"),
    source=_FAA,
    known="memory",
    valid="over a leveling course; Cr 0.35, 0.75 or 1.0; 0 when the old slab is enough",
    example={"needed_thickness_m": 5.0, "old_thickness_m": 4.0, "condition": 1.0},
    example_result=3.0,
    printed_in=_FAA_PRINTED,
)
def overlay_faa_1995_over_leveling_course(
    *, needed_thickness_m: float, old_thickness_m: float, condition: float
) -> float:
    """Overlay thickness over a leveling course, Federal Aviation Administration."""
    hold_thicknesses(
        source=_FAA,
        condition=condition,
        needed_thickness_m=needed_thickness_m,
        old_thickness_m=old_thickness_m,
    )
    return left_over(
        needed_m=needed_thickness_m,
        taken_m=old_thickness_m,
        condition=condition,
        power=UNBONDED_POWER,
    )


@formula(
    equation="hc = h - he",
    symbols={"needed_thickness_m": "h", "old_thickness_m": "he"},
    result=("overlay_thickness_m", "hc"),
    source=_FAA,
    known="memory",
    valid="fully bonded; at least 0",
    # By hand.
    example={"needed_thickness_m": 9.0, "old_thickness_m": 6.0},
    example_result=3.0,
    printed_in=_FAA_PRINTED,
)
def overlay_faa_1995_bonded(*, needed_thickness_m: float, old_thickness_m: float) -> float:
    """Overlay thickness when new and old concrete are fully bonded, FAA."""
    hold_thicknesses(
        source=_FAA, needed_thickness_m=needed_thickness_m, old_thickness_m=old_thickness_m
    )
    return max(needed_thickness_m - old_thickness_m, 0.0)


@formula(
    equation="t = 2.5*(F*h - Cb*he)",
    symbols={
        "control": "F",
        "needed_thickness_m": "h",
        "condition": "Cb",
        "old_thickness_m": "he",
    },
    result=("asphalt_thickness_m", "t"),
    source=f"{FAA_1995}, paragraph 406: printed 3.82 in (97 mm), rounded up to 4 in",
    known="read",
    valid="asphalt over old concrete; Cb from 0.75, below which the slab is not overlaid as it is",
    example={
        "control": 0.93,
        "needed_thickness_m": 13.9,
        "condition": 0.95,
        "old_thickness_m": 12.0,
    },
    # The page has 3.82, the sum 3.8175: the page rounds to the third digit.
    example_result=3.82,
    printed_in={
        "needed_thickness_m": "in",
        "old_thickness_m": "in",
        "asphalt_thickness_m": "in",
    },
)
def asphalt_overlay_faa_1995(
    *, control: float, needed_thickness_m: float, condition: float, old_thickness_m: float
) -> float:
    """Asphalt overlay on an old concrete slab; ``control`` is how far the base may crack on."""
    hold_thicknesses(
        within("control", control, above=0, most=1),
        within("condition", condition, least=0.75, most=1),
        source=FAA_1995,
        needed_thickness_m=needed_thickness_m,
        old_thickness_m=old_thickness_m,
    )
    return max(2.5 * (control * needed_thickness_m - condition * old_thickness_m), 0.0)


@formula(
    equation="hE = (1/F)*(0.33*t + Cb*h)",
    symbols={
        "control": "F",
        "asphalt_thickness_m": "t",
        "condition": "Cb",
        "old_thickness_m": "h",
    },
    result=("equivalent_thickness_m", "hE"),
    source=f"{UFC_EVALUATION}, chapter 6, equation 6-6: printed 9.2 in (234 mm)",
    known="read",
    valid="asphalt over old concrete",
    example={
        "control": 0.793,
        "asphalt_thickness_m": 4.0,
        "condition": 1.0,
        "old_thickness_m": 6.0,
    },
    example_result=9.2,
    printed_in={
        "asphalt_thickness_m": "in",
        "old_thickness_m": "in",
        "equivalent_thickness_m": "in",
    },
)
def equivalent_ufc_2001_under_asphalt(
    *, control: float, asphalt_thickness_m: float, condition: float, old_thickness_m: float
) -> float:
    """Single slab that asphalt over a concrete slab is worth."""
    hold_thicknesses(
        within("control", control, above=0, most=1),
        source=UFC_EVALUATION,
        condition=condition,
        asphalt_thickness_m=asphalt_thickness_m,
        old_thickness_m=old_thickness_m,
    )
    return (0.33 * asphalt_thickness_m + condition * old_thickness_m) / control


def _hold_factors(**factors: float) -> None:
    hold(*(within(name, value, above=0, most=1) for name, value in factors.items()), source=_AASHTO)


_EFFECTIVE = {"effective_thickness_m": "in", "old_thickness_m": "in"}


@formula(
    equation="De = Fjc*Fdur*Ffat*D",
    symbols={
        "joints_factor": "Fjc",
        "durability_factor": "Fdur",
        "fatigue_factor": "Ffat",
        "old_thickness_m": "D",
    },
    result=("effective_thickness_m", "De"),
    source=_AASHTO,
    known="memory",
    valid="bonded overlay; each factor above 0, at most 1",
    # By hand: 0.95 * 0.98 * 6.
    example={
        "joints_factor": 0.95,
        "durability_factor": 0.98,
        "fatigue_factor": 1.0,
        "old_thickness_m": 6.0,
    },
    example_result=5.586,
    printed_in=_EFFECTIVE,
)
def effective_aashto_1993_bonded(
    *,
    joints_factor: float,
    durability_factor: float,
    fatigue_factor: float,
    old_thickness_m: float,
) -> float:
    """What is left of an old slab under a bonded overlay, from its condition."""
    _hold_factors(
        joints_factor=joints_factor,
        durability_factor=durability_factor,
        fatigue_factor=fatigue_factor,
    )
    hold_thicknesses(source=_AASHTO, old_thickness_m=old_thickness_m)
    return joints_factor * durability_factor * fatigue_factor * old_thickness_m


@formula(
    equation="De = Fjcu*min(D, 10 in)",
    symbols={"joints_factor": "Fjcu", "old_thickness_m": "D"},
    result=("effective_thickness_m", "De"),
    source=_AASHTO,
    known="memory",
    valid="unbonded overlay; the factor above 0, at most 1; of the old slab 10 in count at most",
    # By hand: 0.95 * 6.
    example={"joints_factor": 0.95, "old_thickness_m": 6.0},
    example_result=5.7,
    printed_in=_EFFECTIVE,
)
def effective_aashto_1993_unbonded(*, joints_factor: float, old_thickness_m: float) -> float:
    """What is left of an old slab under an unbonded overlay, from its condition."""
    _hold_factors(joints_factor=joints_factor)
    hold_thicknesses(source=_AASHTO, old_thickness_m=old_thickness_m)
    return joints_factor * min(old_thickness_m, AASHTO_MOST_OLD_M)


@formula(
    equation="De = CF*D",
    symbols={"condition": "CF", "old_thickness_m": "D"},
    result=("effective_thickness_m", "De"),
    source=f"{_AASHTO}, by remaining life",
    known="memory",
    valid="CF above 0, at most 1",
    # By hand.
    example={"condition": 0.9, "old_thickness_m": 6.0},
    example_result=5.4,
    printed_in=_EFFECTIVE,
)
def effective_aashto_1993_by_life(*, condition: float, old_thickness_m: float) -> float:
    """What is left of an old slab by the loads it has carried already."""
    _hold_factors(condition=condition)
    hold_thicknesses(source=_AASHTO, old_thickness_m=old_thickness_m)
    return condition * old_thickness_m


_OVERLAY_SYMBOLS = {"needed_thickness_m": "Df", "effective_thickness_m": "De"}
_OVERLAY_PRINTED = {
    "needed_thickness_m": "in",
    "effective_thickness_m": "in",
    "overlay_thickness_m": "in",
}


@formula(
    equation="Dol = Df - De",
    symbols=_OVERLAY_SYMBOLS,
    result=("overlay_thickness_m", "Dol"),
    source=_AASHTO,
    known="memory",
    valid="bonded overlay; 0 when the old slab is enough",
    # Recomputed, no published example: 9 less 5.586.
    example={"needed_thickness_m": 9.0, "effective_thickness_m": 5.586},
    example_result=3.41,
    printed_in=_OVERLAY_PRINTED,
)
def overlay_aashto_1993_bonded(*, needed_thickness_m: float, effective_thickness_m: float) -> float:
    """Bonded overlay from what is needed for the traffic and what is left of the old slab."""
    hold_thicknesses(
        source=_AASHTO,
        needed_thickness_m=needed_thickness_m,
        effective_thickness_m=effective_thickness_m,
    )
    return max(needed_thickness_m - effective_thickness_m, 0.0)


@formula(
    equation="Dol = sqrt(Df^2 - De^2)",
    symbols=_OVERLAY_SYMBOLS,
    result=("overlay_thickness_m", "Dol"),
    source=_AASHTO,
    known="memory",
    valid="unbonded overlay; 0 when the old slab is enough",
    # Recomputed, no published example: 9 and 0.95 * 6.
    example={"needed_thickness_m": 9.0, "effective_thickness_m": 5.7},
    example_result=6.96,
    printed_in=_OVERLAY_PRINTED,
)
def overlay_aashto_1993_unbonded(
    *, needed_thickness_m: float, effective_thickness_m: float
) -> float:
    """Unbonded overlay from what is needed for the traffic and what is left of the old slab."""
    hold_thicknesses(
        source=_AASHTO,
        needed_thickness_m=needed_thickness_m,
        effective_thickness_m=effective_thickness_m,
    )
    return sqrt(max(needed_thickness_m**2 - effective_thickness_m**2, 0.0))

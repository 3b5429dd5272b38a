"""Overlay: how thick a new slab must be over an old one, by the equations of the US military.

They were made for pavements that carry wheels. A 2 to 4 in topping over a 4 to 6 in floor lies
outside the test sections of the unbonded equation; ``tested_sections`` says so on the sheet.
"""

from __future__ import annotations

from math import pow as power_of
from math import sqrt

from overslab.handbook.checks import Check
from overslab.handbook.limits import Row, declare_rows
from overslab.handbook.publications import FAA_1995, UFC_EVALUATION, UFC_PAVEMENT
from overslab.handbook.ranges import Within, hold, within
from overslab.handbook.working import formula

# Exponents of the power equation by how the overlay lies on the base, UFC 3-260-02 chapter 17.
PARTLY_BONDED_POWER = 1.4
UNBONDED_POWER = 2.0

_CORPS = f"{UFC_PAVEMENT}, chapter 17"
_PRINTED = {
    "new_strength_thickness_m": "in",
    "old_strength_thickness_m": "in",
    "old_thickness_m": "in",
    "overlay_thickness_m": "in",
}
_CORPS_SYMBOLS = {
    "new_strength_thickness_m": "hd",
    "old_strength_thickness_m": "he",
    "old_thickness_m": "hE",
    "condition": "C",
}
_CORPS_VALID = (
    "plain concrete over plain concrete; C from 0.35 (shattered) to 1.00 (good); 0 means that the"
    " old slab carries the load as it is; "
)

CONDITION_FACTORS = declare_rows(
    Row("good, little or no structural cracking", 1.00, _CORPS, "2001", "memory"),
    Row(
        "some initial cracks or corner breaks, none growing",
        0.75,
        _CORPS,
        "2001",
        "read",
        "value read ('a few initial cracks'), definition from memory",
    ),
    Row(
        "badly cracked, multiple cracks or shattered",
        0.35,
        _CORPS,
        "2001",
        "read",
        "value read, definition from memory",
    ),
    topic="condition factor of the old slab",
    quantity="condition",
    bound="is",
)
LEAST_CONDITION = declare_rows(
    Row(
        "condition factor below which an old slab is not overlaid as it is",
        0.75,
        FAA_1995,
        "1995",
        "read",
        "written for asphalt over concrete (factor Cb)",
    ),
    topic="old slab condition",
    quantity="condition",
)


def hold_thicknesses(
    *others: Within, source: str, condition: float | None = None, **thickness_m: float
) -> None:
    """Thicknesses are at least 0, a condition factor lies from shattered to good."""
    ranges = [within(name, value, least=0, unit="in") for name, value in thickness_m.items()]
    if condition is not None:
        ranges.append(within("condition", condition, least=0.35, most=1.0))
    hold(*ranges, *others, source=source)


def left_over(*, needed_m: float, taken_m: float, condition: float, power: float) -> float:
    """What is left of the needed thickness when the old slab is taken off, to one power."""
    left = power_of(needed_m, power) - condition * power_of(taken_m, power)
    return power_of(max(left, 0.0), 1 / power)


@formula(
    equation="ho = hd - hE",
    symbols={"needed_thickness_m": "hd", "old_thickness_m": "hE"},
    result=("overlay_thickness_m", "ho"),
    source=f"{_CORPS}, equation 17-1",
    known="memory",
    valid="the overlay is fully bonded and the two act as one slab; at least 0",
    # By hand.
    example={"needed_thickness_m": 9.0, "old_thickness_m": 6.0},
    example_result=3.0,
    printed_in={
        "needed_thickness_m": "in",
        "old_thickness_m": "in",
        "overlay_thickness_m": "in",
    },
)
def overlay_corps_2001_bonded(*, needed_thickness_m: float, old_thickness_m: float) -> float:
    """Overlay thickness when new and old concrete are fully bonded, Corps of Engineers."""
    hold_thicknesses(
        source=_CORPS, needed_thickness_m=needed_thickness_m, old_thickness_m=old_thickness_m
    )
    return max(needed_thickness_m - old_thickness_m, 0.0)


@formula(
    equation="ho = (hd^1.4 - C*((hd/he)*hE)^1.4)^(1/1.4)",
    symbols=_CORPS_SYMBOLS,
    result=("overlay_thickness_m", "ho"),
    source=f"{_CORPS}, equation 17-2; its image is lost in our copy, so the algebra is from"
    " memory and is confirmed by the printed answer of example (a)",
    known="read",
    valid=_CORPS_VALID + "cast directly on the old slab, no effort to bond or to break the bond",
    # Printed 478 mm (19.0 in); 478 mm is 18.82 in, the 19.0 in is rounded up to the next half inch.
    example={
        "new_strength_thickness_m": 20.5,
        "old_strength_thickness_m": 22.6,
        "old_thickness_m": 10.0,
        "condition": 0.35,
    },
    example_result=18.82,
    # The page was worked in whole millimetres and in tenths of inches: they differ by 0.2 %.
    example_within=0.005,
    printed_in=_PRINTED,
)
def overlay_corps_2001_partly_bonded(
    *,
    new_strength_thickness_m: float,
    old_strength_thickness_m: float,
    old_thickness_m: float,
    condition: float,
) -> float:
    """Overlay thickness when the new slab is cast directly on the old one, Corps of Engineers.

    ``new_strength_thickness_m`` is the single slab that this ground would need at the new
    concrete's flexural strength, ``old_strength_thickness_m`` the same at the old concrete's.
    """
    return _corps(
        new_m=new_strength_thickness_m,
        at_old_m=old_strength_thickness_m,
        old_m=old_thickness_m,
        condition=condition,
        power=PARTLY_BONDED_POWER,
    )


@formula(
    equation="ho = (hd^2 - C*((hd/he)*hE)^2)^(1/2)",
    symbols=_CORPS_SYMBOLS,
    result=("overlay_thickness_m", "ho"),
    source=f"{_CORPS}, equation 17-3; number read, algebra from memory. The exponent 2 cannot be"
    " traced to an original source (Texas Tech thesis, abstract)",
    known="memory",
    valid=_CORPS_VALID + "a separating layer lies between; tested only with overlays at least as"
    " thick as the base (Waterways Experiment Station, 1985, seven sections)",
    # Inputs of the printed nonbonded example, whose answer is not in our copy; recomputed.
    example={
        "new_strength_thickness_m": 18.0,
        "old_strength_thickness_m": 19.2,
        "old_thickness_m": 9.5,
        "condition": 0.75,
    },
    example_result=16.26,
    printed_in=_PRINTED,
)
def overlay_corps_2001_unbonded(
    *,
    new_strength_thickness_m: float,
    old_strength_thickness_m: float,
    old_thickness_m: float,
    condition: float,
) -> float:
    """Overlay thickness over a separating layer (bond breaker), Corps of Engineers."""
    return _corps(
        new_m=new_strength_thickness_m,
        at_old_m=old_strength_thickness_m,
        old_m=old_thickness_m,
        condition=condition,
        power=UNBONDED_POWER,
    )


def _corps(new_m: float, at_old_m: float, old_m: float, condition: float, *, power: float) -> float:
    hold(
        within("new_strength_thickness_m", new_m, above=0, unit="in"),
        within("old_strength_thickness_m", at_old_m, above=0, unit="in"),
        within("old_thickness_m", old_m, least=0, unit="in"),
        within("condition", condition, least=0.35, most=1.0),
        source=_CORPS,
    )
    return left_over(
        needed_m=new_m, taken_m=new_m / at_old_m * old_m, condition=condition, power=power
    )


_TURNED_SYMBOLS = {"overlay_thickness_m": "ho", "old_thickness_m": "hb", "condition": "C"}
_TURNED_PRINTED = {
    "overlay_thickness_m": "in",
    "old_thickness_m": "in",
    "equivalent_thickness_m": "in",
}


@formula(
    equation="hE = (ho^1.4 + C*hb^1.4)^(1/1.4)",
    symbols=_TURNED_SYMBOLS,
    result=("equivalent_thickness_m", "hE"),
    source=f"{UFC_EVALUATION}, chapter 6, equation 6-3",
    known="read",
    valid="overlay cast directly on the base; C from 0.35 to 1.00",
    # Closed form: equal thicknesses and C = 1 make 6 * 2^(1/1.4).
    example={"overlay_thickness_m": 6.0, "old_thickness_m": 6.0, "condition": 1.0},
    example_result=9.844,
    printed_in=_TURNED_PRINTED,
)
def equivalent_ufc_2001_partly_bonded(
    *, overlay_thickness_m: float, old_thickness_m: float, condition: float
) -> float:
    """Single slab that an overlay cast directly on its base is worth."""
    hold_thicknesses(
        source=UFC_EVALUATION,
        condition=condition,
        overlay_thickness_m=overlay_thickness_m,
        old_thickness_m=old_thickness_m,
    )
    power = PARTLY_BONDED_POWER
    together = power_of(overlay_thickness_m, power) + condition * power_of(old_thickness_m, power)
    return power_of(together, 1 / power)


@formula(
    equation="hE = (ho^2 + C*hb^2)^0.5",
    symbols=_TURNED_SYMBOLS,
    result=("equivalent_thickness_m", "hE"),
    source=f"{UFC_EVALUATION}, chapter 6, equation 6-4; number read, form from memory",
    known="memory",
    valid="a separating layer lies between; C from 0.35 to 1.00",
    # Closed form: 3, 4, 5.
    example={"overlay_thickness_m": 3.0, "old_thickness_m": 4.0, "condition": 1.0},
    example_result=5.0,
    printed_in=_TURNED_PRINTED,
)
def equivalent_ufc_2001_unbonded(
    *, overlay_thickness_m: float, old_thickness_m: float, condition: float
) -> float:
    """Single slab that an overlay on a separating layer and its base are worth together."""
    hold_thicknesses(
        source=UFC_EVALUATION,
        condition=condition,
        overlay_thickness_m=overlay_thickness_m,
        old_thickness_m=old_thickness_m,
    )
    return sqrt(overlay_thickness_m**2 + condition * old_thickness_m**2)


def tested_sections(*, overlay_thickness_m: float, old_thickness_m: float) -> Check:
    """Whether an unbonded overlay lies inside what the equation was tested on.

    In all seven sections the overlay was as thick as the base or thicker; where it is much thinner
    the equation may differ much from mechanics. Outside, the sheet must say so.
    """
    return Check(
        name="overlay as thick as the old slab, as in the tested sections",
        quantity="overlay_thickness_m",
        found=overlay_thickness_m,
        comparison="at least",
        allowed=old_thickness_m,
        source="Waterways Experiment Station report of 1985, abstract (read)",
    )

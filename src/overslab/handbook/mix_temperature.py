"""Temperature of fresh concrete from its materials, with and without ice.

The US form with ice reads too cold above about 20 % ice and is refused there; the metric form
counts the heat of every material and holds as far as all ice melts.
"""

from __future__ import annotations

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Limit, declare
from overslab.handbook.publications import ACI_305R, CONCRETE_CONSTRUCTION, CRD_C_307, PCA_EB001
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

# Heat that warms cement and stone, as a share of the heat that warms as much water.
SOLIDS_HEAT = 0.22
# kJ/kg for one degree, and the heat that melts ice (PCA EB001 takes 335).
_WATER_KJ, _SOLIDS_KJ, _MELTING_KJ = 4.184, 0.92, 335.0
_MOST_ICE = 0.20
_HOT = f"{CONCRETE_CONSTRUCTION}, If you get it when it's hot"
_ICE_TRAP = "test paper, iasj.net/iasj/article/167318"

ICE_LIMITS = declare(
    Limit(
        name="heat that melts ice",
        quantity="heat_j_per_kg",
        value=to_si(143.5, "Btu/lb"),
        source=CRD_C_307,
        edition="1991",
        known="read",
        topic="ice",
        bound="is",
    ),
    Limit(
        name="share of ice in the mixing water up to which the US form with ice is good",
        quantity="ice_share",
        value=_MOST_ICE,
        source=_ICE_TRAP,
        edition="",
        known="read",
        note="about; above it the formula reads too cold; taken as a share of water and ice",
        topic="ice in US form",
        bound="at most",
    ),
)
_SYMBOLS = {
    "aggregate_kg": "Wa",
    "aggregate_c": "Ta",
    "cement_kg": "Wc",
    "cement_c": "Tc",
    "water_kg": "Ww",
    "water_c": "Tw",
}
_US = {
    "aggregate_kg": "lb",
    "aggregate_c": "F",
    "cement_kg": "lb",
    "cement_c": "F",
    "water_kg": "lb",
    "water_c": "F",
    "concrete_c": "F",
}


def _hold(source: str, *, masses_kg: dict[str, float], temperatures_c: dict[str, float]) -> None:
    hold(
        *(within(name, mass, least=0.0, unit="kg") for name, mass in masses_kg.items()),
        *(
            within(name, temperature, least=-20.0, most=100.0, unit="C")
            for name, temperature in temperatures_c.items()
        ),
        within("total_kg", sum(masses_kg.values()), above=0.0, unit="kg"),
        source=source,
    )


@formula(
    equation="T = (0.22 (Ta Wa + Tc Wc) + Tw Ww) / (0.22 (Wa + Wc) + Ww)",
    symbols=_SYMBOLS,
    result=("concrete_c", "T"),
    source=f"{_HOT}: 77.6 F",
    known="read",
    valid="no ice; Ww all water, with what the aggregate brings; any one unit of weight",
    example={
        "aggregate_kg": 3300.0,
        "aggregate_c": 70.0,
        "cement_kg": 470.0,
        "cement_c": 150.0,
        "water_kg": 260.0,
        "water_c": 70.0,
    },
    example_result=77.6,
    printed_in=_US,
)
def mix_temperature_us(
    *,
    aggregate_kg: float,
    aggregate_c: float,
    cement_kg: float,
    cement_c: float,
    water_kg: float,
    water_c: float,
) -> float:
    """Temperature of fresh concrete from its materials, US form."""
    _hold(
        _HOT,
        masses_kg={"aggregate_kg": aggregate_kg, "cement_kg": cement_kg, "water_kg": water_kg},
        temperatures_c={"aggregate_c": aggregate_c, "cement_c": cement_c, "water_c": water_c},
    )
    heat = SOLIDS_HEAT * (aggregate_c * aggregate_kg + cement_c * cement_kg) + water_c * water_kg
    return heat / (SOLIDS_HEAT * (aggregate_kg + cement_kg) + water_kg)


@formula(
    equation="T = (0.22 (Ta Wa + Tc Wc) + Tw Ww - 112 Wi) / (0.22 (Wa + Wc) + Ww + Wi)",
    symbols={**_SYMBOLS, "ice_kg": "Wi"},
    result=("concrete_c", "T"),
    source=f"{ACI_305R}; up to about 20 % ice by a {_ICE_TRAP}",
    known="memory",
    valid="ice at 32 F, at most 20 % of water and ice; Ww water besides the ice; all ice melts",
    # By hand: (66,330 + 15,400 - 4,480) / (829.4 + 260) = 70.91.
    example={
        "aggregate_kg": 3300.0,
        "aggregate_c": 70.0,
        "cement_kg": 470.0,
        "cement_c": 150.0,
        "water_kg": 220.0,
        "water_c": 70.0,
        "ice_kg": 40.0,
    },
    example_result=70.91,
    printed_in={**_US, "ice_kg": "lb"},
)
def mix_temperature_us_with_ice(
    *,
    aggregate_kg: float,
    aggregate_c: float,
    cement_kg: float,
    cement_c: float,
    water_kg: float,
    water_c: float,
    ice_kg: float,
) -> float:
    """Temperature of fresh concrete from its materials and ice, US form."""
    _hold(
        ACI_305R,
        masses_kg={
            "aggregate_kg": aggregate_kg,
            "cement_kg": cement_kg,
            "water_kg": water_kg,
            "ice_kg": ice_kg,
        },
        temperatures_c={"aggregate_c": aggregate_c, "cement_c": cement_c, "water_c": water_c},
    )
    wet_kg = water_kg + ice_kg
    ice_share = ice_kg / wet_kg if wet_kg else 0.0
    hold(within("ice_share", ice_share, most=_MOST_ICE, unit="%"), source=_ICE_TRAP)
    aggregate, cement, water = (to_customary(t, "F") for t in (aggregate_c, cement_c, water_c))
    heat = (
        SOLIDS_HEAT * (aggregate * aggregate_kg + cement * cement_kg)
        + water * water_kg
        - 112.0 * ice_kg
    )
    return to_si(heat / (SOLIDS_HEAT * (aggregate_kg + cement_kg) + wet_kg), "F")


@formula(
    equation="T = (0.92 (Ta Wa + Tc Wc) + 4.184 Tw Ww - 335 Wi) /"
    " (0.92 (Wa + Wc) + 4.184 (Ww + Wi))",
    symbols={**_SYMBOLS, "ice_kg": "Wi"},
    result=("concrete_c", "T"),
    source=f"{PCA_EB001}, example with 44 kg of ice: 24.1 C",
    known="memory",
    valid="ice at 0 C; Ww water besides the ice; at 0 C or more, as all ice must melt",
    example={
        "aggregate_kg": 1839.0,
        "aggregate_c": 27.0,
        "cement_kg": 335.0,
        "cement_c": 66.0,
        "water_kg": 123.0,
        "water_c": 27.0,
        "ice_kg": 44.0,
    },
    example_result=24.1,
    example_within=0.1 / 24.1,  # the page rounds the heats; recomputed 24.15
)
def mix_temperature_metric(
    *,
    aggregate_kg: float,
    aggregate_c: float,
    cement_kg: float,
    cement_c: float,
    water_kg: float,
    water_c: float,
    ice_kg: float = 0.0,
) -> float:
    """Temperature of fresh concrete from its materials and ice, by the heat of each."""
    _hold(
        PCA_EB001,
        masses_kg={
            "aggregate_kg": aggregate_kg,
            "cement_kg": cement_kg,
            "water_kg": water_kg,
            "ice_kg": ice_kg,
        },
        temperatures_c={"aggregate_c": aggregate_c, "cement_c": cement_c, "water_c": water_c},
    )
    heat = (
        _SOLIDS_KJ * (aggregate_c * aggregate_kg + cement_c * cement_kg)
        + _WATER_KJ * water_c * water_kg
        - _MELTING_KJ * ice_kg
    )
    capacity = _SOLIDS_KJ * (aggregate_kg + cement_kg) + _WATER_KJ * (water_kg + ice_kg)
    if ice_kg > 0:
        hold(within("concrete_c", heat / capacity, least=0.0, unit="C"), source=PCA_EB001)
    return heat / capacity

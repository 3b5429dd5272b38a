"""Weather: how fast fresh concrete dries, by both published routes, and what counts as too fast.

Uno's fit and Menzel's equation estimate one thing. The method behind both is good to about 40 % of
its answer (``METHOD_SPREAD``): a guide to risk, not a measurement. Wind is meant 20 in (0.5 m)
above the surface, air temperature and humidity 4 to 6 ft up, upwind and in the shade. An answer
below zero would be dew on the concrete and is given as zero.
"""

from __future__ import annotations

from math import exp

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Advice, Bound, Limit, declare
from overslab.handbook.publications import (
    ACI_305R,
    HOVER_2020,
    MENZEL,
    PCA_DRYING_TABLE,
    UFGS_03311,
    UNO_1998,
)
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

_POUND = to_si(1.0, "lb/ft2/h")
# Weather in which concrete is placed; beyond it a slip of the unit is likelier.
_LEAST_CONCRETE_C, _MOST_CONCRETE_C = to_si(32.0, "F"), to_si(120.0, "F")
_LEAST_AIR_C, _MOST_AIR_C = to_si(0.0, "F"), to_si(130.0, "F")
_MOST_WIND = to_si(60.0, "mph")
_HOLDS = "concrete 32 to 120 F, air 0 to 130 F, wind up to 60 mph"
_UNO_HOLDS = (
    f"{_HOLDS}; best with air and concrete from 60 to 95 F: in cold air it reads up to 20 % above"
    " Menzel's equation"
)
_UNO_SYMBOLS = {"concrete_c": "Tc", "air_c": "Ta", "humidity_share": "r", "wind_m_per_s": "V"}
_US = {
    "concrete_c": "F",
    "air_c": "F",
    "wind_m_per_s": "mph",
    "evaporation_kg_per_m2_s": "lb/ft2/h",
}
_METRIC = {"wind_m_per_s": "km/h", "evaporation_kg_per_m2_s": "kg/m2/h"}

EVAPORATION_LIMITS = declare(
    Limit(
        name="evaporation above which precautions are taken, ordinary concrete",
        quantity="evaporation_kg_per_m2_s",
        value=0.2 * _POUND,
        source=f"{UFGS_03311}, p. 40: 0.2 lb/ft2/h (1.0 kg/m2/h)",
        edition="",
        known="read",
        topic="evaporation",
        bound="at most",
        practice=True,
    ),
    Limit(
        name="evaporation above which precautions are taken, concrete that bleeds little",
        quantity="evaporation_kg_per_m2_s",
        value=0.1 * _POUND,
        source="practice after ACI 305.1 and the commentary of ACI 308: low water, fine cement",
        edition="",
        known="common practice",
        note="0.1 lb/ft2/h (0.5 kg/m2/h); no readable primary",
        topic="evaporation",
        bound="at most",
    ),
    Limit(
        name="evaporation above which precautions are taken, concrete with silica fume",
        quantity="evaporation_kg_per_m2_s",
        value=0.05 * _POUND,
        source="practice after ACI 305.1 and the commentary of ACI 308",
        edition="",
        known="common practice",
        note="0.05 lb/ft2/h; no readable primary",
        topic="evaporation",
        bound="at most",
    ),
)
BLEEDING = declare(
    *(
        Limit(
            name=f"{word} rate at which ordinary concrete bleeds",
            quantity="evaporation_kg_per_m2_s",
            value=to_si(value, "kg/m2/h"),
            source="typical of texts on plastic shrinkage; no readable numeric source",
            edition="",
            known="memory",
            note="where drying outruns bleeding the surface may crack; judge by the threshold",
            topic="bleeding",
            bound="is",
        )
        for word, value in (("lower", 0.5), ("upper", 1.5))
    )
)
METHOD_SPREAD = declare(
    Limit(
        name="plus-or-minus of the evaporation estimate, as a share of it",
        quantity="spread_share",
        value=0.40,
        source=f"{HOVER_2020}, abstract, DOI 10.14359/51724723",
        edition="2020",
        known="read",
        topic="evaporation spread",
        bound="is",
    )
)[0]
_UNO_ENDS: tuple[tuple[str, float, Bound], ...] = (
    ("least", 60.0, "at least"),
    ("greatest", 95.0, "at most"),
)
UNO_RANGE = declare(
    *(
        Limit(
            name=f"{word} air and concrete temperature at which Uno's fit follows Menzel",
            quantity="air_c",
            value=to_si(value, "F"),
            source="own comparison of the two routes",
            edition="",
            known="derived",
            note="at 40 F air over 70 F concrete Uno is 20 percent above Menzel",
            topic="range of Uno's fit",
            bound=bound,
        )
        for word, value, bound in _UNO_ENDS
    )
)
MEASURED_WHERE = declare(
    Advice(
        topic="evaporation",
        says="measure wind 20 in (0.5 m) above the surface; air temperature and humidity 4 to 6 ft"
        " up, upwind and in the shade",
        source="pages of concrete producers",
        edition="",
        known="read",
    )
)[0]


def _hold(
    *, concrete_c: float, air_c: float, humidity_share: float, wind_m_per_s: float, source: str
) -> None:
    hold(
        within("concrete_c", concrete_c, least=_LEAST_CONCRETE_C, most=_MOST_CONCRETE_C, unit="F"),
        within("air_c", air_c, least=_LEAST_AIR_C, most=_MOST_AIR_C, unit="F"),
        within("humidity_share", humidity_share, least=0.0, most=1.0, unit="%"),
        within("wind_m_per_s", wind_m_per_s, least=0.0, most=_MOST_WIND, unit="mph"),
        source=source,
    )


@formula(
    equation="es = 0.61078 exp(17.27 T / (237.3 + T))",
    symbols={"temperature_c": "T"},
    result=("saturation_vapour_pa", "es"),
    source="Tetens's formula; steam tables give 2.339 kPa at 20 C",
    known="memory",
    valid="-20 to 60 C, over water",
    example={"temperature_c": 20.0},
    example_result=2.339,
    example_within=0.001,  # a fit to the steam tables
    printed_in={"saturation_vapour_pa": "kPa"},
)
def saturation_pressure(*, temperature_c: float) -> float:
    """Vapour pressure of air that can hold no more water."""
    hold(
        within("temperature_c", temperature_c, least=-20.0, most=60.0, unit="C"),
        source="Tetens's formula",
    )
    return to_si(0.61078 * exp(17.27 * temperature_c / (237.3 + temperature_c)), "kPa")


@formula(
    equation="E = 5 ((Tc + 18)^2.5 - r (Ta + 18)^2.5) (V + 4) / 10^6",
    symbols=_UNO_SYMBOLS,
    result=("evaporation_kg_per_m2_s", "E"),
    source=f"{UNO_1998}, metric form; second hand, transcribed from a web page that quotes it",
    known="read",
    valid=_UNO_HOLDS,
    # Nomograph reading printed with the chart of ACI 305R (memory): about 1.2 kg/m2/h.
    example={"concrete_c": 31.0, "air_c": 27.0, "humidity_share": 0.50, "wind_m_per_s": 19.0},
    example_result=1.2,
    example_within=0.1 / 1.2,  # read off a chart to about 0.1
    printed_in=_METRIC,
)
def evaporation_uno_1998_metric(
    *, concrete_c: float, air_c: float, humidity_share: float, wind_m_per_s: float
) -> float:
    """Evaporation from fresh concrete, Uno's metric fit; its constants are rounded."""
    _hold(
        concrete_c=concrete_c,
        air_c=air_c,
        humidity_share=humidity_share,
        wind_m_per_s=wind_m_per_s,
        source=UNO_1998,
    )
    drive = (concrete_c + 18.0) ** 2.5 - humidity_share * (air_c + 18.0) ** 2.5
    wind = to_customary(wind_m_per_s, "km/h") + 4.0
    return to_si(max(5.0 * drive * wind * 1e-6, 0.0), "kg/m2/h")


@formula(
    equation="E = (Tc^2.5 - r Ta^2.5) (1 + 0.4 V) / 10^6",
    symbols=_UNO_SYMBOLS,
    result=("evaporation_kg_per_m2_s", "E"),
    source=f"{UNO_1998}, US form; second hand, technical page of a ready-mix producer",
    known="read",
    valid=_UNO_HOLDS,
    # Nomograph reading printed with the chart of ACI 305R (memory): about 0.25 lb/ft2/h.
    example={"concrete_c": 87.0, "air_c": 80.0, "humidity_share": 0.50, "wind_m_per_s": 12.0},
    example_result=0.25,
    example_within=0.015 / 0.25,  # read off a chart to about 0.015
    printed_in=_US,
)
def evaporation_uno_1998_us(
    *, concrete_c: float, air_c: float, humidity_share: float, wind_m_per_s: float
) -> float:
    """Evaporation from fresh concrete, Uno's US fit."""
    _hold(
        concrete_c=concrete_c,
        air_c=air_c,
        humidity_share=humidity_share,
        wind_m_per_s=wind_m_per_s,
        source=UNO_1998,
    )
    concrete, air = to_customary(concrete_c, "F"), max(to_customary(air_c, "F"), 0.0)
    drive = concrete**2.5 - humidity_share * air**2.5
    wind = 1.0 + 0.4 * to_customary(wind_m_per_s, "mph")
    return to_si(max(drive * wind * 1e-6, 0.0), "lb/ft2/h")


@formula(
    equation="E = 5.275 ((Tc + 17.778)^2.5 - r (Ta + 17.778)^2.5) (V + 4.02336) / 10^6",
    symbols=_UNO_SYMBOLS,
    result=("evaporation_kg_per_m2_s", "E"),
    source="technical note of a maker of weather meters: Uno's US form in metric units, exactly",
    known="read",
    valid=_UNO_HOLDS,
    # 70 F, 70 F, 70 %, 10 mph in the US form by hand: 0.06149 lb/ft2/h is 0.3002 kg/m2/h; the
    # constants are rounded, so it is held to 0.1 %.
    example={
        "concrete_c": 21.1111,
        "air_c": 21.1111,
        "humidity_share": 0.70,
        "wind_m_per_s": 16.09344,
    },
    example_result=0.3002,
    example_within=0.001,
    printed_in=_METRIC,
)
def evaporation_uno_1998_exact_metric(
    *, concrete_c: float, air_c: float, humidity_share: float, wind_m_per_s: float
) -> float:
    """Evaporation from fresh concrete: Uno's US fit written in metric units without rounding."""
    _hold(
        concrete_c=concrete_c,
        air_c=air_c,
        humidity_share=humidity_share,
        wind_m_per_s=wind_m_per_s,
        source=UNO_1998,
    )
    air = max(air_c + 17.778, 0.0)
    drive = (concrete_c + 17.778) ** 2.5 - humidity_share * air**2.5
    wind = to_customary(wind_m_per_s, "km/h") + 4.02336
    return to_si(max(5.275 * drive * wind * 1e-6, 0.0), "kg/m2/h")


@formula(
    equation="E = 0.44 (e(Tc) - r e(Ta)) (0.253 + 0.096 V), e saturation pressure in psi",
    symbols=_UNO_SYMBOLS,
    result=("evaporation_kg_per_m2_s", "E"),
    source=f"{MENZEL}; row of the {PCA_DRYING_TABLE}: 0.740 (both from memory)",
    known="memory",
    valid=f"{_HOLDS}; holds in cold air too",
    example={"concrete_c": 90.0, "air_c": 90.0, "humidity_share": 0.10, "wind_m_per_s": 25.0},
    example_result=0.740,
    example_within=0.01 / 0.740,  # the table was read off a chart to about 0.01
    printed_in=_US,
)
def evaporation_menzel_us(
    *, concrete_c: float, air_c: float, humidity_share: float, wind_m_per_s: float
) -> float:
    """Evaporation from fresh concrete, Menzel's equation in US units."""
    _hold(
        concrete_c=concrete_c,
        air_c=air_c,
        humidity_share=humidity_share,
        wind_m_per_s=wind_m_per_s,
        source=MENZEL,
    )
    drive_pa = _vapour_drive_pa(concrete_c=concrete_c, air_c=air_c, humidity_share=humidity_share)
    wind = 0.253 + 0.096 * to_customary(wind_m_per_s, "mph")
    return to_si(max(0.44 * to_customary(drive_pa, "psi") * wind, 0.0), "lb/ft2/h")


@formula(
    equation="E = 0.315 (e(Tc) - r e(Ta)) (0.253 + 0.060 V), e saturation pressure in kPa",
    symbols=_UNO_SYMBOLS,
    result=("evaporation_kg_per_m2_s", "E"),
    source=f"{MENZEL}, metric form; chart of {ACI_305R}: about 1.2 kg/m2/h (both from memory)",
    known="memory",
    valid=f"{_HOLDS}; agrees with the US form to 2 percent",
    example={"concrete_c": 31.0, "air_c": 27.0, "humidity_share": 0.50, "wind_m_per_s": 19.0},
    example_result=1.2,
    example_within=0.1 / 1.2,  # read off a chart to about 0.1
    printed_in=_METRIC,
)
def evaporation_menzel_metric(
    *, concrete_c: float, air_c: float, humidity_share: float, wind_m_per_s: float
) -> float:
    """Evaporation from fresh concrete, Menzel's equation in metric units."""
    _hold(
        concrete_c=concrete_c,
        air_c=air_c,
        humidity_share=humidity_share,
        wind_m_per_s=wind_m_per_s,
        source=MENZEL,
    )
    drive_pa = _vapour_drive_pa(concrete_c=concrete_c, air_c=air_c, humidity_share=humidity_share)
    wind = 0.253 + 0.060 * to_customary(wind_m_per_s, "km/h")
    return to_si(max(0.315 * to_customary(drive_pa, "kPa") * wind, 0.0), "kg/m2/h")


def _vapour_drive_pa(*, concrete_c: float, air_c: float, humidity_share: float) -> float:
    """Vapour pressure at the wet surface less that in the air."""
    surface = saturation_pressure(temperature_c=concrete_c)
    return surface - humidity_share * saturation_pressure(temperature_c=air_c)

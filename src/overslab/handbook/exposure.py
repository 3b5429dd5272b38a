"""Exposure: the ratio, strength and air that frost, salt, water and sulphate ask for.

Editions differ, so every value carries its own; exposures together take the lowest ratio and the
highest strength. A garage slab where wet tyres bring salted water counts as F3 if it freezes, even
under a roof (judgement). Local codes and the plant's experience govern.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Advice, Limit, declare
from overslab.handbook.publications import (
    ACI_318,
    NRMCA_DURABILITY,
    PCA_EB001,
    TACA_2007,
    UFGS_03311,
)
from overslab.handbook.ranges import hold, not_in_table, within
from overslab.handbook.working import Known, formula

Edition = Literal["318-19", "318-08", "durability sheet", "PCA 9-1"]
Exposure = Literal[
    "F0", "F1", "F2", "F3", "F3 plain", "S2", "W2", "C2",
    "low permeability", "freezing, moist or deicers", "corrosion by deicers",
]  # fmt: skip
FrostExposure = Literal["F1", "F2", "F3"]
Weathering = Literal["negligible", "moderate", "severe"]
End = Literal["least", "most"]

_318_19 = f"{ACI_318}, table 19.3.2.1"
_318_08 = f"{PCA_EB001}, table 11-3, after ACI 318-08"
_SHEET = NRMCA_DURABILITY
_PCA = f"{PCA_EB001}, table 9-1"
_IRC = "IRC Table R402.2, in a pocket code guide, table 6"


@dataclass(frozen=True, slots=True)
class ExposureRow:
    """One row of print: greatest ratio (None: no limit) and least strength, psi."""

    ratio: float | None
    psi: float
    source: str
    known: Known


EXPOSURES: Mapping[tuple[Edition, Exposure], ExposureRow] = {
    ("318-19", "F1"): ExposureRow(0.55, 3500.0, _318_19, "memory"),
    ("318-19", "F2"): ExposureRow(0.45, 4500.0, _318_19, "memory"),
    ("318-19", "F3"): ExposureRow(0.40, 5000.0, _318_19, "memory"),
    ("318-19", "F3 plain"): ExposureRow(0.45, 4500.0, _318_19, "memory"),
    ("318-08", "F1"): ExposureRow(0.45, 4500.0, _318_08, "read"),
    ("318-08", "F2"): ExposureRow(0.45, 4500.0, _318_08, "read"),
    ("318-08", "F3"): ExposureRow(0.45, 4500.0, _318_08, "read"),
    ("durability sheet", "F0"): ExposureRow(None, 2500.0, _SHEET, "read"),
    ("durability sheet", "S2"): ExposureRow(0.45, 4500.0, _SHEET, "read"),
    ("durability sheet", "W2"): ExposureRow(0.50, 4000.0, _SHEET, "read"),
    ("durability sheet", "C2"): ExposureRow(0.40, 5000.0, _SHEET, "read"),
    ("PCA 9-1", "low permeability"): ExposureRow(0.50, 4000.0, _PCA, "read"),
    ("PCA 9-1", "freezing, moist or deicers"): ExposureRow(0.45, 4500.0, _PCA, "read"),
    ("PCA 9-1", "corrosion by deicers"): ExposureRow(0.40, 5000.0, _PCA, "read"),
}
EXPOSURE_LIMITS = declare(
    *(
        limit
        for (edition, exposure), row in EXPOSURES.items()
        for limit in (
            Limit(
                name=f"strength at exposure {exposure}",
                quantity="strength_pa",
                value=to_si(row.psi, "psi"),
                source=row.source,
                edition=edition,
                known=row.known,
                topic=f"exposure {exposure}, strength",
            ),
            *(
                ()
                if row.ratio is None
                else (
                    Limit(
                        name=f"water-cement ratio at exposure {exposure}",
                        quantity="water_cement_ratio",
                        value=row.ratio,
                        source=row.source,
                        edition=edition,
                        known=row.known,
                        topic=f"exposure {exposure}, ratio",
                        bound="at most",
                    ),
                )
            ),
        )
    )
)
# Words of ACI 318-19 for its classes of frost.
FROST_CLASSES = declare(
    *(
        Advice(
            topic=f"exposure {name}",
            says=words,
            source=f"{ACI_318}, copy; second hand",
            edition="2019",
            known="read",
        )
        for name, words in (
            ("F0", "no freezing and thawing"),
            ("F1", "freezing and thawing with limited exposure to water"),
            ("F2", "freezing and thawing with frequent exposure to water"),
            ("F3", "freezing and thawing with frequent exposure to water and deicing chemicals"),
        )
    )
)
DEICER_LIMITS = declare(
    *(
        Limit(
            name=f"share of {what} in cementitious material at exposure F3",
            quantity="cementitious_share",
            value=share,
            source=ACI_318,
            edition="2019",
            known="memory",
            topic=f"{what} at F3",
            bound="at most",
        )
        for what, share in (
            ("fly ash", 0.25),
            ("slag", 0.50),
            ("silica fume", 0.10),
            ("all of these together", 0.50),
        )
    )
)


def _exposure_row(exposure: Exposure, edition: Edition) -> ExposureRow:
    row = EXPOSURES.get((edition, exposure))
    if row is None:
        rows = ", ".join(name for which, name in EXPOSURES if which == edition)
        raise not_in_table("exposure", f"{exposure} in {edition}", rows=rows, source=edition)
    return row


_EXPOSURE_SYMBOLS = {"exposure": "exposure", "edition": "edition"}


@formula(
    equation="w = table(exposure, edition)",
    symbols=_EXPOSURE_SYMBOLS,
    result=("water_cement_ratio", "w"),
    source=f"{_318_19} (memory); {_318_08} (read); {_SHEET} (read); {_PCA} (read)",
    known="memory",
    valid="classes that the edition has; F0 sets no ratio",
    example={"exposure": "F3", "edition": "318-19"},
    example_result=0.40,
)
def most_ratio_for_exposure(*, exposure: Exposure, edition: Edition = "318-19") -> float:
    """Greatest ratio of water to cementitious material at an exposure."""
    ratio = _exposure_row(exposure, edition).ratio
    if ratio is None:
        raise not_in_table(
            "exposure", exposure, rows=f"no greatest ratio for {exposure}", source=edition
        )
    return ratio


@formula(
    equation="f = table(exposure, edition)",
    symbols=_EXPOSURE_SYMBOLS,
    result=("strength_pa", "f"),
    source=f"{_318_19} (memory); {_318_08} (read); {_SHEET} (read); {_PCA} (read)",
    known="memory",
    valid="classes that the edition has; specified strength at 28 days",
    example={"exposure": "F3", "edition": "318-19"},
    example_result=5000.0,
    printed_in={"strength_pa": "psi"},
)
def least_strength_for_exposure(*, exposure: Exposure, edition: Edition = "318-19") -> float:
    """Least specified strength at an exposure."""
    return to_si(_exposure_row(exposure, edition).psi, "psi")


@dataclass(frozen=True, slots=True)
class ExposureDemand:
    """Exposures together: lowest ratio (None: no limit), highest strength, and their rows."""

    water_cement_ratio: float | None
    strength_pa: float
    rows: tuple[ExposureRow, ...]


def combine_exposures(exposures: Sequence[tuple[Exposure, Edition]]) -> ExposureDemand:
    """What several exposures together ask for; raises ``Faulty`` for a row that is not there."""
    hold(within("exposures given", float(len(exposures)), least=1.0), source=_SHEET)
    rows = tuple(_exposure_row(exposure, edition) for exposure, edition in exposures)
    ratios = [row.ratio for row in rows if row.ratio is not None]
    return ExposureDemand(
        water_cement_ratio=min(ratios) if ratios else None,
        strength_pa=to_si(max(row.psi for row in rows), "psi"),
        rows=rows,
    )


_STONES_IN = (3 / 8, 1 / 2, 3 / 4, 1.0, 1.5, 2.0, 3.0)
# Total air, percent: least and most by UFGS 03311 p. 25; by ACI 318 for F1 and for F2 and F3.
AIR_UFGS_03311 = ((6, 10), (5, 9), (4, 8), (3.5, 6.5), (3, 6), (2.5, 5.5), (1.5, 4.5))
AIR_ACI_318 = ((6.0, 7.5), (5.5, 7.0), (5.0, 6.0), (4.5, 6.0), (4.5, 5.5))
_TOLERANCE = 1.5
AIR_TOLERANCE = declare(
    Limit(
        name="tolerance of the air content, percentage points as a share",
        quantity="tolerance_share",
        value=to_si(_TOLERANCE, "%"),
        source=f"{TACA_2007}, p. 22, after ASTM C94 table 1: 4.5 plus or minus 1.5",
        edition="2007",
        known="read",
        topic="air tolerance",
        bound="is",
    )
)[0]


def _stone_column(stone_m: float, count: int, source: str) -> int:
    stone = to_customary(stone_m, "in")
    for place, size in enumerate(_STONES_IN[:count]):
        if abs(stone - size) <= 0.02 * size:
            return place
    rows = ", ".join(f"{size:g}" for size in _STONES_IN[:count])
    raise not_in_table("stone_m", f"{stone:.4g} in", rows=f"{rows} in", source=source)


@formula(
    equation="a = table(stone D, end)",
    symbols={"stone_m": "D", "end": "end"},
    result=("air_share", "a"),
    source=f"{UFGS_03311}, p. 25: 1 in 3.5 to 6.5 %",
    known="read",
    valid="stone 3/8 to 3 in of the rows; least or most of the range",
    example={"stone_m": 1.0, "end": "least"},
    example_result=3.5,
    printed_in={"stone_m": "in", "air_share": "%"},
)
def air_ufgs_03311(*, stone_m: float, end: End) -> float:
    """Least or most air by stone, federal guide specification."""
    row = AIR_UFGS_03311[_stone_column(stone_m, len(AIR_UFGS_03311), UFGS_03311)]
    return to_si(float(row[end == "most"]), "%")


@formula(
    equation="a = table(stone D, exposure), less 1 % where strength f is above 5000 psi",
    symbols={"stone_m": "D", "exposure": "exposure", "strength_pa": "f"},
    result=("air_share", "a"),
    source=f"{ACI_318}, air table, tolerance 1.5; 1 in, F1: 4.5 % as in {TACA_2007}, p. 22 (read)",
    known="memory",
    valid="stone 3/8 to 1-1/2 in of the rows; plus or minus 1.5 percentage points",
    example={"stone_m": 1.0, "exposure": "F1", "strength_pa": 4000.0},
    example_result=4.5,
    printed_in={"stone_m": "in", "strength_pa": "psi", "air_share": "%"},
)
def air_aci_318(*, stone_m: float, exposure: FrostExposure, strength_pa: float) -> float:
    """Air wanted by stone and frost, ACI 318."""
    hold(
        within("strength_pa", strength_pa, above=0.0, most=to_si(15_000.0, "psi"), unit="psi"),
        source=ACI_318,
    )
    row = AIR_ACI_318[_stone_column(stone_m, len(AIR_ACI_318), ACI_318)]
    strong = to_customary(strength_pa, "psi") > 5000.0 + 1e-6
    return to_si(row[exposure != "F1"] - (1.0 if strong else 0.0), "%")


# Garage floor slabs; moderate and severe are air-entrained, 5 to 7 percent.
GARAGE_IRC_PSI: Mapping[Weathering, float] = {
    "negligible": 2500.0,
    "moderate": 3000.0,
    "severe": 3500.0,
}


@formula(
    equation="f = table(weathering)",
    symbols={"weathering": "weathering"},
    result=("strength_pa", "f"),
    source=_IRC,
    known="read",
    valid="garage floor slabs; moderate and severe air-entrained, 5 to 7 %; local code governs",
    example={"weathering": "severe"},
    example_result=3500.0,
    printed_in={"strength_pa": "psi"},
)
def garage_strength_irc(*, weathering: Weathering) -> float:
    """Least strength of a garage floor by weathering, residential code."""
    return to_si(GARAGE_IRC_PSI[weathering], "psi")


IRC_LIMITS = declare(
    Limit(
        name="strength of interior slabs other than garage, any weathering",
        quantity="strength_pa",
        value=to_si(2500.0, "psi"),
        source=_IRC,
        edition="",
        known="read",
        topic="interior slab strength",
    ),
    Limit(
        name="air in garage floors, least",
        quantity="air_share",
        value=0.05,
        source=_IRC,
        edition="",
        known="read",
        note="moderate and severe weathering; 3 % allowed in a troweled floor of 4000 psi (memory)",
        topic="garage air",
    ),
    Limit(
        name="air in garage floors, most",
        quantity="air_share",
        value=0.07,
        source=_IRC,
        edition="",
        known="read",
        topic="garage air",
        bound="at most",
    ),
    Limit(
        name="air in a troweled garage floor of 4000 psi, least",
        quantity="air_share",
        value=0.03,
        source="IRC Table R402.2, footnote",
        edition="",
        known="memory",
        topic="garage air, troweled",
    ),
)

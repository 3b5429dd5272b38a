"""Water reducers: how much mixing water each kind takes off at the same slump."""

from __future__ import annotations

from overslab.handbook.limits import Limit, declare
from overslab.handbook.publications import ASTM_C494
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

WATER_REDUCERS = declare(
    *(
        Limit(
            name=f"water that a reducer takes off, {kind}",
            quantity="reduction_share",
            value=share,
            source=source,
            edition="",
            known="read",
            note=note,
            topic=topic,
            bound="at least" if least else "at most",
        )
        for kind, share, source, note, topic, least in (
            ("Type A, least", 0.05, f"digests of {ASTM_C494}", "typical 5 to 10 %",
             "water reducer Type A", True),
            ("Type D, least", 0.05, f"digests of {ASTM_C494}", "and it retards",
             "water reducer Type D", True),
            ("Types F and G, least", 0.12, f"digests of {ASTM_C494}",
             "up to about 30 %, modern products to 40 %", "water reducer Type F", True),
            ("mid-range, least", 0.06, "trade page on water reducers", "",
             "water reducer mid-range", True),
            ("mid-range, most", 0.12, "trade page on water reducers", "",
             "water reducer mid-range", False),
        )
    )
)  # fmt: skip


@formula(
    equation="V = W (1 - r)",
    symbols={"water_kg_per_m3": "W", "reduction_share": "r"},
    result=("reduced_water_kg_per_m3", "V"),
    source=f"share by digests of {ASTM_C494}; 340 lb less 8 % by hand",
    known="derived",
    valid="r from 0 to 0.40, the maker's figure for the mix at hand",
    example={"water_kg_per_m3": 340.0, "reduction_share": 8.0},
    example_result=312.8,
    printed_in={
        "water_kg_per_m3": "lb/yd3",
        "reduction_share": "%",
        "reduced_water_kg_per_m3": "lb/yd3",
    },
)
def water_with_reducer(*, water_kg_per_m3: float, reduction_share: float) -> float:
    """Mixing water when a water reducer is used, at the same slump."""
    hold(
        within("water_kg_per_m3", water_kg_per_m3, least=0.0, most=1000.0, unit="kg/m3"),
        within("reduction_share", reduction_share, least=0.0, most=0.40, unit="%"),
        source=f"digests of {ASTM_C494}",
    )
    return water_kg_per_m3 * (1.0 - reduction_share)

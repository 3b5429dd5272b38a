"""Fibres: doses, what they do, and what they do not do.

They do not replace joints, structural steel or thickness, and do not stop cracks of drying.
"""

from __future__ import annotations

from overslab.ground.units import to_si
from overslab.handbook.limits import Advice, Bound, Limit, declare
from overslab.handbook.publications import CONCRETE_CONSTRUCTION, FIBRE_ASSOCIATION, NRMCA_CIP_24
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

POLYPROPYLENE_GRAVITY = 0.91
_WATER_KG_PER_M3 = 1000.0
_LITERATURE = "literature on thin synthetic fibres"

_ENDS: tuple[tuple[str, Bound], ...] = (("least", "at least"), ("greatest", "at most"))
FIBRE_LIMITS = declare(
    Limit(
        name="dose of fibrillated fibre that can stand in for wire up to about 10 gauge",
        quantity="dose_kg_per_m3",
        value=to_si(1.5, "lb/yd3"),
        source=FIBRE_ASSOCIATION,
        edition="",
        known="read",
        note="0.9 kg/m3; plain micro fibre gives no control of shrinkage at usual doses",
        topic="fibrillated fibre",
    ),
    *(
        Limit(
            name=f"{word} usual dose, {kind}",
            quantity="dose_kg_per_m3",
            value=to_si(dose, "lb/yd3"),
            source="usual doses in the trade",
            edition="",
            known="memory",
            topic=kind,
            bound=bound,
        )
        for kind, doses in (
            ("micro fibre", (0.5, 1.5)),
            ("macro fibre", (3.0, 8.0)),
            ("steel fibre", (20.0, 60.0)),
        )
        for (word, bound), dose in zip(_ENDS, doses, strict=True)
    ),
    *(
        Limit(
            name=f"{word} share of thin fibre that should end plastic cracking",
            quantity="fibre_share",
            value=share,
            source=_LITERATURE,
            edition="",
            known="read",
            note="thinner than 40 micron, more than 200 times as long as thick",
            topic="plastic cracking and fibre",
            bound=bound,
        )
        for (word, bound), share in zip(_ENDS, (0.002, 0.004), strict=True)
    ),
)
FIBRE_ADVICE = declare(
    Advice(
        topic="fibres",
        says="micro fibres control plastic-shrinkage and settlement cracks only",
        source=FIBRE_ASSOCIATION,
        edition="",
        known="read",
    ),
    Advice(
        topic="fibres",
        says="synthetic fibres add little or no strength to hardened concrete",
        source=f"{CONCRETE_CONSTRUCTION}, Synthetic fibers",
        edition="",
        known="read",
    ),
    Advice(
        topic="fibres",
        says="at usual doses the mix stays as it is; fewer plastic cracks, lower permeability,"
        " better against shatter and abrasion; secondary reinforcement only with documents",
        source=NRMCA_CIP_24,
        edition="",
        known="read",
    ),
    Advice(
        topic="fibres",
        says="they do not replace joints, structural steel or thickness, and do not stop cracks of"
        " drying shrinkage",
        source="common knowledge of the trade",
        edition="",
        known="memory",
    ),
)


@formula(
    equation="d = v G 1000",
    symbols={"fibre_share": "v", "specific_gravity": "G"},
    result=("fibre_kg_per_m3", "d"),
    source="definition; 0.2 % of polypropylene, specific gravity 0.91, by hand",
    known="derived",
    valid="share of the volume 0 to 3 %; water 1000 kg/m3",
    example={"fibre_share": 0.002, "specific_gravity": 0.91},
    example_result=1.82,
)
def fibre_dose(*, fibre_share: float, specific_gravity: float = POLYPROPYLENE_GRAVITY) -> float:
    """Dose of fibre for a share of the concrete's volume."""
    hold(
        within("fibre_share", fibre_share, least=0.0, most=0.03, unit="%"),
        within("specific_gravity", specific_gravity, least=0.5, most=10.0),
        source="definition",
    )
    return fibre_share * specific_gravity * _WATER_KG_PER_M3

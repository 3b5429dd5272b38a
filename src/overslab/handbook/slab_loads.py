"""Slab loads: stacked goods and walls on a floor, stiffness of the ground, strength in bending.

Sources give flexural strength as 7.5 or 9 times the root of the compressive strength, and the
stiffness of the ground from CBR differs between them by up to two times: the sheet says which.
"""

from __future__ import annotations

from math import pow as power_of
from math import sqrt

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Row, Table, declare, declare_rows
from overslab.handbook.publications import ACI_318, ACI_360, FAA_6E, UFC_FLOORS
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

_TM = "TM 5-809-12 as quoted on an engineering reference page"
_CBR_PAGE = "civil-engineering question-and-answer page, Coefficient of subgrade reaction"
# Modulus of the concrete in both of the military's rules for floors, psi.
TM_MODULUS_PSI = 4.0e6

# UFC 3-320-06A Table 3-2: wall load near the centre or a doweled joint, k = 100 pci.
WALL_LOADS = declare(
    Table(
        name="wall load on a floor, Table 3-2, ground 100 pci",
        topic="wall load",
        columns=("slab_thickness_m", "at_550_psi", "at_600_psi", "at_650_psi", "at_700_psi"),
        rows=(
            (4, 425, 455, 485, 510),
            (5, 565, 600, 640, 675),
            (6, 710, 755, 805, 850),
            (7, 860, 920, 975, 1030),
            (8, 1015, 1080, 1150, 1215),
            (9, 1175, 1255, 1330, 1410),
            (10, 1340, 1430, 1520, 1605),
        ),
        source=f"{UFC_FLOORS}, Table 3-2",
        edition="",
        known="read",
        printed_in={
            "slab_thickness_m": "in",
            "at_550_psi": "lbf/ft",
            "at_600_psi": "lbf/ft",
            "at_650_psi": "lbf/ft",
            "at_700_psi": "lbf/ft",
        },
        note="columns by flexural strength",
    )
)[0]
# UFC 3-320-06A, thickness factor for other ground.
GROUND_FACTORS = declare(
    Table(
        name="thickness factor for other ground",
        topic="wall load",
        columns=("subgrade_pa_per_m", "factor"),
        rows=((25, 1.3), (50, 1.1), (100, 1.0), (200, 0.9), (300, 0.8)),
        source=f"{UFC_FLOORS}, note to Table 3-2",
        edition="",
        known="read",
        printed_in={"subgrade_pa_per_m": "pci"},
    )
)[0]
# PCA bands of the modulus of subgrade reaction.
GROUND_BANDS = declare(
    Table(
        name="stiffness of the ground by soil",
        topic="ground stiffness",
        columns=("soil", "least_pa_per_m", "most_pa_per_m"),
        rows=(
            ("low: silt and clay", 50, 120),
            ("medium: silty or clayey sand and gravel", 130, 170),
            ("high: clean sand and gravel", 180, 220),
            ("cement-treated", 250, 400),
        ),
        source="PCA, as restated on a structural-engineering web page (second hand)",
        edition="",
        known="read",
        printed_in={"least_pa_per_m": "pci", "most_pa_per_m": "pci"},
    )
)[0]
ROAD_TEST_GROUND = declare_rows(
    Row(
        "gross stiffness of the ground at the AASHO Road Test",
        60.0,
        "encyclopedia entry, Modulus of subgrade reaction",
        "",
        "read",
        "average",
    ),
    topic="ground stiffness",
    quantity="subgrade_pa_per_m",
    unit="pci",
    bound="is",
)
_ASCE = "ASCE 7 and IBC section 1607"
GARAGE_LOADS = (
    *declare_rows(
        Row("jack or wheel on 4.5 in by 4.5 in, garage", 3000.0, _ASCE, "", "memory", "148 psi"),
        Row("wheel, mechanical parking without a slab", 2250.0, _ASCE, "", "memory"),
        topic="garage load",
        quantity="load_n",
        unit="lbf",
        bound="is",
    ),
    *declare_rows(
        Row("load all over a passenger garage", 40.0, _ASCE, "", "memory"),
        topic="garage load",
        quantity="load_pa",
        unit="psf",
        bound="is",
    ),
    *declare_rows(
        Row("side of the plate under the garage load", 4.5, _ASCE, "", "memory"),
        topic="garage load",
        quantity="side_m",
        unit="in",
        bound="is",
    ),
)
_LIFT = "general web article on two-post lifts (low grade); the manual of the model governs"
LIFT_LIMITS = (
    *declare_rows(
        Row("slab under a two-post lift, low", 4.0, _LIFT, "", "read", "ask for the manual"),
        Row("slab under a two-post lift, high", 4.25, _LIFT, "", "read", "ask for the manual"),
        topic="lift",
        quantity="slab_thickness_m",
        unit="in",
    ),
    *declare_rows(
        Row("concrete under a two-post lift", 3000.0, _LIFT, "", "read", "ask for the manual"),
        topic="lift",
        quantity="strength_pa",
        unit="psi",
    ),
    *declare_rows(
        Row("embedment of a 3/4 by 5-1/2 in lift anchor", 3.25, _LIFT, "", "read"),
        topic="lift",
        quantity="embedment_m",
        unit="in",
    ),
)
_SAFETY = f"{ACI_360} and PCA"
SAFETY_LEAST = declare_rows(
    Row("safety on flexural strength, frequent loads, low", 1.7, _SAFETY, "", "memory"),
    Row("safety on flexural strength, frequent loads, high", 2.0, _SAFETY, "", "memory"),
    Row("safety on flexural strength, mixed loads, low", 1.4, _SAFETY, "", "memory"),
    Row("safety on flexural strength, mixed loads, high", 1.7, _SAFETY, "", "memory"),
    topic="safety in bending",
    quantity="safety_factor",
)


@formula(
    equation="w = 257.876*s*sqrt(k*h/E)",
    symbols={
        "allowed_stress_pa": "s",
        "subgrade_pa_per_m": "k",
        "slab_thickness_m": "h",
        "modulus_pa": "E",
    },
    result=("uniform_load_pa", "w"),
    source=f"{_TM}: 947 psf, figure of its Table 3-1 from memory",
    known="read",
    valid="s is half of the flexural strength; loads that stay put, with aisles; E 4e6 psi in the"
    " manual; says nothing of settlement of soft ground",
    example={
        "allowed_stress_pa": 300.0,
        "subgrade_pa_per_m": 100.0,
        "slab_thickness_m": 6.0,
        "modulus_pa": 4e6,
    },
    example_result=947.0,
    # Table printed in whole psf.
    example_within=0.003,
    printed_in={
        "allowed_stress_pa": "psi",
        "subgrade_pa_per_m": "pci",
        "slab_thickness_m": "in",
        "modulus_pa": "psi",
        "uniform_load_pa": "psf",
    },
)
def uniform_load_tm_5_809_12(
    *,
    allowed_stress_pa: float,
    subgrade_pa_per_m: float,
    slab_thickness_m: float,
    modulus_pa: float,
) -> float:
    """Load of stacked goods that a floor on the ground carries."""
    hold(
        within("allowed_stress_pa", allowed_stress_pa, least=0, unit="psi"),
        within("subgrade_pa_per_m", subgrade_pa_per_m, above=0, unit="pci"),
        within("slab_thickness_m", slab_thickness_m, above=0, unit="in"),
        within("modulus_pa", modulus_pa, above=0, unit="psi"),
        source=_TM,
    )
    ground = to_customary(subgrade_pa_per_m, "pci") * to_customary(slab_thickness_m, "in")
    stress = to_customary(allowed_stress_pa, "psi")
    return to_si(257.876 * stress * sqrt(ground / to_customary(modulus_pa, "psi")), "psf")


@formula(
    equation="P = 12.8*(R/9)*t^2*(k/(19000*(R/9)*t^3))^0.25",
    symbols={"flexural_pa": "R", "slab_thickness_m": "t", "subgrade_pa_per_m": "k"},
    result=("line_load_n_per_m", "P"),
    source=f"{UFC_FLOORS}, Table 3-2: 850 lb/ft; R/9 is the root of the strength,"
    " algebra recomputed",
    known="read",
    valid="wall near the centre of a panel or a doweled joint; 4 to 10 in and 550 to 700 psi in"
    " print; the table is rounded to 5 lb/ft",
    example={"flexural_pa": 700.0, "slab_thickness_m": 6.0, "subgrade_pa_per_m": 100.0},
    example_result=850.0,
    # The table is rounded to 5 lb/ft.
    example_within=0.006,
    printed_in={
        "flexural_pa": "psi",
        "slab_thickness_m": "in",
        "subgrade_pa_per_m": "pci",
        "line_load_n_per_m": "lbf/ft",
    },
)
def wall_load_ufc_3_320_06a(
    *, flexural_pa: float, slab_thickness_m: float, subgrade_pa_per_m: float
) -> float:
    """Load of a wall that a floor on the ground carries without a footing."""
    hold(
        within("flexural_pa", flexural_pa, above=0, unit="psi"),
        within("slab_thickness_m", slab_thickness_m, above=0, unit="in"),
        within("subgrade_pa_per_m", subgrade_pa_per_m, above=0, unit="pci"),
        source=UFC_FLOORS,
    )
    root = to_customary(flexural_pa, "psi") / 9
    t = to_customary(slab_thickness_m, "in")
    k = to_customary(subgrade_pa_per_m, "pci")
    return to_si(12.8 * root * t**2 * power_of(k / (19000 * root * t**3), 0.25), "lbf/ft")


@formula(
    equation="F = (100/k)^(1/5)",
    symbols={"subgrade_pa_per_m": "k"},
    result=("factor", "F"),
    source=f"{UFC_FLOORS}, note to Table 3-2: 1.3 at 25 pci",
    known="read",
    valid="25 to 300 pci; print has one digit",
    example={"subgrade_pa_per_m": 25.0},
    example_result=1.3,
    printed_in={"subgrade_pa_per_m": "pci"},
)
def thickness_factor_ufc_3_320_06a(*, subgrade_pa_per_m: float) -> float:
    """How much thicker than on ground of 100 pci a floor must be for the same wall."""
    hold(
        within(
            "subgrade_pa_per_m",
            subgrade_pa_per_m,
            least=to_si(25, "pci"),
            most=to_si(300, "pci"),
            unit="pci",
        ),
        source=UFC_FLOORS,
    )
    return power_of(100 / to_customary(subgrade_pa_per_m, "pci"), 0.2)


@formula(
    equation="k = 53.438*CBR^0.5719",
    symbols={"cbr": "CBR"},
    result=("subgrade_pa_per_m", "k"),
    source=f"PCA (Packard), on a {_CBR_PAGE}",
    known="read",
    valid="CBR in percent, above 0 and at most 100; no range was printed; up to twice what the FAA"
    " rule gives",
    # Recomputed: CBR 5.
    example={"cbr": 5.0},
    example_result=134.0,
    # Recomputed to whole pci.
    example_within=0.004,
    printed_in={"subgrade_pa_per_m": "pci"},
)
def ground_stiffness_from_cbr_packard(*, cbr: float) -> float:
    """Stiffness of the ground from its bearing ratio, Portland Cement Association."""
    hold(within("cbr", cbr, above=0, most=100), source=_CBR_PAGE)
    return to_si(53.438 * power_of(cbr, 0.5719), "pci")


@formula(
    equation="k = (1500*CBR/26)^0.7788",
    symbols={"cbr": "CBR"},
    result=("subgrade_pa_per_m", "k"),
    source=f"{FAA_6E}, on a {_CBR_PAGE}",
    known="read",
    valid="CBR in percent, above 0 and at most 100; no range was printed; down to half of what the"
    " PCA rule gives",
    # Recomputed: CBR 5.
    example={"cbr": 5.0},
    example_result=82.0,
    # Recomputed to whole pci.
    example_within=0.006,
    printed_in={"subgrade_pa_per_m": "pci"},
)
def ground_stiffness_from_cbr_faa_6e(*, cbr: float) -> float:
    """Stiffness of the ground from its bearing ratio, Federal Aviation Administration."""
    hold(within("cbr", cbr, above=0, most=100), source=_CBR_PAGE)
    return to_si(power_of(1500 * cbr / 26, 0.7788), "pci")


_STRENGTH_PRINT = {"strength_pa": "psi", "flexural_pa": "psi"}


def _root_psi(strength_pa: float, *, source: str) -> float:
    """Root of a compressive strength in psi, as every rule here is written."""
    hold(within("strength_pa", strength_pa, above=0, unit="psi"), source=source)
    return sqrt(to_customary(strength_pa, "psi"))


@formula(
    equation="R = 9*sqrt(fc)",
    symbols={"strength_pa": "fc"},
    result=("flexural_pa", "R"),
    source="TM 5-809-12",
    known="read",
    valid="ordinary concrete; 20 % more than ACI 318 takes",
    # Recomputed: 3000 psi.
    example={"strength_pa": 3000.0},
    example_result=493.0,
    # Recomputed to whole psi.
    example_within=0.001,
    printed_in=_STRENGTH_PRINT,
)
def flexural_strength_tm_5_809_12(*, strength_pa: float) -> float:
    """Strength in bending from strength in compression, by the manual for floors."""
    return to_si(9 * _root_psi(strength_pa, source="TM 5-809-12"), "psi")


@formula(
    equation="R = 7.5*sqrt(fc)",
    symbols={"strength_pa": "fc"},
    result=("flexural_pa", "R"),
    source=ACI_318,
    known="memory",
    valid="ordinary concrete of normal weight",
    # Recomputed: 3000 psi.
    example={"strength_pa": 3000.0},
    example_result=410.8,
    printed_in=_STRENGTH_PRINT,
)
def flexural_strength_aci_318(*, strength_pa: float) -> float:
    """Strength in bending (modulus of rupture) from strength in compression, by the code."""
    return to_si(7.5 * _root_psi(strength_pa, source=ACI_318), "psi")


@formula(
    equation="E = 57000*sqrt(fc)",
    symbols={"strength_pa": "fc"},
    result=("modulus_pa", "E"),
    source=f"{UFC_FLOORS}, behind its Table 3-2",
    known="read",
    valid="ordinary concrete of normal weight",
    # By hand: the root of 3600 is 60.
    example={"strength_pa": 3600.0},
    example_result=3_420_000.0,
    printed_in={"strength_pa": "psi", "modulus_pa": "psi"},
)
def concrete_modulus(*, strength_pa: float) -> float:
    """Modulus of elasticity of concrete from its strength."""
    return to_si(57000 * _root_psi(strength_pa, source=UFC_FLOORS), "psi")


@formula(
    equation="F = R/s",
    symbols={"flexural_pa": "R", "stress_pa": "s"},
    result=("safety_factor", "F"),
    source="definition; what is asked of it is a limit of its own",
    known="derived",
    valid="stress above 0",
    # By hand.
    example={"flexural_pa": 500.0, "stress_pa": 250.0},
    example_result=2.0,
    printed_in={"flexural_pa": "psi", "stress_pa": "psi"},
)
def safety_in_bending(*, flexural_pa: float, stress_pa: float) -> float:
    """How many times its bending stress the concrete could bear."""
    hold(
        within("flexural_pa", flexural_pa, above=0, unit="psi"),
        within("stress_pa", stress_pa, above=0, unit="psi"),
        source="definition",
    )
    return flexural_pa / stress_pa

"""Shrinkage: how much concrete shortens as it dries, by three published models, and what follows.

Models differ by a third and more for the same concrete; each carries its edition in its name.
Humidity is a share (0.7 is 70 %), strains are plain numbers shown in millionths.
"""

from __future__ import annotations

from math import exp, sqrt

from overslab.ground.units import to_customary
from overslab.handbook.limits import Row, declare_rows
from overslab.handbook.publications import ACI_209_1992, ACI_209_2008, CONCRETE_CONSTRUCTION
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

_PERENCHIO = f"{CONCRETE_CONSTRUCTION}, W. Perenchio, The drying shrinkage dilemma"
_GL_TABLE = f"{ACI_209_2008}, appendix C.4 (second hand)"
_CEB_TABLE = f"{ACI_209_2008}, appendix C, page 38"
# ACI 209R-92: drying shrinkage in the end, before the factors (memory).
ULTIMATE_ACI_209_1992 = 780e-6
_STRAIN = {"shrinkage_strain": "microstrain"}

ULTIMATE = declare_rows(
    Row("drying shrinkage of floor concrete in the end, low", 400.0, "trade texts", "", "memory"),
    Row("drying shrinkage of floor concrete in the end, high", 800.0, "trade texts", "", "memory"),
    Row("rule of 1/16 in for 10 ft", 520.8, "trade rule", "", "memory", "1/16 in over 120 in"),
    topic="drying shrinkage",
    quantity="shrinkage_strain",
    unit="microstrain",
    bound="is",
)
PROGRESS = declare_rows(
    Row("share of 38-month shrinkage in the first month, 4 in bars", 34.0, _PERENCHIO, "", "read",
        "Bureau of Reclamation, bars of 4 by 4 by 40 in"),
    Row("share of 38-month shrinkage at 11 months, 4 in bars", 90.0, _PERENCHIO, "", "read"),
    Row("share at 12 months, 6 in slab drying from one face", 60.0, _PERENCHIO, "", "read",
        "50 % humidity"),
    topic="progress of shrinkage",
    quantity="shrinkage_share",
    unit="%",
    bound="is",
)  # fmt: skip


@formula(
    equation="r = t/(35 + t)",
    symbols={"drying_days": "t"},
    result=("shrinkage_share", "r"),
    source=f"{ACI_209_1992}, moist cured 7 days",
    known="memory",
    valid="days of drying after 7 days of moist cure",
    # Closed form: half at 35 days.
    example={"drying_days": 35.0},
    example_result=0.5,
)
def shrinkage_share_aci_209_1992(*, drying_days: float) -> float:
    """Share of the shrinkage in the end that has come after some days of drying."""
    hold(within("drying_days", drying_days, least=0), source=ACI_209_1992)
    return drying_days / (35 + drying_days)


@formula(
    equation="f = 1.40 - 1.02*h",
    symbols={"humidity_share": "h"},
    result=("humidity_factor", "f"),
    source=f"{ACI_209_1992}; older prints have 1.00 for 1.02",
    known="memory",
    valid="humidity 40 to 80 %",
    # By hand.
    example={"humidity_share": 0.5},
    example_result=0.890,
)
def humidity_factor_aci_209_1992(*, humidity_share: float) -> float:
    """Factor on shrinkage for the humidity of the air."""
    hold(within("humidity_share", humidity_share, least=0.4, most=0.8), source=ACI_209_1992)
    return 1.40 - 1.02 * humidity_share


@formula(
    equation="f = 1.40 - 1.00*h",
    symbols={"humidity_share": "h"},
    result=("humidity_factor", "f"),
    source="ACI 209R, older prints",
    known="memory",
    valid="humidity 40 to 80 %",
    # By hand.
    example={"humidity_share": 0.5},
    example_result=0.900,
)
def humidity_factor_aci_209_older(*, humidity_share: float) -> float:
    """Factor on shrinkage for the humidity of the air, as older prints have it."""
    hold(within("humidity_share", humidity_share, least=0.4, most=0.8), source=ACI_209_1992)
    return 1.40 - 1.00 * humidity_share


@formula(
    equation="f = 1.2*exp(-0.12*v)",
    symbols={"volume_to_surface_m": "v"},
    result=("size_factor", "f"),
    source=ACI_209_1992,
    known="memory",
    valid="v in inches; a slab that dries on one face has its thickness",
    # Recomputed: 2 in.
    example={"volume_to_surface_m": 2.0},
    example_result=0.944,
    printed_in={"volume_to_surface_m": "in"},
)
def size_factor_aci_209_1992(*, volume_to_surface_m: float) -> float:
    """Factor on shrinkage for how thick the concrete is for the surface it dries by."""
    hold(
        within("volume_to_surface_m", volume_to_surface_m, least=0, unit="in"), source=ACI_209_1992
    )
    return 1.2 * exp(-0.12 * to_customary(volume_to_surface_m, "in"))


@formula(
    equation="e = r*e0*fh*fv",
    symbols={
        "shrinkage_share": "r",
        "ultimate_strain": "e0",
        "humidity_factor": "fh",
        "size_factor": "fv",
    },
    result=("shrinkage_strain", "e"),
    source=f"{ACI_209_1992}; e0 is 780 millionths before the factors",
    known="memory",
    valid="moist cured 7 days; other factors of the guide taken as 1",
    # Recomputed: 50 % humidity, 2 in, 90 days.
    example={
        "shrinkage_share": 0.72,
        "ultimate_strain": 780.0,
        "humidity_factor": 0.890,
        "size_factor": 0.944,
    },
    example_result=472.0,
    # Recomputed to whole millionths from factors of three digits.
    example_within=0.002,
    printed_in={**_STRAIN, "ultimate_strain": "microstrain"},
)
def shrinkage_aci_209_1992(
    *,
    shrinkage_share: float,
    ultimate_strain: float,
    humidity_factor: float,
    size_factor: float,
) -> float:
    """Drying shrinkage at a time by the guide of 1992."""
    hold(
        within("shrinkage_share", shrinkage_share, least=0, most=1),
        within("ultimate_strain", ultimate_strain, least=0, unit="microstrain"),
        within("humidity_factor", humidity_factor, least=0),
        within("size_factor", size_factor, least=0),
        source=ACI_209_1992,
    )
    return shrinkage_share * ultimate_strain * humidity_factor * size_factor


@formula(
    equation="e = 900*K*sqrt(30/fcm)*(1 - 1.18*h^4)*sqrt(d/(d + 0.12*v^2))",
    symbols={
        "cement_factor": "K",
        "mean_strength_pa": "fcm",
        "humidity_share": "h",
        "drying_days": "d",
        "volume_to_surface_m": "v",
    },
    result=("shrinkage_strain", "e"),
    source=f"{_GL_TABLE}: 128 millionths at 60 days, cured 7; the row of 90 days is a misprint",
    known="read",
    valid="GL2000; fcm in MPa at 28 days, v in mm; K 1 for Type I; growth in wet air (h above"
    " 0.96) comes out below 0",
    example={
        "cement_factor": 1.0,
        "mean_strength_pa": 32.5,
        "humidity_share": 0.70,
        "drying_days": 53.0,
        "volume_to_surface_m": 100.0,
    },
    example_result=128.0,
    # Print has whole millionths: 127.5.
    example_within=0.005,
    printed_in={
        "mean_strength_pa": "MPa",
        "volume_to_surface_m": "mm",
        **_STRAIN,
    },
)
def shrinkage_gl2000(
    *,
    cement_factor: float,
    mean_strength_pa: float,
    humidity_share: float,
    drying_days: float,
    volume_to_surface_m: float,
) -> float:
    """Drying shrinkage at a time by the model GL2000."""
    hold(
        within("cement_factor", cement_factor, above=0),
        within("mean_strength_pa", mean_strength_pa, above=0, unit="MPa"),
        within("humidity_share", humidity_share, least=0, most=1),
        within("drying_days", drying_days, above=0),
        within("volume_to_surface_m", volume_to_surface_m, above=0, unit="mm"),
        source=_GL_TABLE,
    )
    most = 900e-6 * cement_factor * sqrt(30 / to_customary(mean_strength_pa, "MPa"))
    size = 0.12 * to_customary(volume_to_surface_m, "mm") ** 2
    return most * (1 - 1.18 * humidity_share**4) * sqrt(drying_days / (drying_days + size))


@formula(
    equation="e = 1.55*(1 - h^3)*e0*sqrt(d/(350*(v/50)^2 + d))",
    symbols={
        "humidity_share": "h",
        "notional_strain": "e0",
        "drying_days": "d",
        "volume_to_surface_m": "v",
    },
    result=("shrinkage_strain", "e"),
    source=f"{_CEB_TABLE}: 107 millionths at 90 days, cured 7; shortening above 0 here",
    known="read",
    valid="CEB MC90-99, drying part; v in mm; humidity below 99 %; e0 444 millionths in print",
    example={
        "humidity_share": 0.70,
        "notional_strain": 444.0,
        "drying_days": 83.0,
        "volume_to_surface_m": 100.0,
    },
    example_result=107.0,
    # Print has whole millionths: 107.1.
    example_within=0.005,
    printed_in={
        "volume_to_surface_m": "mm",
        "notional_strain": "microstrain",
        **_STRAIN,
    },
)
def shrinkage_ceb_mc90_99_drying(
    *,
    humidity_share: float,
    notional_strain: float,
    drying_days: float,
    volume_to_surface_m: float,
) -> float:
    """Drying part of the shrinkage at a time by the model code."""
    hold(
        within("humidity_share", humidity_share, least=0, below=0.99),
        within("notional_strain", notional_strain, least=0, unit="microstrain"),
        within("drying_days", drying_days, least=0),
        within("volume_to_surface_m", volume_to_surface_m, above=0, unit="mm"),
        source=_CEB_TABLE,
    )
    size = 350 * (to_customary(volume_to_surface_m, "mm") / 50) ** 2
    dried = sqrt(drying_days / (size + drying_days))
    return 1.55 * (1 - humidity_share**3) * notional_strain * dried


@formula(
    equation="g = e*L",
    symbols={"shrinkage_strain": "e", "panel_m": "L"},
    result=("opening_m", "g"),
    source="geometry of a panel free to shrink",
    known="derived",
    valid="free panel; friction and steel make it less",
    # Recomputed: 15 ft at 600 millionths.
    example={"shrinkage_strain": 600.0, "panel_m": 180.0},
    example_result=0.108,
    printed_in={"shrinkage_strain": "microstrain", "panel_m": "in", "opening_m": "in"},
)
def joint_opening(*, shrinkage_strain: float, panel_m: float) -> float:
    """How far a joint opens when its panel shrinks freely."""
    hold(within("panel_m", panel_m, least=0, unit="ft"), source="geometry")
    return shrinkage_strain * panel_m


@formula(
    equation="s = de*E",
    symbols={"strain_difference": "de", "aged_modulus_pa": "E"},
    result=("stress_pa", "s"),
    source="elasticity, full restraint; no published example for a topping was found",
    known="memory",
    valid="ceiling: a bonded topping held fully; E is the modulus reduced for creep",
    # By hand: 300 millionths of 2 000 000 psi.
    example={"strain_difference": 300.0, "aged_modulus_pa": 2e6},
    example_result=600.0,
    printed_in={
        "strain_difference": "microstrain",
        "aged_modulus_pa": "psi",
        "stress_pa": "psi",
    },
)
def restraint_stress_ceiling(*, strain_difference: float, aged_modulus_pa: float) -> float:
    """Most tension that a bonded topping can build up by shrinking more than its base."""
    hold(
        within("strain_difference", strain_difference, least=0, unit="microstrain"),
        within("aged_modulus_pa", aged_modulus_pa, above=0, unit="psi"),
        source="elasticity",
    )
    return strain_difference * aged_modulus_pa

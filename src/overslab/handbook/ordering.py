"""Ordering ready-mixed concrete: what is needed, what short and left over cost, yield.

The need is a product of two uncertain figures (concrete in place, share lost) and is taken as
normal. Volume in place is an integral of a Gaussian surface, so it is normal exactly; the product
with a loss factor of small spread leans only slightly to the high side: with spreads of 4 % and
3 % the skewness is about 0.07, while a lognormal of the same spread has 0.15 and a normal none.
The normal is about as near, never has the wrong spread, and keeps every sum below in closed form.
"""

from __future__ import annotations

import math

from overslab.handbook.working import formula

_YARD3_M3 = 0.9144**3
# The waste rule of the Navy manual changes its share here.
NAVY_WASTE_LIMIT_M3 = 200 * _YARD3_M3


def _density(z: float) -> float:
    return math.exp(-z * z / 2) / math.sqrt(2 * math.pi)


def _upper_tail(z: float) -> float:
    return math.erfc(z / math.sqrt(2)) / 2


def _standardized(amount_m3: float, needed_m3: float, deviation_m3: float) -> float:
    """Distance of the amount above the mean need in deviations; infinite for a sure need."""
    gap = amount_m3 - needed_m3
    if deviation_m3 > 0:
        return gap / deviation_m3
    # Ordering exactly what is surely needed is enough.
    return math.inf if gap >= 0 else -math.inf


@formula(
    equation="N = V (1 + w)",
    symbols={"in_place_m3": "V", "loss_share": "w"},
    result=("needed_m3", "N"),
    source="US Navy training course NAVEDTRA 14071, waste added to the estimated volume",
    known="read",
    valid="loss as a share of the concrete in place, at least 0; a fixed loss (pump hose, truck"
    " residue) is not a share and is better written as its own figure",
    # Printed: 63.7 yd3 with 10 % waste is 70.07 yd3.
    example={"in_place_m3": 48.7021, "loss_share": 0.10},
    example_result=53.57,
)
def needed_volume_m3(*, in_place_m3: float, loss_share: float) -> float:
    """Concrete that must come out of the trucks to fill a volume in place."""
    return in_place_m3 * (1 + loss_share)


@formula(
    equation="s = sqrt((sv (1 + w))^2 + (V sw)^2 + (sv sw)^2)",
    symbols={
        "in_place_m3": "V",
        "in_place_deviation_m3": "sv",
        "loss_share": "w",
        "loss_deviation_share": "sw",
    },
    result=("deviation_m3", "s"),
    source="L. A. Goodman, On the exact variance of products, Journal of the American Statistical"
    " Association 55 (1960) 708-713",
    known="read",
    valid="volume in place and loss share independent of each other; any distributions",
    # E[X^2] E[Y^2] - E[X]^2 E[Y]^2 by hand: 100.25 * 1.124 - 112.36 = 0.321.
    example={
        "in_place_m3": 10.0,
        "in_place_deviation_m3": 0.5,
        "loss_share": 0.06,
        "loss_deviation_share": 0.02,
    },
    example_result=0.56657,
)
def needed_deviation_m3(
    *,
    in_place_m3: float,
    in_place_deviation_m3: float,
    loss_share: float,
    loss_deviation_share: float,
) -> float:
    """Standard deviation of the need: a product of two independent uncertain figures, exactly."""
    return math.sqrt(
        (in_place_deviation_m3 * (1 + loss_share)) ** 2
        + (in_place_m3 * loss_deviation_share) ** 2
        + (in_place_deviation_m3 * loss_deviation_share) ** 2
    )


@formula(
    equation="P = 1 - Phi((Q - N) / s)",
    symbols={"amount_m3": "Q", "needed_m3": "N", "deviation_m3": "s"},
    result=("short_chance", "P"),
    source="Normal distribution; table of the cumulative distribution, NIST/SEMATECH e-Handbook of"
    " Statistical Methods, section 1.3.6.7.1",
    known="memory",
    valid="need normal; with no deviation the answer is 0 or 1",
    # Table: area 0.34134 between the mean and one deviation.
    example={"amount_m3": 11.0, "needed_m3": 10.0, "deviation_m3": 1.0},
    example_result=0.15866,
)
def chance_short(*, amount_m3: float, needed_m3: float, deviation_m3: float) -> float:
    """Chance that the amount ordered does not fill the floor."""
    return _upper_tail(_standardized(amount_m3, needed_m3, deviation_m3))


@formula(
    equation="L = phi(z) - z (1 - Phi(z))",
    symbols={"z": "z"},
    result=("loss", "L"),
    source="Unit normal loss function, as tabulated in inventory texts (Porteus, Foundations of"
    " Stochastic Inventory Theory, 2002)",
    known="memory",
    valid="every z; falls from -z far below the mean to 0 far above it",
    example={"z": 1.0},
    example_result=0.0833,
)
def normal_loss(*, z: float) -> float:
    """Expected amount by which a standard normal figure exceeds z."""
    if math.isinf(z):
        return 0.0 if z > 0 else math.inf
    return max(0.0, _density(z) - z * _upper_tail(z))


@formula(
    equation="M = s L((Q - N) / s)",
    symbols={"amount_m3": "Q", "needed_m3": "N", "deviation_m3": "s"},
    result=("expected_missing_m3", "M"),
    source="Unit normal loss function scaled to the need (Porteus, Foundations of Stochastic"
    " Inventory Theory, 2002)",
    known="memory",
    valid="need normal",
    # z = 1 in the table of the unit normal loss: 0.0833.
    example={"amount_m3": 12.0, "needed_m3": 10.0, "deviation_m3": 2.0},
    example_result=0.1666,
)
def expected_missing_m3(*, amount_m3: float, needed_m3: float, deviation_m3: float) -> float:
    """Concrete the order can be expected to lack, the times it is enough counted as 0."""
    if deviation_m3 == 0:
        return max(0.0, needed_m3 - amount_m3)
    z = _standardized(amount_m3, needed_m3, deviation_m3)
    return deviation_m3 * normal_loss(z=z)


@formula(
    equation="R = (Q - N) + s L((Q - N) / s)",
    symbols={"amount_m3": "Q", "needed_m3": "N", "deviation_m3": "s"},
    result=("expected_left_m3", "R"),
    source="Unit normal loss function scaled to the need (Porteus, Foundations of Stochastic"
    " Inventory Theory, 2002); left over less missing is the amount less the need",
    known="memory",
    valid="need normal",
    # L(-z) = z + L(z), so one deviation over the mean leaves (1 + 0.0833) deviations.
    example={"amount_m3": 12.0, "needed_m3": 10.0, "deviation_m3": 2.0},
    example_result=2.1666,
)
def expected_left_m3(*, amount_m3: float, needed_m3: float, deviation_m3: float) -> float:
    """Concrete that can be expected left over, the times it runs short counted as 0."""
    if deviation_m3 == 0:
        return max(0.0, amount_m3 - needed_m3)
    # By symmetry the loss function of -z, which keeps its digits where little is left over.
    z = _standardized(amount_m3, needed_m3, deviation_m3)
    return deviation_m3 * normal_loss(z=-z)


@formula(
    equation="C = c (Q + M) + S + K P + h R",
    symbols={
        "concrete_cost_per_m3": "c",
        "amount_m3": "Q",
        "expected_missing_m3": "M",
        "short_load_charge": "S",
        "short_cost": "K",
        "short_chance": "P",
        "leftover_cost_per_m3": "h",
        "expected_left_m3": "R",
    },
    result=("expected_cost", "C"),
    source="Single-period (newsvendor) order with a lump cost of running short; expectation written"
    " out term by term",
    known="derived",
    valid="what is missing is bought in the end at the same price, so K is what running short costs"
    " beyond that concrete; all costs at least 0",
    # By hand: 200 * 11.1 + 50 + 600 * 0.1 + 80 * 0.5 = 2220 + 50 + 60 + 40.
    example={
        "concrete_cost_per_m3": 200.0,
        "amount_m3": 11.0,
        "expected_missing_m3": 0.1,
        "short_load_charge": 50.0,
        "short_cost": 600.0,
        "short_chance": 0.1,
        "leftover_cost_per_m3": 80.0,
        "expected_left_m3": 0.5,
    },
    example_result=2370.0,
)
def expected_order_cost(
    *,
    concrete_cost_per_m3: float,
    amount_m3: float,
    expected_missing_m3: float,
    short_load_charge: float,
    short_cost: float,
    short_chance: float,
    leftover_cost_per_m3: float,
    expected_left_m3: float,
) -> float:
    """What an amount can be expected to cost: concrete, charges, running short, left over."""
    return (
        concrete_cost_per_m3 * (amount_m3 + expected_missing_m3)
        + short_load_charge
        + short_cost * short_chance
        + leftover_cost_per_m3 * expected_left_m3
    )


@formula(
    equation="u = K phi((Q - N) / s) / (s (1 - Phi((Q - N) / s)))",
    symbols={"short_cost": "K", "amount_m3": "Q", "needed_m3": "N", "deviation_m3": "s"},
    result=("short_cost_per_m3", "u"),
    source="Derivative of the lump K (1 - Phi) by the amount, over the chance of running short",
    known="derived",
    valid="need normal, deviation above 0",
    # At the mean: phi(0) = 0.398942 over one half, times 600 / 0.5.
    example={"short_cost": 600.0, "amount_m3": 10.0, "needed_m3": 10.0, "deviation_m3": 0.5},
    example_result=957.46,
)
def short_cost_per_m3(
    *, short_cost: float, amount_m3: float, needed_m3: float, deviation_m3: float
) -> float:
    """The lump cost of running short told per cubic metre that one more step would supply."""
    z = (amount_m3 - needed_m3) / deviation_m3
    tail = _upper_tail(z)
    # Far above the need the hazard of the normal runs like z itself; the quotient would be 0/0.
    hazard = _density(z) / tail if tail > 0 else z
    return short_cost * hazard / deviation_m3


@formula(
    equation="F = u / (u + o)",
    symbols={"short_cost_per_m3": "u", "left_cost_per_m3": "o"},
    result=("enough_chance", "F"),
    source="Newsvendor critical ratio; worked example price 7, cost 5: ratio 2/7, best amount 38.68"
    " for a need of 50 with deviation 20 (public calculator's page on the newsvendor model)",
    known="read",
    valid="both costs at least 0 and not both 0; order until the chance of having enough reaches F",
    example={"short_cost_per_m3": 2.0, "left_cost_per_m3": 5.0},
    example_result=0.2857,
)
def critical_ratio(*, short_cost_per_m3: float, left_cost_per_m3: float) -> float:
    """Chance of having enough at which one more cubic metre costs as much as it saves."""
    return short_cost_per_m3 / (short_cost_per_m3 + left_cost_per_m3)


@formula(
    equation="Y = W / D",
    symbols={"batch_kg": "W", "density_kg_per_m3": "D"},
    result=("yield_m3", "Y"),
    source="CIP 8, Discrepancies in Yield, National Ready Mixed Concrete Association",
    known="read",
    valid="D is the fresh unit weight, the mean of tests from three different loads",
    # 3944 lb at 146.07 lb/ft3 is 27 ft3.
    example={"batch_kg": 1788.97, "density_kg_per_m3": 2339.85},
    example_result=0.7646,
)
def yield_m3(*, batch_kg: float, density_kg_per_m3: float) -> float:
    """Volume of fresh concrete in a load, from what was batched and what it weighs."""
    return batch_kg / density_kg_per_m3


@formula(
    equation="r = G / A",
    symbols={"received_m3": "G", "asked_m3": "A"},
    result=("relative_yield", "r"),
    source="Concrete Construction, What Yield Can Do for You; inputs 216 ft3 ordered, 210 received",
    known="read",
    valid="both as fresh concrete; hardened volume is about 2 % less than fresh",
    example={"received_m3": 5.94654, "asked_m3": 6.11644},
    example_result=0.972,
)
def relative_yield(*, received_m3: float, asked_m3: float) -> float:
    """Concrete received over concrete asked for."""
    return received_m3 / asked_m3


@formula(
    equation="w = 0.10 if V <= 200 yd3, else 0.05",
    symbols={"in_place_m3": "V"},
    result=("loss_share", "w"),
    source="US Navy training course NAVEDTRA 14071, as printed",
    known="read",
    valid="the manual's flat allowance for formed work; a crew's own record of ordered against used"
    " is better; the share drops in one step, so just above 200 yd3 asks for less than just below",
    example={"in_place_m3": 48.7021},
    example_result=0.10,
)
def navy_waste_share(*, in_place_m3: float) -> float:
    """Waste allowance of the Navy building manual, by the size of the job."""
    return 0.10 if in_place_m3 <= NAVY_WASTE_LIMIT_M3 else 0.05


@formula(
    equation="A = V / t",
    symbols={"volume_m3": "V", "thickness_m": "t"},
    result=("area_m2", "A"),
    source="Geometry; the trade's 1 yd3 covers 324 ft2 at 1 in and 81 at 4 in",
    known="common practice",
    valid="an even layer; an uneven old floor has no one thickness",
    # 1 yd3 at 1 in: 324 ft2.
    example={"volume_m3": 0.764555, "thickness_m": 0.0254},
    example_result=30.1006,
)
def area_covered_m2(*, volume_m3: float, thickness_m: float) -> float:
    """Area that a volume covers in an even layer."""
    return volume_m3 / thickness_m


@formula(
    equation="t = a V / v",
    symbols={"load_m3": "V", "allowance_s": "a", "allowance_m3": "v"},
    result=("time_s", "t"),
    source="Suppliers' public terms: 7 minutes a cubic yard at one, 6 at another",
    known="read",
    valid="the time a allowed for each volume v; this plant's own terms govern, and waiting is"
    " charged after it",
    # 9 yd3 at 7 minutes a cubic yard: 63 minutes.
    example={"load_m3": 6.88099, "allowance_s": 420.0, "allowance_m3": 0.764555},
    example_result=3780.0,
)
def free_unloading_s(*, load_m3: float, allowance_s: float, allowance_m3: float) -> float:
    """Time a truck may stand before waiting is charged."""
    return allowance_s * load_m3 / allowance_m3

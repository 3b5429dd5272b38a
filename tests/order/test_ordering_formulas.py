"""Formulas of ordering against scipy, quadrature and printed figures.

Printed: Concrete Construction (articles on yield and waste), US Navy training courses NAVEDTRA
14070 and 14071, NRMCA CIP 8, tables of the unit normal loss function.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from overslab.handbook import ordering

YARD3_M3 = 0.764554857984
POUND_KG = 0.45359237
FOOT3_M3 = 0.3048**3


@pytest.mark.parametrize(
    ("z", "printed"),
    # Tables of the unit normal loss function, four decimals.
    [(0.0, 0.3989), (0.5, 0.1978), (1.0, 0.0833), (1.5, 0.0293), (2.0, 0.0085)],
)
def test_unit_normal_loss_against_the_tables(z: float, printed: float) -> None:
    assert ordering.normal_loss(z=z) == pytest.approx(printed, abs=0.5e-4)


@pytest.mark.parametrize("z", [-3.0, -0.7, 0.0, 1.3, 4.0])
def test_unit_normal_loss_against_quadrature(z: float) -> None:
    expected, _ = integrate.quad(lambda x: (x - z) * stats.norm.pdf(x), z, 40, epsabs=1e-14)
    assert ordering.normal_loss(z=z) == pytest.approx(expected, rel=1e-6)


@given(amount=st.floats(0.1, 100), needed=st.floats(0.1, 100), deviation=st.floats(0.01, 10))
def test_left_less_missing_is_amount_less_need(
    amount: float, needed: float, deviation: float
) -> None:
    given_need = {"amount_m3": amount, "needed_m3": needed, "deviation_m3": deviation}
    left = ordering.expected_left_m3(**given_need)
    missing = ordering.expected_missing_m3(**given_need)
    assert left >= 0
    assert missing >= 0
    assert left - missing == pytest.approx(amount - needed, abs=1e-9)


@given(amount=st.floats(1, 30), needed=st.floats(1, 30), deviation=st.floats(0.05, 5))
def test_chance_short_against_scipy(amount: float, needed: float, deviation: float) -> None:
    expected = stats.norm.sf(amount, loc=needed, scale=deviation)
    got = ordering.chance_short(amount_m3=amount, needed_m3=needed, deviation_m3=deviation)
    assert got == pytest.approx(expected, rel=1e-9, abs=1e-300)


def test_a_sure_need_is_met_or_missed_whole() -> None:
    enough = {"amount_m3": 7.0, "needed_m3": 7.0, "deviation_m3": 0.0}
    missed = {"amount_m3": 6.0, "needed_m3": 7.0, "deviation_m3": 0.0}
    assert ordering.chance_short(**enough) == 0
    assert ordering.expected_left_m3(**enough) == 0
    assert ordering.chance_short(**missed) == 1
    assert ordering.expected_missing_m3(**missed) == 1
    assert ordering.normal_loss(z=math.inf) == 0


def test_product_of_two_uncertain_figures_by_quadrature() -> None:
    """Mean and variance of V (1 + w) by integrating over both densities."""
    volume, spread, loss, loss_spread = 12.0, 0.6, 0.07, 0.03

    def moment(power: int) -> float:
        value, _ = integrate.dblquad(
            lambda v, w: (
                (v * (1 + w)) ** power
                * stats.norm.pdf(v, volume, spread)
                * stats.norm.pdf(w, loss, loss_spread)
            ),
            loss - 8 * loss_spread,
            loss + 8 * loss_spread,
            volume - 8 * spread,
            volume + 8 * spread,
            epsabs=1e-9,
        )
        return float(value)

    mean = moment(1)
    assert ordering.needed_volume_m3(in_place_m3=volume, loss_share=loss) == pytest.approx(mean)
    deviation = ordering.needed_deviation_m3(
        in_place_m3=volume,
        in_place_deviation_m3=spread,
        loss_share=loss,
        loss_deviation_share=loss_spread,
    )
    assert deviation == pytest.approx(math.sqrt(moment(2) - mean**2), rel=1e-5)


def test_critical_ratio_gives_the_published_newsvendor_amount() -> None:
    # Price 7, cost 5, need 50 with deviation 20: best amount 38.68 (public calculator's page).
    ratio = ordering.critical_ratio(short_cost_per_m3=7 - 5, left_cost_per_m3=5)
    assert stats.norm.ppf(ratio, 50, 20) == pytest.approx(38.68, abs=0.005)


def test_short_cost_per_unit_against_the_slope_of_the_lump() -> None:
    """-dP/dQ times K, over the chance of running short, by central differences."""
    need = {"needed_m3": 10.0, "deviation_m3": 0.8}
    for amount in (9.0, 10.0, 11.5):
        step = 1e-5
        slope = (stats.norm.sf(amount - step, 10, 0.8) - stats.norm.sf(amount + step, 10, 0.8)) / (
            2 * step
        )
        expected = 500 * slope / stats.norm.sf(amount, 10, 0.8)
        got = ordering.short_cost_per_m3(short_cost=500, amount_m3=amount, **need)
        assert got == pytest.approx(expected, rel=1e-6)


def test_short_cost_per_unit_stays_finite_far_above_the_need() -> None:
    got = ordering.short_cost_per_m3(
        short_cost=500, amount_m3=60.0, needed_m3=10.0, deviation_m3=1.0
    )
    # The hazard of the normal runs like z + 1/z (Mills' ratio).
    assert got == pytest.approx(500 * 50, rel=1e-2)


def test_yield_against_print() -> None:
    # NRMCA CIP 8: 3944 lb a cubic yard yields exactly at 146.07 lb/ft3.
    got = ordering.yield_m3(
        batch_kg=3944 * POUND_KG, density_kg_per_m3=146.07 * POUND_KG / FOOT3_M3
    )
    assert got == pytest.approx(YARD3_M3, rel=1e-4)
    # 216 ft3 ordered, 210 received: 0.972 (Concrete Construction).
    assert ordering.relative_yield(
        received_m3=210 * FOOT3_M3, asked_m3=216 * FOOT3_M3
    ) == pytest.approx(0.972, abs=0.0005)


def test_waste_against_print() -> None:
    # NAVEDTRA 14071: 63.7 yd3 plus 10 % is 70.07; 5 % above 200 yd3.
    share = ordering.navy_waste_share(in_place_m3=63.7 * YARD3_M3)
    need = ordering.needed_volume_m3(in_place_m3=63.7 * YARD3_M3, loss_share=share)
    assert need / YARD3_M3 == pytest.approx(70.07, abs=0.005)
    assert ordering.navy_waste_share(in_place_m3=200 * YARD3_M3) == 0.10
    assert ordering.navy_waste_share(in_place_m3=200.1 * YARD3_M3) == 0.05
    # NAVEDTRA 14070: 527.40 ft3 with 10 % waste is 580.14 ft3.
    need = ordering.needed_volume_m3(in_place_m3=527.40 * FOOT3_M3, loss_share=0.10)
    assert need / FOOT3_M3 == pytest.approx(580.14, abs=0.005)


def test_area_covered_against_the_trades_constants() -> None:
    # 1 yd3 covers 324 ft2 at 1 in, 81 at 4 in; 10 yd3 covers 270 ft2 at 12 in and 810 at 4 in.
    for yards, inches, feet2 in ((1, 1, 324), (1, 4, 81), (10, 12, 270), (10, 4, 810)):
        area = ordering.area_covered_m2(volume_m3=yards * YARD3_M3, thickness_m=inches * 0.0254)
        assert area / 0.3048**2 == pytest.approx(feet2)


def test_free_unloading_against_suppliers_terms() -> None:
    # 9 yd3 at 7 minutes each: 63 minutes; 10 yd3 at 6: 60 minutes.
    for yards, minutes, allowed in ((9, 7, 63), (10, 6, 60)):
        time = ordering.free_unloading_s(
            load_m3=yards * YARD3_M3, allowance_s=minutes * 60, allowance_m3=YARD3_M3
        )
        assert time == pytest.approx(allowed * 60)

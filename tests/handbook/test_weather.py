"""Evaporation against remembered rows, the chart's readings, steam tables, and its own twins.

No number of evaporation was read in print with all its inputs: the rows of the PCA/NRMCA table of
drying tendency and the chart of ACI 305R are remembered, and the rows kept are those that agree
with Menzel's equation. They hold the formula and its units, and do not prove it.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from as_printed import answer
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary, to_si
from overslab.handbook import weather
from overslab.handbook.limits import limits_for, practice_for

# concrete F, air F, humidity %, wind mph, remembered table, Menzel and Uno as recomputed apart from
# this code (notes on published formulas, section 1), lb/ft2/h.
ROWS = (
    (70, 70, 70, 10, 0.062, 0.058, 0.061),
    (70, 70, 30, 10, 0.135, 0.136, 0.143),
    (70, 70, 10, 10, 0.175, 0.174, 0.184),
    (50, 50, 70, 10, 0.026, 0.029, 0.027),
    (60, 60, 70, 10, 0.043, 0.041, 0.042),
    (80, 80, 70, 10, 0.077, 0.081, 0.086),
    (90, 90, 70, 10, 0.110, 0.112, 0.115),
    (70, 70, 70, 0, 0.015, 0.012, 0.012),
    (70, 70, 70, 5, 0.038, 0.035, 0.037),
    (70, 70, 70, 15, 0.085, 0.081, 0.086),
    (70, 70, 70, 20, 0.110, 0.104, 0.111),
    (70, 70, 70, 25, 0.135, 0.127, 0.135),
    (70, 80, 70, 10, 0.000, 0.004, 0.005),
    (70, 50, 70, 10, 0.125, 0.127, 0.143),
    (70, 30, 70, 10, 0.165, 0.163, 0.188),
    (80, 40, 100, 10, 0.205, 0.206, 0.236),
    (60, 40, 100, 10, 0.075, 0.072, 0.089),
    (70, 40, 50, 0, 0.035, 0.034, 0.036),
    (70, 40, 50, 10, 0.162, 0.161, 0.180),
    (80, 70, 50, 10, 0.175, 0.174, 0.184),
    (90, 90, 10, 0, 0.070, 0.070, 0.069),
    (90, 90, 10, 10, 0.336, 0.335, 0.346),
    (90, 90, 10, 25, 0.740, 0.734, 0.761),
)
US_ROUTES = (weather.evaporation_menzel_us, weather.evaporation_uno_1998_us)
EVERY_ROUTE = (
    *US_ROUTES,
    weather.evaporation_menzel_metric,
    weather.evaporation_uno_1998_metric,
    weather.evaporation_uno_1998_exact_metric,
)
placing = st.fixed_dictionaries(
    {
        "concrete_c": st.floats(10.0, 40.0),
        "air_c": st.floats(0.0, 40.0),
        "humidity_share": st.floats(0.0, 1.0),
        "wind_m_per_s": st.floats(0.0, 20.0),
    }
)


def us(route, concrete, air, humidity, wind):
    return answer(
        route,
        concrete_c=float(concrete),
        air_c=float(air),
        humidity_share=humidity / 100,
        wind_m_per_s=float(wind),
    )


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_menzel_follows_the_remembered_table(row):
    # PCA/NRMCA table of drying tendency (memory), read off a chart to 0.01.
    assert us(weather.evaporation_menzel_us, *row[:4]) == pytest.approx(row[4], abs=0.01)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_uno_follows_the_remembered_table(row):
    # 0.01 or 10 percent with the air at 60 F or more, 20 percent in cold air where it overshoots.
    share = 0.10 if row[1] >= 60 else 0.20
    got = us(weather.evaporation_uno_1998_us, *row[:4])
    assert got == pytest.approx(row[4], abs=max(0.01, share * row[4]))


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_both_us_routes_as_recomputed(row):
    # Regression against an independent recomputation, not against print.
    assert us(weather.evaporation_menzel_us, *row[:4]) == pytest.approx(row[5], abs=0.00051)
    assert us(weather.evaporation_uno_1998_us, *row[:4]) == pytest.approx(row[6], abs=0.00051)


def test_the_reading_printed_with_the_chart():
    # Chart of ACI 305R and 308R (memory): concrete 87 F, air 80 F, 50 %, 12 mph: about 0.25;
    # its twin 31 C, 27 C, 50 %, 19 km/h: about 1.2 kg/m2/h. Recomputed: 0.243, 0.236; 1.15, 1.19.
    assert us(US_ROUTES[0], 87, 80, 50, 12) == pytest.approx(0.25, abs=0.015)
    assert us(US_ROUTES[1], 87, 80, 50, 12) == pytest.approx(0.25, abs=0.015)
    for route, recomputed in (
        (weather.evaporation_uno_1998_metric, 1.152),
        (weather.evaporation_menzel_metric, 1.19),
    ):
        got = answer(route, concrete_c=31.0, air_c=27.0, humidity_share=0.5, wind_m_per_s=19.0)
        assert got == pytest.approx(1.2, abs=0.1)
        assert got == pytest.approx(recomputed, abs=0.005)


def test_the_rounded_metric_fit_is_not_the_us_fit():
    # 70 F, 70 F, 70 %, 10 mph: 0.0591 by the rounded metric form, 0.0615 by the US form.
    given_si = {
        "concrete_c": to_si(70, "F"),
        "air_c": to_si(70, "F"),
        "humidity_share": 0.7,
        "wind_m_per_s": to_si(10, "mph"),
    }
    metric = weather.evaporation_uno_1998_metric(**given_si)
    american = weather.evaporation_uno_1998_us(**given_si)
    assert to_customary(metric, "lb/ft2/h") == pytest.approx(0.0591, abs=0.00005)
    assert to_customary(american, "lb/ft2/h") == pytest.approx(0.0615, abs=0.00005)


@given(placing)
def test_the_exact_metric_form_is_the_us_form(given_si):
    # Technical note of a maker of weather meters: equal to 0.1 percent.
    one = weather.evaporation_uno_1998_us(**given_si)
    other = weather.evaporation_uno_1998_exact_metric(**given_si)
    # Near no drying at all two nearly equal numbers are subtracted, so a floor stands beside it.
    assert other == pytest.approx(one, rel=0.001, abs=to_si(0.0005, "kg/m2/h"))


@given(placing)
def test_the_metric_form_of_menzel_agrees_to_two_percent(given_si):
    one = weather.evaporation_menzel_us(**given_si)
    assert weather.evaporation_menzel_metric(**given_si) == pytest.approx(one, rel=0.02)


def test_uno_reads_a_fifth_above_menzel_in_cold_air():
    # Own finding: concrete 70 F, air 40 F, 100 %, 10 mph: 20 percent, held to 2 points.
    ratio = us(US_ROUTES[1], 70, 40, 100, 10) / us(US_ROUTES[0], 70, 40, 100, 10)
    assert ratio == pytest.approx(1.20, abs=0.02)


@given(placing, st.sampled_from(EVERY_ROUTE))
def test_drier_windier_and_warmer_concrete_dry_faster(given_si, route):
    rate = route(**given_si)
    assert rate >= 0
    more = {
        "humidity_share": given_si["humidity_share"] * 0.5,
        "wind_m_per_s": given_si["wind_m_per_s"] + 1.0,
        "concrete_c": given_si["concrete_c"] + 1.0,
    }
    for name, value in more.items():
        assert route(**{**given_si, name: value}) >= rate


@pytest.mark.parametrize("route", EVERY_ROUTE)
def test_warm_wet_air_over_cool_concrete_gives_no_drying(route):
    given_si = {"concrete_c": 15.0, "air_c": 35.0, "humidity_share": 0.9, "wind_m_per_s": 5.0}
    assert route(**given_si) == 0.0


@pytest.mark.parametrize(
    ("celsius", "kilopascal"),
    [(0, 0.6113), (10, 1.2282), (20, 2.3393), (30, 4.2470), (40, 7.3849), (50, 12.352)],
)
def test_saturation_pressure_against_steam_tables(celsius, kilopascal):
    # Saturated water by temperature, ASME/IAPWS steam tables (memory); the fit is good to 0.2 %.
    got = answer(weather.saturation_pressure, temperature_c=float(celsius))
    assert got == pytest.approx(kilopascal, rel=0.002)


def test_saturation_pressure_rises():
    swept = [weather.saturation_pressure(temperature_c=t / 2) for t in range(-40, 121)]
    assert all(low < high for low, high in pairwise(swept))


def test_the_threshold_is_said_in_both_units():
    # UFGS 03311 p. 40: 0.2 lb/ft2/h; its metric twin 1.0 kg/m2/h is 0.205.
    value = practice_for("evaporation").value
    assert to_customary(value, "lb/ft2/h") == pytest.approx(0.2)
    assert to_customary(to_si(1.0, "kg/m2/h"), "lb/ft2/h") == pytest.approx(0.2048, abs=0.00005)
    known = [(limit.value / value, limit.known) for limit in limits_for("evaporation")]
    assert known == [
        (pytest.approx(1.0), "read"),
        (pytest.approx(0.5), "common practice"),
        (pytest.approx(0.25), "common practice"),
    ]


def test_every_value_outside_is_told_at_once():
    with pytest.raises(Faulty) as caught:
        weather.evaporation_menzel_us(
            concrete_c=80.0, air_c=-40.0, humidity_share=1.2, wind_m_per_s=-1.0
        )
    told = caught.value.faults
    assert [fault.place for fault in told] == [
        "concrete_c",
        "air_c",
        "humidity_share",
        "wind_m_per_s",
    ]
    assert "176 F" in told[0].value
    assert "120 %" in told[2].value or "120%" in told[2].value


@given(st.floats(-17.0, 48.0))
def test_the_coldest_air_of_the_range_has_an_answer(air_c):
    for route in EVERY_ROUTE:
        assert route(concrete_c=15.0, air_c=air_c, humidity_share=0.5, wind_m_per_s=3.0) >= 0.0

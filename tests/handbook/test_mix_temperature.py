"""Temperature of the mix against a trade article, the remembered metric example, heat kept."""

from __future__ import annotations

import pytest
from as_printed import answer
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary, to_si
from overslab.handbook import mix_temperature as chapter
from overslab.handbook.limits import limits_for

ARTICLE = {
    "aggregate_kg": 3300.0,
    "aggregate_c": 70.0,
    "cement_kg": 470.0,
    "cement_c": 150.0,
    "water_kg": 260.0,
    "water_c": 70.0,
}
METRIC = {
    "aggregate_kg": 1839.0,
    "aggregate_c": 27.0,
    "cement_kg": 335.0,
    "cement_c": 66.0,
    "water_kg": 123.0,
    "water_c": 27.0,
}
ROUTES = (chapter.mix_temperature_us, chapter.mix_temperature_metric)


def test_trade_article():
    # Concrete Construction, If you get it when it's hot: 77.6 F.
    assert answer(chapter.mix_temperature_us, **ARTICLE) == pytest.approx(77.6, abs=0.1)


def test_metric_example_with_ice():
    # PCA EB001 (memory): 44 kg of ice, 65,177 / 2,699 = 24.1 C; recomputed 24.15.
    got = chapter.mix_temperature_metric(**METRIC, ice_kg=44.0)
    assert got == pytest.approx(24.1, abs=0.1)
    assert got == pytest.approx(65_177 / 2_699, abs=0.005)


def test_degrees_that_move_the_mix_by_one():
    # PCA EB001 (memory): cement 8.2, water 4.9, aggregate 1.5 C; with 123 + 44 kg of water, 2515 kJ
    # beside 4.184 x 44 makes 2699.
    parts = {**METRIC, "water_kg": 123.0}
    start = chapter.mix_temperature_metric(**parts)
    for name, degrees in (("cement_c", 8.2), ("water_c", 4.9), ("aggregate_c", 1.5)):
        moved = chapter.mix_temperature_metric(**{**parts, name: parts[name] + degrees})
        assert moved - start == pytest.approx(1.0, abs=0.04)


@given(
    degrees=st.floats(1.0, 40.0),
    masses=st.tuples(*(st.floats(10.0, 2000.0) for _ in range(3))),
)
def test_equal_temperatures_stay(degrees, masses):
    aggregate, cement, water = masses
    at = {
        "aggregate_kg": aggregate,
        "aggregate_c": degrees,
        "cement_kg": cement,
        "cement_c": degrees,
        "water_kg": water,
        "water_c": degrees,
    }
    for route in ROUTES:
        assert route(**at) == pytest.approx(degrees)
    with_ice = chapter.mix_temperature_us_with_ice(**at, ice_kg=0.0)
    assert with_ice == pytest.approx(degrees)


@given(ice=st.floats(0.0, 50.0))
def test_us_ice_is_the_heat_balance(ice):
    # By heat: ice melts at 32 F by 144 Btu/lb and warms as water; 0.22 Btu/lb F for the solids.
    water = 260.0 - ice
    got = answer(chapter.mix_temperature_us_with_ice, **{**ARTICLE, "water_kg": water}, ice_kg=ice)
    gained = ice * (144.0 + got - 32.0)
    lost = 0.22 * (3300 * (70 - got) + 470 * (150 - got)) + water * (70 - got)
    assert gained == pytest.approx(lost, abs=1e-6 * 3300)


def test_more_ice_is_colder_by_either_form():
    temperatures = [
        chapter.mix_temperature_metric(**METRIC, ice_kg=float(ice)) for ice in range(0, 80, 10)
    ]
    assert temperatures == sorted(temperatures, reverse=True)


def test_the_two_forms_agree_within_a_degree_up_to_the_ice_limit():
    # 0.92 / 4.184 is 0.2199, and 335 kJ/kg is 144 Btu/lb.
    parts = {**METRIC, "water_kg": 140.0}
    for ice in (0.0, 20.0, 34.0):
        us = chapter.mix_temperature_us_with_ice(**parts, ice_kg=ice)
        metric = chapter.mix_temperature_metric(**parts, ice_kg=ice)
        assert us == pytest.approx(metric, abs=0.1)


def test_the_us_form_with_ice_is_refused_above_20_percent():
    # Test paper, iasj.net/iasj/article/167318: good to about 20 % ice.
    with pytest.raises(Faulty) as caught:
        chapter.mix_temperature_us_with_ice(**METRIC, ice_kg=44.0)
    assert "20" in caught.value.faults[0].limit
    (limit,) = limits_for("ice in US form")
    assert limit.value == 0.20


def test_ice_that_would_not_all_melt_is_refused():
    with pytest.raises(Faulty):
        chapter.mix_temperature_metric(
            **{**METRIC, "cement_c": 5.0, "aggregate_c": 2.0, "water_c": 2.0}, ice_kg=100.0
        )


def test_heat_of_fusion():
    # CRD-C 307-91: 143.5 Btu/lb.
    (limit,) = limits_for("ice")
    assert to_customary(limit.value, "Btu/lb") == pytest.approx(143.5)
    # 335 kJ/kg of the metric form lies 0.4 percent above.
    assert to_si(335.0, "kJ/kg") == pytest.approx(limit.value, rel=0.005)


def test_everything_that_is_wrong_is_told():
    with pytest.raises(Faulty) as caught:
        chapter.mix_temperature_us(
            aggregate_kg=-1.0,
            aggregate_c=200.0,
            cement_kg=1.0,
            cement_c=20.0,
            water_kg=float("nan"),
            water_c=20.0,
        )
    assert {fault.place for fault in caught.value.faults} >= {
        "aggregate_kg",
        "aggregate_c",
        "water_kg",
    }

"""Hot and cold weather against ACI 306R (remembered table) and what was read second hand."""

from __future__ import annotations

from itertools import pairwise

import pytest
from as_printed import answer

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary
from overslab.handbook import hot_and_cold as chapter
from overslab.handbook.limits import limits_for, practice_for

# ACI 306R table 3.1 (memory): section in; placed; mixed above 30 F, 0 to 30 F, below 0 F; drop.
TABLE = (
    (4, 55, 60, 65, 70, 50),
    (11.9, 55, 60, 65, 70, 50),
    (12, 50, 55, 60, 65, 40),
    (24, 50, 55, 60, 65, 40),
    (48, 45, 50, 55, 60, 30),
    (80, 40, 45, 50, 55, 20),
)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row[0]} in")
def test_the_cold_weather_table(row):
    section, placed, mild, cold, bitter, drop = row
    for stage, air, wanted in (
        ("as placed", 20, placed),
        ("as placed", -10, placed),
        ("as mixed", 35, mild),
        ("as mixed", 30, cold),
        ("as mixed", 0, cold),
        ("as mixed", -5, bitter),
    ):
        got = answer(
            chapter.least_concrete_temperature_306,
            section_m=float(section),
            stage=stage,
            air_c=float(air),
        )
        assert got == pytest.approx(wanted)
    got = answer(chapter.most_drop_after_protection_306, section_m=float(section))
    assert got == pytest.approx(drop)


def test_rows_join_and_fall_with_thickness():
    rows = chapter.COLD_TABLE.rows
    assert all(low[1] == high[0] for low, high in pairwise(rows))
    for column in range(2, 7):
        assert all(low[column] > high[column] for low, high in pairwise(rows))


@pytest.mark.parametrize("section", [0.0, -0.1, float("nan"), 100.0])
def test_a_section_that_is_none_is_refused(section):
    with pytest.raises(Faulty):
        chapter.most_drop_after_protection_306(section_m=section)


@pytest.mark.parametrize(
    ("mean_f", "warm_hours", "cold"),
    [
        ((39, 38, 35, 39), (0, 0, 0, 0), True),
        ((39, 38, 35), (0, 0, 0), False),  # three days are not more than three
        ((39, 38, 45, 39, 38, 37), (0,) * 6, False),  # broken by a warm day
        ((39, 38, 35, 39), (0, 13, 0, 0), False),  # above 50 F for more than half of a day
        ((39, 38, 35, 39), (12, 12, 12, 12), True),
        ((40, 38, 35, 39), (0, 0, 0, 0), False),  # 40 F is not below 40 F
        ((60, 39, 38, 35, 39), (20, 0, 0, 0, 0), True),
    ],
)
def test_the_definition_of_1988_word_for_word(mean_f, warm_hours, cold):
    # ACI 306R-88 as given in PCA EB001, chapter 14.
    means = tuple((f - 32) / 1.8 for f in mean_f)
    hours = tuple(map(float, warm_hours))
    assert chapter.cold_weather_306_1988(mean_air_c=means, warm_hours=hours) is cold


def test_days_must_pair_with_hours():
    with pytest.raises(Faulty) as caught:
        chapter.cold_weather_306_1988(mean_air_c=(1.0, 2.0), warm_hours=(1.0, 30.0, 2.0))
    assert len(caught.value.faults) == 2
    with pytest.raises(Faulty):
        chapter.cold_weather_306_1988(mean_air_c=(), warm_hours=())


def test_the_newer_definition():
    # ACI 306R, newer editions (memory): below 40 F.
    assert chapter.cold_weather_306_newer(least_air_c=4.4)
    assert not chapter.cold_weather_306_newer(least_air_c=(40 - 32) * 5 / 9)


def test_limits_as_read():
    # ACI 305.1-14 (secondary page); PCA EB001 ch. 14; Concrete Construction, Cold weather.
    assert to_customary(practice_for("hot weather").value, "F") == pytest.approx(95)
    assert {limit.edition for limit in limits_for("hot weather")} == {"2014", "2020"}
    freeze = practice_for("freezing of young concrete")
    assert to_customary(freeze.value, "psi") == pytest.approx(500)
    assert practice_for("cold weather").value == pytest.approx(12.78, abs=0.005)  # 55 F
    assert [limit.value for limit in limits_for("cold weather protection")] == [2, 3, 6]

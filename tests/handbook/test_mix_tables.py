"""Tables of ACI 211.1 against the copies they were read in, line by line."""

from __future__ import annotations

from itertools import pairwise

import pytest
from as_printed import answer
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary, to_si
from overslab.handbook import mix_tables as tables

STONES = (0.375, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0)
STONES_MM = (9.5, 12.5, 19.0, 25.0, 37.5, 50.0, 75.0)
# The copy's lines as they stand (table adapted from ACI 211.1): air-entrained, slump, lb/yd3.
LINES = """
no 1-2 350 335 315 300 275 260 220
no 3-4 385 365 340 325 300 285 245
no 6-7 410 385 360 340 315 300 270
yes 1-2 305 295 280 270 250 240 205
yes 3-4 340 325 305 295 275 265 225
yes 6-7 365 345 325 310 290 280 260
"""
# Advances in Civil Engineering 2018, 4398017, table 3: air-entrained, slump mm, kg/m3.
METRIC_LINES = """
no 25-50 207 199 190 179 166 154 130
no 75-100 228 216 205 193 181 169 145
no 150-175 243 228 216 202 190 178 160
yes 25-50 181 175 168 160 150 142 122
yes 75-100 202 193 184 175 165 157 133
yes 150-175 216 205 197 184 174 166 154
"""
AIR_LINES = """
none 3 2.5 2 1.5 1 0.5 0.3
mild 4.5 4.0 3.5 3.0 2.5 2.0 1.5
moderate 6.0 5.5 5.0 4.5 4.5 4.0 3.5
severe 7.5 7.0 6.0 6.0 5.5 5.0 4.5
"""
COARSE_LINES = """
0.375 .50 .48 .46 .44
0.5 .59 .57 .55 .53
0.75 .66 .64 .62 .60
1 .71 .69 .67 .65
1.5 .75 .73 .71 .69
2 .78 .76 .74 .72
3 .82 .80 .78 .76
6 .87 .85 .83 .81
"""


def lines(text):
    return [line.split() for line in text.strip().splitlines()]


def band_cells(text, sizes):
    for entrained, band, *cells in lines(text):
        low, high = map(float, band.split("-"))
        for stone, water in zip(sizes, map(float, cells), strict=True):
            for slump in (low, (low + high) / 2, high):
                yield entrained == "yes", slump, stone, water


@pytest.mark.parametrize(("entrained", "slump", "stone", "water"), list(band_cells(LINES, STONES)))
def test_mixing_water_us(entrained, slump, stone, water):
    got = answer(tables.mixing_water_us, slump_m=slump, stone_m=stone, air_entrained=entrained)
    assert got == pytest.approx(water, abs=1e-9)


@pytest.mark.parametrize(
    ("entrained", "slump", "stone", "water"), list(band_cells(METRIC_LINES, STONES_MM))
)
def test_mixing_water_metric(entrained, slump, stone, water):
    got = tables.mixing_water_metric(
        slump_m=slump / 1000, stone_m=stone / 1000, air_entrained=entrained
    )
    assert got == pytest.approx(water, abs=1e-9)


def test_the_two_water_tables_are_rounded_apart():
    # 205 kg/m3 converts to 345.5 and not to the 340 lb/yd3 of the US table.
    metric = tables.mixing_water_metric(slump_m=0.09, stone_m=0.019, air_entrained=False)
    american = tables.mixing_water_us(
        slump_m=to_si(3.5, "in"), stone_m=to_si(0.75, "in"), air_entrained=False
    )
    assert to_customary(metric, "lb/yd3") == pytest.approx(345.5, abs=0.05)
    assert to_customary(american, "lb/yd3") == pytest.approx(340.0)


@pytest.mark.parametrize("line", lines(AIR_LINES), ids=lambda line: line[0])
def test_air(line):
    exposure, *cells = line
    for stone, percent in zip(STONES, map(float, cells), strict=True):
        got = answer(tables.air_aci_211, stone_m=stone, exposure=exposure)
        assert got == pytest.approx(percent)


@pytest.mark.parametrize("line", lines(COARSE_LINES), ids=lambda line: line[0])
def test_coarse_aggregate(line):
    stone, *cells = map(float, line)
    for fineness, share in zip((2.4, 2.6, 2.8, 3.0), cells, strict=True):
        got = answer(tables.coarse_aggregate_share, stone_m=stone, fineness_modulus=fineness)
        assert got == pytest.approx(share)
    # A straight line between columns.
    middle = answer(tables.coarse_aggregate_share, stone_m=stone, fineness_modulus=2.5)
    assert middle == pytest.approx((cells[0] + cells[1]) / 2)


def test_coarse_aggregate_of_the_handout():
    # CIVL 1112: 3/4 in and fineness modulus 2.70 give 0.63.
    got = answer(tables.coarse_aggregate_share, stone_m=0.75, fineness_modulus=2.7)
    assert got == pytest.approx(0.63, abs=0.001)


@pytest.mark.parametrize(
    ("psi", "plain", "entrained"),
    [
        (6000, 0.41, 0.32),  # air-entrained and 7000 only in one university copy
        (5000, 0.48, 0.40),
        (4000, 0.57, 0.48),
        (3000, 0.68, 0.59),
        (2000, 0.82, 0.74),
        (7000, 0.33, None),
    ],
)
def test_ratio_us(psi, plain, entrained):
    for air, ratio in ((False, plain), (True, entrained)):
        if ratio is None:
            with pytest.raises(Faulty):
                tables.water_cement_ratio_us(strength_pa=to_si(psi, "psi"), air_entrained=air)
            continue
        got = answer(tables.water_cement_ratio_us, strength_pa=float(psi), air_entrained=air)
        assert got == pytest.approx(ratio)
        back = answer(tables.strength_for_ratio_us, water_cement_ratio=ratio, air_entrained=air)
        assert back == pytest.approx(psi)


@pytest.mark.parametrize(
    ("mpa", "plain", "entrained"),
    [
        # PCA EB001 table 9-3, copy.
        (45, 0.38, 0.30),
        (40, 0.42, 0.34),
        (35, 0.47, 0.39),
        (30, 0.54, 0.45),
        (25, 0.61, 0.52),
        (20, 0.69, 0.60),
        (15, 0.79, 0.70),
    ],
)
def test_ratio_metric(mpa, plain, entrained):
    for air, ratio in ((False, plain), (True, entrained)):
        got = tables.water_cement_ratio_metric(strength_pa=mpa * 1e6, air_entrained=air)
        assert got == pytest.approx(ratio)


@given(slump=st.floats(1.0, 6.5), stone=st.sampled_from(STONES[:-1]), air=st.booleans())
def test_water_rises_with_slump_and_falls_with_stone_and_air(slump, stone, air):
    at = {"stone_m": stone, "air_entrained": air}
    water = answer(tables.mixing_water_us, slump_m=slump, **at)
    assert answer(tables.mixing_water_us, slump_m=slump + 0.5, **at) >= water
    bigger = STONES[STONES.index(stone) + 1]
    assert answer(tables.mixing_water_us, slump_m=slump, stone_m=bigger, air_entrained=air) < water
    drier = answer(tables.mixing_water_us, slump_m=slump, stone_m=stone, air_entrained=True)
    assert drier <= answer(
        tables.mixing_water_us, slump_m=slump, stone_m=stone, air_entrained=False
    )


@pytest.mark.parametrize("air", [False, True])
def test_strength_falls_as_the_ratio_rises(air):
    least, most = (0.32, 0.74) if air else (0.33, 0.82)
    ratios = [least + (most - least) * step / 40 for step in range(41)]
    swept = [tables.strength_for_ratio_us(water_cement_ratio=r, air_entrained=air) for r in ratios]
    assert all(strong > weak > 0 for strong, weak in pairwise(swept))
    for ratio, strength in zip(ratios, swept, strict=True):
        back = tables.water_cement_ratio_us(strength_pa=strength, air_entrained=air)
        assert back == pytest.approx(ratio, abs=1e-9)


@pytest.mark.parametrize(
    ("call", "inputs", "words"),
    [
        (tables.mixing_water_us, {"slump_m": 0.254, "stone_m": 0.019, "air_entrained": False},
         "at most 7 in"),
        (tables.mixing_water_us, {"slump_m": 0.1, "stone_m": 0.015, "air_entrained": False},
         "0.375, 0.5, 0.75"),
        (tables.mixing_water_metric, {"slump_m": 0.3, "stone_m": 0.019, "air_entrained": True},
         "175 mm"),
        (tables.air_aci_211, {"stone_m": 0.15, "exposure": "none"}, "in"),
        (tables.coarse_aggregate_share, {"stone_m": 0.019, "fineness_modulus": 3.4}, "at most 3"),
        (tables.water_cement_ratio_metric, {"strength_pa": 60e6, "air_entrained": True}, "45 MPa"),
        (tables.strength_for_ratio_us, {"water_cement_ratio": 0.9, "air_entrained": False}, "0.82"),
    ],
)  # fmt: skip
def test_what_the_tables_do_not_hold_is_refused(call, inputs, words):
    with pytest.raises(Faulty) as caught:
        call(**inputs)
    assert words in caught.value.faults[0].limit


def test_metric_names_of_a_stone_find_its_column():
    for millimetres, inches in zip(STONES_MM, STONES, strict=True):
        assert answer(tables.air_aci_211, stone_m=inches, exposure="severe") == pytest.approx(
            100 * tables.air_aci_211(stone_m=millimetres / 1000, exposure="severe")
        )
